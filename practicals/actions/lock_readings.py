"""Measuring is finished: from here on a reading changes only by an amendment with its reason."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import led_readings, own_readings
from practicals.audit import record
from practicals.models import ReadingSet, User


def lock_readings(*, by: User, readings: ReadingSet, now: datetime) -> ReadingSet:
    """Lock one set: by its learner, or by a teacher who ends the bench work. Locked stays as it was."""
    own = by.has_perm("practicals.enter_readings") and own_readings(by)
    led = by.has_perm("practicals.end_bench_work") and led_readings(by)
    if not any(sets and sets.filter(pk=readings.pk).exists() for sets in (own, led)):
        raise PermissionDenied
    with transaction.atomic():
        current: ReadingSet = ReadingSet.objects.select_for_update().get(pk=readings.pk)
        if current.locked_at is None:
            current.locked_at = now
            current.save(update_fields=["locked_at"])
            record(
                by=by,
                action="lock_readings",
                subject=current,
                sentence="A set of readings was locked: measuring is finished.",
            )
    readings.locked_at = current.locked_at
    return current
