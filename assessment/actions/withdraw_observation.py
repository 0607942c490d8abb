"""Withdraw an observation record with a reason; it is kept, and another may take its place."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import written_observations
from assessment.models import ObservationRecord
from practicals import audit
from practicals.models import User

LONGEST_REASON = 200


def withdraw_observation(
    *, by: User, record: ObservationRecord, reason: str, now: datetime
) -> ObservationRecord:
    """Work that was handed in keeps the record as it was frozen."""
    if not written_observations(by).filter(pk=record.pk).exists():
        raise PermissionDenied
    reason = reason.strip()
    if not reason or len(reason) > LONGEST_REASON:
        raise ValidationError(f"Write why it is withdrawn, in at most {LONGEST_REASON} characters.")
    with transaction.atomic():
        record = ObservationRecord.objects.select_for_update().get(pk=record.pk)
        if record.withdrawn_at:
            raise ValidationError("This record was withdrawn before.")
        record.withdrawn_at, record.withdrawn_reason = now, reason
        record.version += 1
        record.save(update_fields=["withdrawn_at", "withdrawn_reason", "version"])
        audit.record(
            by=by, action="withdraw_observation", subject=record, sentence="Observation record withdrawn."
        )
    return record
