"""Units, briefs, evidence, decisions and verification."""

from assessment.models.attempts import AssessorDeclaration, Attachment, Extension, ResubmissionGrant
from assessment.models.brief import Assignment, Brief
from assessment.models.decision import Decision, DecisionDraft, Feedback
from assessment.models.evidence import DocumentJob, EvidencePart, IssuedDocument, Submission, Work
from assessment.models.follow_up import BriefReview, SampleSignOff, ThirdOpinion, VerificationAction
from assessment.models.observation import ObservationRecord, WitnessStatement
from assessment.models.policy import CalendarDay, Policy
from assessment.models.standardisation import AgreedReading, BlindJudgement, Standardisation
from assessment.models.unit import Criterion, Unit
from assessment.models.verification import (
    CriterionVerdict,
    SampledPortfolio,
    SamplingPlan,
    VerificationRecord,
)

__all__ = [
    "AgreedReading",
    "AssessorDeclaration",
    "Assignment",
    "Attachment",
    "BlindJudgement",
    "Brief",
    "BriefReview",
    "CalendarDay",
    "Criterion",
    "CriterionVerdict",
    "Decision",
    "DecisionDraft",
    "DocumentJob",
    "EvidencePart",
    "Extension",
    "Feedback",
    "IssuedDocument",
    "ObservationRecord",
    "Policy",
    "ResubmissionGrant",
    "SampleSignOff",
    "SampledPortfolio",
    "SamplingPlan",
    "Standardisation",
    "Submission",
    "ThirdOpinion",
    "Unit",
    "VerificationAction",
    "VerificationRecord",
    "WitnessStatement",
    "Work",
]
