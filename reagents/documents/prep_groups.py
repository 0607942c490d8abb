"""Which lines of requisitions are made in one go, on which day, and whether that has been done."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from django.utils import timezone

from reagents.calculations.batch_check import state_of
from reagents.calculations.prep_order import made_together
from reagents.models import Batch, Requisition, RequisitionLine

#: Which liquid: the same recipe under the same label is made in one go.
Key = tuple[int, str]


@dataclass(frozen=True)
class Group:
    """Lines of one liquid that one batch serves, in the order in which they are needed."""

    day: date
    lines: tuple[RequisitionLine, ...]

    @property
    def several_days(self) -> bool:
        return len({local(line).date() for line in self.lines}) > 1


def standing(requisitions: Iterable[Requisition]) -> list[Requisition]:
    """Those that are neither withdrawn nor replaced: what is asked for twice is made once."""
    return [one for one in requisitions if not one.withdrawn_at and not getattr(one, "replaced_by", None)]


def local(line: RequisitionLine) -> datetime:
    """When the line is needed, by the clock on the wall."""
    return timezone.localtime(line.requisition.needed_at)


def groups_of(requisitions: Iterable[Requisition]) -> list[Group]:
    """Lines of the same recipe under the same label, as far as its shelf life reaches."""
    found = []
    for lines in _by_liquid(requisitions).values():
        recipe = lines[0].recipe
        for batch in made_together(
            [local(line) for line in lines],
            shelf_life_hours=recipe.shelf_life_hours,
            made_on_the_day=recipe.made_on_the_day,
        ):
            found.append(Group(batch.day, tuple(lines[place] for place in batch.needs)))
    return found


def group_of_each(requisitions: Iterable[Requisition]) -> dict[UUID, Group]:
    """The group of each line, by the line's UUID; only of requisitions that stand."""
    return {line.uuid: group for group in groups_of(standing(requisitions)) for line in group.lines}


def states_of(requisitions: Iterable[Requisition]) -> dict[UUID, str]:
    """State of each line, by its UUID, seen with all that is made together with it."""
    return {uuid: state([line], group.lines) for uuid, line, group in _each(requisitions)}


def _each(requisitions: Iterable[Requisition]) -> Iterator[tuple[UUID, RequisitionLine, Group]]:
    for group in groups_of(standing(requisitions)):
        for line in group.lines:
            yield line.uuid, line, group


def weeks(requisitions: Iterable[Requisition]) -> list[list[Requisition]]:
    """Requisitions week by week, Monday first: what is made together never reaches over a week's end."""
    found: dict[date, list[Requisition]] = {}
    for one in requisitions:
        found.setdefault(monday_of(timezone.localtime(one.needed_at).date()), []).append(one)
    return [found[monday] for monday in sorted(found)]


def monday_of(day: date) -> date:
    """The Monday of its week."""
    return date.fromordinal(max(1, day.toordinal() - day.weekday()))


def to_make(requisitions: Iterable[Requisition]) -> Iterator[list[RequisitionLine]]:
    """The lines that no batch covers yet, as they are made in one go."""
    for group in groups_of(standing(requisitions)):
        open_lines = [
            line for line in group.lines if state([line], group.lines) in {"to make", "partly made"}
        ]
        if open_lines:
            yield open_lines


def same_liquid(
    line: RequisitionLine, requisitions: Iterable[Requisition], *, day: date | None = None
) -> list[RequisitionLine]:
    """Every line that is made together with this one; with `day`, only those needed on that day."""
    group = group_of_each(requisitions).get(line.uuid)
    if group is None:
        return [line]
    return [one for one in group.lines if day is None or local(one).date() == day]


def state(lines: Sequence[RequisitionLine], together: Sequence[RequisitionLine]) -> str:
    """Whether lines are made, by batches of their own or by one made for all of the group."""
    return state_of(
        needed_ml=sum((line.total_ml for line in lines), Decimal(0)),
        own_ml=_held(lines),
        day_needed_ml=sum((line.total_ml for line in together), Decimal(0)),
        day_made_ml=_held(together),
    )


def in_use(line: RequisitionLine) -> list[Batch]:
    """The line's batches that were not recalled."""
    return [batch for batch in line.batches.all() if not batch.recalled_at]


def _held(lines: Iterable[RequisitionLine]) -> Decimal:
    return sum((batch.total_ml for line in lines for batch in in_use(line)), Decimal(0))


def _by_liquid(requisitions: Iterable[Requisition]) -> dict[Key, list[RequisitionLine]]:
    found: dict[Key, list[RequisitionLine]] = {}
    for requisition in requisitions:
        for line in requisition.lines.all():
            line.requisition = requisition  # the same row: saves a query for each line
            found.setdefault((line.recipe_id, line.label_code), []).append(line)
    return found
