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
        shipped = ReferenceValue.objects.filter(source__endswith="]").values_list(
            *_SYSTEM, "rf_low", "source"
        )
        known = {(*row[:-1], _key_in(row[-1])) for row in shipped}
        fresh = {_identity(row): row for row in all_published() if _identity(row) not in known}
        made: list[ReferenceValue] = ReferenceValue.objects.bulk_create(
            ReferenceValue(
                **{column: getattr(row, column) for column in _SYSTEM},
                rf_low=row.rf,
                rf_high=row.rf,
                source=source_text(row),
                confirmed=row.confirmed,
                added_by=by,
                added_at=now,
            )
            for row in fresh.values()
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


_SYSTEM = ("analyte", "support", "mobile_phase", "ratio", "phase")


def _identity(row: PublishedRf) -> tuple[object, ...]:
    """By the source's key, not its words: a title that is corrected later makes no second record."""
    return (*(getattr(row, column) for column in _SYSTEM), row.rf, row.source_key)


def _key_in(source: str) -> str:
    return source.rpartition("[")[2].removesuffix("]")


def source_text(row: PublishedRf) -> str:
    """Who printed it, where, what is known against it, and the key of the source, which stays whole."""
    end = f"{_also(row.remark)} [{row.source_key}]"
    source = sources().get(row.source_key)
    if source is None:
        return end.removeprefix(". ").strip()
    title = f"{source.authors}: {source.title}" if source.authors else source.title
    if source.year:
        title += f" ({source.year})"
    more = _also(source.where, source.status)
    if len(title + more + end) > LONGEST_SOURCE:
        more = ""
    return title[: LONGEST_SOURCE - len(end)].rstrip() + more + end


def _also(*remarks: str) -> str:
    return "".join(f". {remark}" for remark in remarks if remark)
