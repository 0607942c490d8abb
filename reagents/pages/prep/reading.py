"""What the prep room's pages read, in a fixed number of queries."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import groupby
from typing import Any
from uuid import UUID

from django.shortcuts import get_object_or_404
from django.utils import timezone

from reagents.calculations.quantities import format_quantity
from reagents.documents.prep_list import states_of
from reagents.models import Batch, Container, Requisition, RequisitionLine

WINDOW = timedelta(days=28)


@dataclass(frozen=True)
class Entry:
    """One requisition in the list of what is needed."""

    requisition: Requisition
    stands: bool
    replaced_by: UUID | None
    lines: int
    to_make: tuple[str, ...]

    @property
    def made(self) -> int:
        return self.lines - len(self.to_make)


@dataclass(frozen=True)
class DayOfWork:
    day: date
    entries: tuple[Entry, ...]
    to_make: int
    standing: int


def bounds(day: date) -> tuple[datetime, datetime]:
    """Midnight to midnight in the centre's time zone; a day may have 23 or 25 hours."""
    zone = timezone.get_current_timezone()
    return (
        datetime.combine(day, time.min, tzinfo=zone),
        datetime.combine(day + timedelta(days=1), time.min, tzinfo=zone),
    )


def requisitions_of(day: date) -> list[Requisition]:
    try:
        start, end = bounds(day)
    except OverflowError:  # the last day of the calendar has no next one
        return []
    return list(Requisition.objects.for_prep().needed_between(start, end))


def days_of_work(now: datetime, when: str) -> list[DayOfWork]:
    """Four weeks from today, what comes after them ("later"), or the four weeks before ("earlier")."""
    today, _ = bounds(timezone.localtime(now).date())
    all_of_them = Requisition.objects.for_prep()
    if when == "earlier":
        return list(_by_day(all_of_them.needed_between(today - WINDOW, today)))[::-1]
    if when == "later":
        return list(_by_day(all_of_them.needed_from(today + WINDOW)))
    return list(_by_day(all_of_them.needed_between(today, today + WINDOW)))


def _by_day(requisitions: Iterable[Requisition]) -> Iterator[DayOfWork]:
    for day, group in groupby(requisitions, key=lambda one: timezone.localtime(one.needed_at).date()):
        of_the_day = list(group)
        states = states_of(of_the_day)
        entries = tuple(_entry(one, states) for one in of_the_day)
        yield DayOfWork(
            day=day,
            entries=entries,
            to_make=sum(len(entry.to_make) for entry in entries),
            standing=sum(entry.stands for entry in entries),
        )


def _entry(requisition: Requisition, states: dict[UUID, str]) -> Entry:
    lines = list(requisition.lines.all())
    replaced_by = getattr(requisition, "replaced_by", None)
    return Entry(
        requisition=requisition,
        stands=not requisition.withdrawn_at and not replaced_by,
        replaced_by=replaced_by.uuid if replaced_by else None,
        lines=len(lines),
        to_make=tuple(
            line.recipe.title for line in lines if states.get(line.uuid) in {"to make", "partly made"}
        ),
    )


def requisition_or_404(uuid: UUID) -> Requisition:
    found: Requisition = get_object_or_404(Requisition.objects.for_prep(), uuid=uuid)
    return found


def line_or_404(uuid: UUID) -> RequisitionLine:
    lines = RequisitionLine.objects.select_related("requisition__asked_by", "recipe")
    found: RequisitionLine = get_object_or_404(
        lines.prefetch_related("recipe__parts", "batches__recipe"), uuid=uuid
    )
    return found


def on_the_shelf() -> list[Container]:
    return list(Container.objects.on_the_shelf())


def second_bottles(batch: Batch) -> list[str]:
    """What was taken from a bottle that nobody named, since the one named ran empty."""
    changes = batch.stock_changes.select_related("container")
    named = {amount.container_id for amount in batch.amounts.all()}
    return [
        f"The bottle of {one.container.substance} is empty by its record, so "
        f"{format_quantity(-one.change.normalize(), one.container.unit)} was taken from the one in "
        f"{one.container.place}. If it came from elsewhere, put both records right."
        for one in changes
        if one.container_id not in named
    ]


def taken_for(batch: Batch) -> list[str]:
    """What the batch took off the shelf, one sentence for each bottle."""
    said = []
    for one in batch.stock_changes.select_related("container"):
        bottle, unit = one.container, one.container.unit
        took, left = (format_quantity(value.normalize(), unit) for value in (-one.change, one.left))
        lot = f", lot {bottle.lot}" if bottle.lot else ""
        why = one.why.removeprefix("batch").lstrip(", ")
        because = f" ({why})" if why else ""
        said.append(f"{took} of {bottle.substance}, {bottle.place}{lot}; {left} left then{because}.")
    return said


def batch_or_404(uuid: UUID) -> Any:
    return get_object_or_404(Batch.objects.for_batch_page().prefetch_related("amounts__container"), uuid=uuid)
