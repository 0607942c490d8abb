"""Take a day out of the centre's calendar; what it was stays on record."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from assessment.models import CalendarDay
from practicals import audit
from practicals.models import User


def withdraw_calendar_day(*, by: User, day: CalendarDay, now: datetime) -> CalendarDay:
    """Withdraw it. Withdrawing twice changes nothing; deadlines given before stay as they are."""
    if not by.has_perm("assessment.keep_calendar"):
        raise PermissionDenied
    with transaction.atomic():
        day = CalendarDay.objects.select_for_update().get(pk=day.pk)
        if day.withdrawn_at:
            return day
        day.withdrawn_at = now
        day.save(update_fields=["withdrawn_at"])
        audit.record(
            by=by,
            action="withdraw_calendar_day",
            subject=day,
            sentence=f"{day.day} taken out of the calendar.",
        )
    return day
