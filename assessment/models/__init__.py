"""Units, briefs, evidence, decisions and verification."""

from assessment.models.brief import Assignment, Brief
from assessment.models.decision import Decision, Feedback
from assessment.models.evidence import DocumentJob, EvidencePart, IssuedDocument, Submission, Work
from assessment.models.unit import Criterion, Unit
from assessment.models.verification import (
    CriterionVerdict,
    SampledPortfolio,
    SamplingPlan,
    VerificationRecord,
)

__all__ = [
    "Assignment",
    "Brief",
    "Criterion",
    "CriterionVerdict",
    "Decision",
    "DocumentJob",
    "EvidencePart",
    "Feedback",
    "IssuedDocument",
    "SampledPortfolio",
    "SamplingPlan",
    "Submission",
    "Unit",
    "VerificationRecord",
    "Work",
]
