"""A learner signs the record of what they did at the bench, and may comment on it."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import own_observations
from assessment.models import ObservationRecord
from practicals import audit
from practicals.models import User

LONGEST_COMMENT = 2000


def countersign_observation(
    *, by: User, record: ObservationRecord, comment: str, now: datetime
) -> ObservationRecord:
    """Sign once, with or without a comment. It says that the learner has read it, not that they agree."""
    if not own_observations(by).filter(pk=record.pk).exists():
        raise PermissionDenied
    comment = comment.strip()
    if len(comment) > LONGEST_COMMENT:
        raise ValidationError(
            f"A comment holds {LONGEST_COMMENT} characters; yours has {len(comment)}. Shorten it."
        )
    with transaction.atomic():
        record = ObservationRecord.objects.select_for_update().get(pk=record.pk)
        if record.withdrawn_at:
            raise ValidationError("Your assessor has withdrawn this record, so it cannot be signed any more.")
        if record.learner_signed_at:
            raise ValidationError("You signed this record before; it stays as you signed it.")
        record.learner_comment, record.learner_signed_at = comment, now
        record.version += 1
        record.save(update_fields=["learner_comment", "learner_signed_at", "version"])
        audit.record(
            by=by,
            action="countersign_observation",
            subject=record,
            sentence="Observation record signed by its learner.",
        )
    return record
