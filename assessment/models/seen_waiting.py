"""What waits of observation records and witness statements, and what came late. Queries only, no links."""

from django.db.models import Exists, OuterRef, Q, QuerySet

from assessment.models.evidence import Submission
from assessment.models.observation import ObservationRecord, WitnessStatement
from assessment.models.waiting import ROWS


def statements_to_sign(statements: QuerySet[WitnessStatement]) -> list[WitnessStatement]:
    """A witness's, the one asked for first on top."""
    waiting = statements.filter(signed_at=None).select_related("learner", "asked_by")
    return list(waiting.order_by("asked_at")[:ROWS])


def statements_to_accept(statements: QuerySet[WitnessStatement]) -> list[WitnessStatement]:
    """Signed by their witness and not yet said what they are worth."""
    waiting = statements.filter(signed_at__isnull=False, accepted_at=None, withdrawn_at=None)
    return list(waiting.select_related("learner", "witness").order_by("signed_at")[:ROWS])


def records_to_countersign(records: QuerySet[ObservationRecord]) -> list[ObservationRecord]:
    """A learner's own that only the assessor has signed."""
    waiting = records.filter(learner_signed_at=None).select_related("assessor", "session__practical")
    return list(waiting.order_by("signed_at")[:ROWS])


def drafts_not_signed(records: QuerySet[ObservationRecord]) -> list[ObservationRecord]:
    """An assessor's drafts of learners who have not handed in yet: afterwards they come too late."""
    handed_in = Submission.objects.filter(
        work__assignment__sessions=OuterRef("session"), work__learner=OuterRef("learner")
    )
    waiting = records.filter(signed_at=None, withdrawn_at=None).exclude(Exists(handed_in))
    return list(waiting.select_related("learner", "session__practical").order_by("written_at")[:ROWS])


def signed_since(submission: Submission) -> list[ObservationRecord]:
    """Records on the work's sessions that one side signed after it was handed in: no part of the freeze."""
    later = Q(signed_at__gt=submission.submitted_at) | Q(learner_signed_at__gt=submission.submitted_at)
    work = submission.work
    found = ObservationRecord.objects.standing().filter(
        later, learner=work.learner_id, session__assignments=work.assignment_id, signed_at__isnull=False
    )
    return list(found.distinct().prefetch_related("criteria"))
