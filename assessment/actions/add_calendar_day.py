"""Put a day into the centre's calendar that weekends and the shipped bank holidays do not know of."""

from datetime import date, datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction

from assessment.models import CalendarDay
from practicals import audit
from practicals.models import Centre, User

LONGEST_SPELL = 120  # days added in one go: a summer vacation fits


def add_calendar_day(
    *, by: User, first: date, last: date | None, kind: str, name: str, source: str = "", now: datetime
) -> list[CalendarDay]:
    """Add a day, or each day of a spell. Deadlines that were given already stay as they are."""
    if not by.has_perm("assessment.keep_calendar"):
        raise PermissionDenied
    days = _days(first, last or first)
    if not name.strip():
        raise ValidationError("Give the day a name, such as “staff training”.")
    holiday = kind == CalendarDay.Kind.BANK_HOLIDAY
    if holiday and not source.strip():
        raise ValidationError("Say where the bank holiday was announced, so that anybody can look it up.")
    rows = [
        CalendarDay(
            day=day,
            kind=kind,
            region=Centre.here().region if holiday else "",
            name=name.strip(),
            source=source.strip(),
            added_by=by,
            added_at=now,
        )
        for day in days
    ]
    try:
        with transaction.atomic():
            for row in rows:
                row.save()
            for row in rows:
                audit.record(
                    by=by,
                    action="add_calendar_day",
                    subject=row,
                    sentence=f"{row.day} entered in the calendar as {row.get_kind_display()}.",
                )
    except IntegrityError as error:
        raise ValidationError(
            "One of these days stands in the calendar already. Withdraw it there first, or leave it out."
        ) from error
    return rows


def _days(first: date, last: date) -> list[date]:
    if last < first:
        raise ValidationError("The last day is before the first one. Check the two dates.")
    length = (last - first).days + 1
    if length > LONGEST_SPELL:
        raise ValidationError(f"A spell holds at most {LONGEST_SPELL} days; this one has {length}.")
    return [date.fromordinal(first.toordinal() + number) for number in range(length)]
