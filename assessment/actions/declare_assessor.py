"""The assessor declares once per submission that it is the learner's own and of now."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import decidable_works
from assessment.models import AssessorDeclaration, Submission
from practicals import audit
from practicals.models import User

WORDS = (
    "I hold this evidence to be authentic (the learner's own work, any help being recorded) and current "
    "(made for this assignment, of what the learner can do now)."
)


def declare_assessor(
    *, by: User, submission: Submission, authentic: bool, current: bool, now: datetime
) -> AssessorDeclaration:
    """Keep the declaration with its words. Declaring twice changes nothing; half of it is refused."""
    if not by.has_perm("assessment.decide") or not decidable_works(by).filter(pk=submission.work_id).exists():
        raise PermissionDenied
    if not (authentic and current):
        raise ValidationError(
            "Tick both: authentic and current. If you cannot, do not declare; talk to the learner and to the "
            "lead verifier first."
        )
    with transaction.atomic():
        Submission.objects.select_for_update().get(pk=submission.pk)
        kept: AssessorDeclaration | None = AssessorDeclaration.objects.filter(submission=submission).first()
        if kept is None:
            kept = AssessorDeclaration.objects.create(
                submission=submission, assessor=by, authentic=True, current=True, words=WORDS, declared_at=now
            )
            audit.record(
                by=by,
                action="declare_assessor",
                subject=kept,
                sentence="Assessor declared the work authentic and current.",
            )
    return kept
