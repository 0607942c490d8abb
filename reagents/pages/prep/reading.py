"""What the prep room's pages read, in a fixed number of queries."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from itertools import groupby
from typing import Any
from uuid import UUID

from django.db.models import Q
from django.shortcuts import get_object_or_404
from django.utils import timezone

from reagents.calculations.phases import MeasuredPhase, phases_as_measured
from reagents.calculations.proportions import ImpossibleProportion
from reagents.calculations.quantities import format_quantity
from reagents.documents.prep_groups import monday_of, same_liquid, states_of, weeks
from reagents.models import WITH_STOCKS, Batch, BatchAmount, Container, PrepTick, Requisition, RequisitionLine

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
    return [one for one in requisitions_of_week(day) if timezone.localtime(one.needed_at).date() == day]


def requisitions_of_week(day: date) -> list[Requisition]:
    """Everything of the week that a day lies in, Monday to Sunday."""
    try:
        monday = monday_of(day)
        (start, _), (_, end) = bounds(monday), bounds(monday + timedelta(days=6))
    except OverflowError:  # the first and the last days of the calendar
        return []
    return list(Requisition.objects.for_prep().needed_between(start, end))


def ticks_of(requisitions: Iterable[Requisition]) -> list[PrepTick]:
    """Every box that is ticked on the lists of these requisitions."""
    keys = [one.pk for one in requisitions]
    asked = Q(line__requisition__in=keys) | Q(item__requisition__in=keys)
    return list(PrepTick.objects.filter(asked).only("line", "item", "box"))


def days_of_work(now: datetime, when: str) -> list[DayOfWork]:
    """Four weeks from today, what comes after them ("later"), or the four weeks before ("earlier")."""
    today = timezone.localtime(now).date()
    first, end = {"earlier": (today - WINDOW, today), "later": (today + WINDOW, None)}.get(
        when, (today, today + WINDOW)
    )
    # Whole weeks, since a batch of Monday may serve Thursday; what lies outside is not shown.
    asked = Requisition.objects.for_prep().needed_from(bounds(monday_of(first))[0])
    if end is not None:
        asked = asked.needed_between(
            bounds(monday_of(first))[0], bounds(monday_of(end) + timedelta(days=6))[1]
        )
    days = [
        one
        for week in weeks(asked)
        for one in _by_day(week)
        if first <= one.day and (end is None or one.day < end)
    ]
    return days[::-1] if when == "earlier" else days


def _by_day(requisitions: list[Requisition]) -> Iterator[DayOfWork]:
    states = states_of(requisitions)
    for day, group in groupby(requisitions, key=lambda one: timezone.localtime(one.needed_at).date()):
        of_the_day = list(group)
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
        lines.prefetch_related(f"recipe__{WITH_STOCKS}", "batches__recipe"), uuid=uuid
    )
    return found


@dataclass(frozen=True)
class Together:
    """The lines that a batch is recorded for, and for how many lines it could be."""

    lines: tuple[RequisitionLine, ...]
    day: date
    alone: bool
    whole_day: bool
    of_the_day: int
    of_the_week: int


def together_with(line: RequisitionLine, asked: Mapping[str, str]) -> Together:
    """One line, all of its day ("whole_day"), or all that one batch serves ("whole_week")."""
    day = timezone.localtime(line.requisition.needed_at).date()
    week = requisitions_of_week(day)
    for_days, for_day = same_liquid(line, week), same_liquid(line, week, day=day)
    whole_week = "whole_week" in asked and len(for_days) > len(for_day)
    whole_day = not whole_week and ("whole_day" in asked or "whole_week" in asked) and len(for_day) > 1
    lines = for_days if whole_week else for_day if whole_day else [line]
    return Together(
        lines=tuple(lines),
        day=day,
        alone=not whole_week and not whole_day,
        whole_day=whole_day,
        of_the_day=len(for_day),
        of_the_week=len(for_days),
    )


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


def phase_as_measured(batch: Batch, amounts: Iterable[BatchAmount]) -> MeasuredPhase | None:
    """What was really measured does to the question of one phase or two; None where it does not arise."""
    kept = [(one.part.substance, one.unit, one.measured) for one in amounts]
    try:
        return phases_as_measured(
            batch.recipe.wanted_parts(),
            volumes_ml={name: measured for name, unit, measured in kept if unit == "mL"},
            masses_g={name: measured for name, unit, measured in kept if unit == "g"},
        )
    except ImpossibleProportion:
        return None


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
    return get_object_or_404(
        Batch.objects.for_batch_page().prefetch_related("amounts__container", f"recipe__{WITH_STOCKS}"),
        uuid=uuid,
    )
