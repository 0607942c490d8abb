"""Which attempt of a work is open, until when, and which result counts."""

from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet

from assessment.calculations.attempts import (
    AttemptFacts,
    AttemptResult,
    AttemptRules,
    Standing,
    result_that_counts,
)
from assessment.calculations.grades import read_grade_rule
from assessment.models.attempts import ResubmissionGrant
from assessment.models.brief import Assignment
from assessment.models.evidence import Submission, Work
from assessment.models.results import grade_of
from practicals.models import User


@dataclass(frozen=True, slots=True)
class OpenAttempt:
    """The attempt that a learner writes at now."""

    number: int
    kind: str
    due_at: datetime
    grant: ResubmissionGrant | None = None


def first_deadline(work: Work) -> datetime:
    """The learner's own first deadline, extensions included."""
    return work.due_at or work.assignment.due_at


def open_attempt(work: Work) -> OpenAttempt | None:
    """The attempt that is open for writing, or nothing. Reads prefetched submissions and grants."""
    latest = max(work.submissions.all(), key=lambda found: found.attempt, default=None)
    if latest is None:
        return OpenAttempt(1, Submission.Kind.FIRST, first_deadline(work))
    grant = grant_of(latest)
    if grant is None or grant.authorised_at is None or grant.due_at is None:
        return None
    return OpenAttempt(latest.attempt + 1, Submission.Kind.RESUBMISSION, grant.due_at, grant)


def grant_of(submission: Submission) -> ResubmissionGrant | None:
    return getattr(submission, "grant", None)


def rules_of(assignment: Assignment) -> AttemptRules:
    """The policy that the assignment was issued under, or the defaults."""
    policy = assignment.policy
    if policy is None:
        return AttemptRules()
    return AttemptRules(
        resubmissions_allowed=policy.resubmissions_allowed,
        working_days=policy.resubmission_working_days,
        term_time_only=policy.term_time_only,
        late_loses_resubmission=policy.late_loses_resubmission,
        cap=policy.resubmission_cap,
        which_counts=policy.which_counts,
        retake_cap=policy.retake_cap,
    )


def facts_of_attempt(submission: Submission) -> AttemptFacts:
    """What decides whether one more attempt may be asked for."""
    feedback = getattr(submission, "feedback", None)
    grade = grade_of(submission)
    before = [one for one in submission.work.submissions.all() if one.kind == Submission.Kind.RESUBMISSION]
    return AttemptFacts(
        resubmissions_before=len(before),
        late=submission.late,
        released=bool(feedback and feedback.released_at),
        learner_declared=bool(submission.declaration),
        assessor_declared=hasattr(submission, "assessor_declaration"),
        all_met=not grade.undecided and not grade.not_yet_met,
        asked_before=grant_of(submission) is not None,
    )


def standing_result(work: Work) -> Standing | None:
    """The result that counts over the released attempts; nothing before the first release."""
    unit = work.assignment.brief.unit
    levels = read_grade_rule(unit.grade_rule).levels
    decided = [
        AttemptResult(one.attempt, one.kind, grade_of(one).grade or "")
        for one in work.submissions.all()
        if getattr(one, "feedback", None) and one.feedback.released_at
    ]
    return result_that_counts(decided, rules_of(work.assignment), levels) if decided else None


def grants_to_answer(lead: User) -> "QuerySet[ResubmissionGrant]":
    """Asked for and not answered, but nothing that this person asked for or assessed."""
    waiting = ResubmissionGrant.objects.filter(authorised_at=None, refused_at=None)
    return (
        waiting.exclude(asked_by=lead)
        .exclude(submission__work__assessor=lead)
        .select_related("submission__work__learner", "submission__work__assignment__brief", "asked_by")
        .order_by("asked_at")
    )
