"""Published values that come with the program become records, each with its source."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.audit import record
from practicals.calculations.published import PublishedRf, all_published, sources
from practicals.models import ReferenceValue, User

LONGEST_SOURCE = 300


def load_reference_values(*, by: User | None, now: datetime) -> list[ReferenceValue]:
    """Add the shipped values that are not there yet; one that was withdrawn stays withdrawn."""
    if by is not None and not by.has_perm("practicals.edit_practical"):
        raise PermissionDenied
    with transaction.atomic():
        known = set(ReferenceValue.objects.values_list(*_IDENTITY))
        fresh = {_identity(row): row for row in all_published() if _identity(row) not in known}
        made: list[ReferenceValue] = ReferenceValue.objects.bulk_create(
            ReferenceValue(
                **dict(zip(_IDENTITY, identity, strict=True)),
                rf_high=row.rf,
                confirmed=row.confirmed,
                added_by=by,
                added_at=now,
            )
            for identity, row in fresh.items()
        )
        if made:
            record(
                by=by,
                action="load_reference_values",
                subject=made[0],
                sentence=f"{len(made)} published values that come with the program were loaded.",
                detail={"count": len(made)},
            )
    return made


_IDENTITY = ("analyte", "support", "mobile_phase", "ratio", "phase", "rf_low", "source")


def _identity(row: PublishedRf) -> tuple[object, ...]:
    return (row.analyte, row.support, row.mobile_phase, row.ratio, row.phase, row.rf, source_text(row))


def source_text(row: PublishedRf) -> str:
    """Who printed it, where, and what is known against it; a long title gives way."""
    source = sources().get(row.source_key)
    if source is None:
        return ". ".join(filter(None, [row.source_key, row.remark]))
    title = f"{source.authors}: {source.title}" if source.authors else source.title
    if source.year:
        title += f" ({source.year})"
    rest = ". ".join(filter(None, ["", source.where, source.status, row.remark]))
    if len(title) + len(rest) > LONGEST_SOURCE:
        rest = ". ".join(filter(None, ["", row.remark]))[:LONGEST_SOURCE]
        title = title[: LONGEST_SOURCE - len(rest)].rstrip()
    return title + rest
