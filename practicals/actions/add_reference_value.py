"""A teacher adds a published value with its source, for the very system of a practical."""

from datetime import datetime
from decimal import Decimal

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.actions.load_reference_values import LONGEST_SOURCE
from practicals.audit import record
from practicals.models import Analyte, Practical, ReferenceValue, User
from practicals.models.reference_values import system_of

#: Decimals that a record keeps.
PLACES = Decimal("0.0001")


class CannotAddReference(ValueError):
    """The value, its source or its system does not do; the message says why."""


def add_reference_value(
    *,
    by: User,
    practical: Practical,
    analyte: Analyte,
    rf_low: Decimal,
    rf_high: Decimal,
    source: str,
    confirmed: bool,
    now: datetime,
) -> ReferenceValue:
    """Keep one value or a range. What is odd about it is a warning on the page, never a refusal."""
    if not by.has_perm("practicals.edit_practical"):
        raise PermissionDenied
    if analyte.practical_id != practical.pk or analyte.role != Analyte.Role.STANDARD:
        raise CannotAddReference("Choose one of the practical’s standards.")
    source = " ".join(source.split())
    _check(rf_low, rf_high, source)
    system = system_of(practical)
    if system is None:
        raise CannotAddReference(
            "The mobile phase of this practical has no ratio that tables print, so no value can belong to it."
        )
    with transaction.atomic():
        kept, is_new = ReferenceValue.objects.get_or_create(
            analyte=analyte.name,
            support=system.support,
            mobile_phase=system.mobile_phase,
            ratio=system.ratio,
            phase=system.phase,
            rf_low=rf_low.quantize(PLACES),
            rf_high=rf_high.quantize(PLACES),
            source=source,
            withdrawn_at=None,
            defaults={"confirmed": confirmed, "added_by": by, "added_at": now},
        )
        if not is_new:
            raise CannotAddReference("This value is there already, with the same source.")
        record(
            by=by,
            action="add_reference_value",
            subject=kept,
            sentence=f"A published value for {analyte.name} was added.",
            detail={"practical": str(practical.uuid), "source": source, "confirmed": confirmed},
        )
    return kept


def _check(rf_low: Decimal, rf_high: Decimal, source: str) -> None:
    if not source:
        raise CannotAddReference("Say where the value is printed: author, title, year, page.")
    if len(source) > LONGEST_SOURCE:
        raise CannotAddReference(
            f"The source has {len(source)} characters; at most {LONGEST_SOURCE} are kept."
        )
    if not all(value.is_finite() and 0 <= value <= 1 for value in (rf_low, rf_high)):
        raise CannotAddReference("An R_f lies between 0 and 1. A percentage is divided by 100 first.")
    if rf_low > rf_high:
        raise CannotAddReference("The lowest value is above the highest. Exchange the two.")
