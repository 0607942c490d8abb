"""The prep list of one requisition or of a whole day, for page and paper. It names staff, never a class."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.utils import timezone

from reagents.calculations.batch_check import state_of
from reagents.calculations.prep_plan import plan_for
from reagents.calculations.preparation import Filling, Hazards, PartWanted, PrepPlan, Wanted
from reagents.calculations.substances import LABEL_NOTICE
from reagents.models import Batch, Recipe, Requisition, RequisitionLine
from reagents.rendering import render_pdf

STATES = {
    "made": ("made", "done"),
    "covered": ("made, for the whole day", "done"),
    "partly made": ("partly made", "waiting"),
    "to make": ("to make", "open"),
}


@dataclass(frozen=True)
class Destination:
    """Where a part of a liquid goes."""

    requisition: UUID
    line: UUID
    title: str
    room: str
    needed_at: datetime
    total_ml: Decimal
    chambers: int | None


@dataclass(frozen=True)
class MadeBatch:
    uuid: UUID
    code: str
    made_at: datetime
    total_ml: Decimal
    recalled: bool


@dataclass(frozen=True)
class ListedLiquid:
    """One liquid of the list; `line` is where its batch is recorded."""

    number: int
    title: str
    kind: str
    label_code: str
    plan: PrepPlan
    destinations: tuple[Destination, ...]
    batches: tuple[MadeBatch, ...]
    state: str
    line: UUID

    @property
    def state_word(self) -> str:
        return STATES[self.state][0]

    @property
    def state_class(self) -> str:
        return STATES[self.state][1]

    @property
    def waits(self) -> bool:
        return self.state in {"to make", "partly made"}


@dataclass(frozen=True)
class Equipment:
    name: str
    per: str
    each: int
    count: int
    spare: int
    together: int
    title: str
    room: str


@dataclass(frozen=True)
class Asked:
    """A requisition as its list's head shows it."""

    uuid: UUID
    title: str
    room: str
    needed_at: datetime
    asked_by: str
    asked_at: datetime
    note: str
    withdrawn_at: datetime | None
    replaced_by: UUID | None
    replaces: UUID | None

    @property
    def stands(self) -> bool:
        return not self.withdrawn_at and not self.replaced_by


@dataclass(frozen=True)
class PrepList:
    title: str
    requisitions: tuple[Asked, ...]
    liquids: tuple[ListedLiquid, ...]
    equipment: tuple[Equipment, ...]
    hazards: tuple[Hazards, ...]
    label_notice: str = LABEL_NOTICE

    @property
    def only(self) -> Asked | None:
        """The requisition, when the list is of one."""
        return self.requisitions[0] if len(self.requisitions) == 1 else None

    @property
    def whole_day(self) -> bool:
        return len(self.requisitions) != 1

    @property
    def to_make(self) -> tuple[ListedLiquid, ...]:
        return tuple(liquid for liquid in self.liquids if liquid.waits)


#: Which liquid: the same recipe under the same label is made in one go.
Key = tuple[int, str]


def prep_list(
    requisitions: Sequence[Requisition], *, title: str, same_day: Iterable[Requisition] | None = None
) -> PrepList:
    """Combine requisitions (read with `for_prep`); `same_day` says what else that day's batches serve."""
    wanted = _by_liquid(requisitions)
    day = _by_liquid(standing(same_day)) if same_day is not None else wanted
    liquids = tuple(
        _liquid(number, lines, day.get(key) or lines) for number, (key, lines) in enumerate(wanted.items(), 1)
    )
    hazards = {one.substance: one for liquid in liquids for one in liquid.plan.hazards}
    return PrepList(
        title=title,
        requisitions=tuple(_asked(one) for one in requisitions),
        liquids=liquids,
        equipment=_equipment(requisitions),
        hazards=tuple(hazards.values()),
    )


def standing(requisitions: Iterable[Requisition]) -> list[Requisition]:
    """Those that are neither withdrawn nor replaced: what is asked for twice is made once."""
    return [one for one in requisitions if not one.withdrawn_at and not getattr(one, "replaced_by", None)]


def states_of(requisitions: Iterable[Requisition]) -> dict[UUID, str]:
    """State of each line, by its UUID, seen with all that is asked for on its day."""
    return {
        line.uuid: _state([line], lines)
        for lines in _by_liquid(standing(requisitions)).values()
        for line in lines
    }


def to_make(requisitions: Iterable[Requisition]) -> Iterator[tuple[date, list[RequisitionLine]]]:
    """The lines that no batch covers yet, by day and liquid, as they are made in one go."""
    by_day: dict[date, list[Requisition]] = {}
    for requisition in requisitions:
        by_day.setdefault(timezone.localtime(requisition.needed_at).date(), []).append(requisition)
    for day, asked in by_day.items():
        states = states_of(asked)
        for lines in _by_liquid(asked).values():
            open_lines = [line for line in lines if states.get(line.uuid) in {"to make", "partly made"}]
            if open_lines:
                yield day, open_lines


def wanted_of(lines: Sequence[RequisitionLine]) -> Wanted:
    """The plain values of one liquid, for one line or for several of the same recipe."""
    recipe: Recipe = lines[0].recipe
    return Wanted(
        title=recipe.title,
        kind=recipe.kind,
        parts=tuple(
            PartWanted(part.order, part.substance, part.amount, part.basis, part.note)
            for part in recipe.parts.all()
        ),
        fillings=tuple(_filling(line) for line in lines),
        cautions=tuple(str(caution) for caution in recipe.cautions),
        made_on_the_day=recipe.made_on_the_day,
        shelf_life_hours=recipe.shelf_life_hours,
        label_code=lines[0].label_code,
    )


def same_liquid(line: RequisitionLine, requisitions: Iterable[Requisition]) -> list[RequisitionLine]:
    """Every line of standing requisitions that asks for the same recipe under the same label."""
    day = _by_liquid(standing(requisitions))
    return day.get((line.recipe_id, line.label_code)) or [line]


def prep_list_pdf(made: PrepList, *, created: datetime, centre: Any = None) -> bytes:
    """The list on A4, with boxes to tick, places to initial and to write what was measured."""
    return render_pdf(
        "documents/prep_list/prep_list.html",
        {"list": made, "centre": centre},
        title=made.title,
        created=created,
    )


def day_title(day: date) -> str:
    return f"Prep list, {day:%a} {day.day} {day:%b %Y}"


def _by_liquid(requisitions: Iterable[Requisition]) -> Mapping[Key, list[RequisitionLine]]:
    found: dict[Key, list[RequisitionLine]] = {}
    for requisition in requisitions:
        for line in requisition.lines.all():
            line.requisition = requisition  # the same row: saves a query for each line
            found.setdefault((line.recipe_id, line.label_code), []).append(line)
    return found


def _filling(line: RequisitionLine) -> Filling:
    return Filling(
        total_ml=line.total_ml,
        chambers=line.chambers,
        volume_per_chamber_ml=line.volume_per_chamber_ml,
        diameter_mm=line.chamber_diameter_mm,
        depth_mm=line.depth_mm,
        origin_height_mm=line.origin_height_mm,
        overage_percent=line.overage_percent,
    )


def _liquid(number: int, lines: list[RequisitionLine], of_the_day: list[RequisitionLine]) -> ListedLiquid:
    state = _state(lines, of_the_day)
    recipe = lines[0].recipe
    to_record = next((line for line in lines if not _standing(line)), lines[0])
    return ListedLiquid(
        number=number,
        title=recipe.title,
        kind=recipe.kind,
        label_code=lines[0].label_code,
        plan=plan_for(wanted_of(lines)),
        destinations=tuple(_destination(line) for line in lines),
        batches=_batches(of_the_day if state == "covered" else lines),
        state=state,
        line=to_record.uuid,
    )


def _state(lines: list[RequisitionLine], of_the_day: list[RequisitionLine]) -> str:
    return state_of(
        needed_ml=sum((line.total_ml for line in lines), Decimal(0)),
        own_ml=_held(lines),
        day_needed_ml=sum((line.total_ml for line in of_the_day), Decimal(0)),
        day_made_ml=_held(of_the_day),
    )


def _standing(line: RequisitionLine) -> list[Batch]:
    return [batch for batch in line.batches.all() if not batch.recalled_at]


def _held(lines: Iterable[RequisitionLine]) -> Decimal:
    return sum((batch.total_ml for line in lines for batch in _standing(line)), Decimal(0))


def _batches(lines: Iterable[RequisitionLine]) -> tuple[MadeBatch, ...]:
    return tuple(
        MadeBatch(batch.uuid, batch.code, batch.made_at, batch.total_ml, bool(batch.recalled_at))
        for line in lines
        for batch in line.batches.all()
    )


def _destination(line: RequisitionLine) -> Destination:
    requisition = line.requisition
    return Destination(
        requisition=requisition.uuid,
        line=line.uuid,
        title=requisition.title,
        room=requisition.room,
        needed_at=requisition.needed_at,
        total_ml=line.total_ml,
        chambers=line.chambers,
    )


def _equipment(requisitions: Sequence[Requisition]) -> tuple[Equipment, ...]:
    """Side by side for each requisition, not added up: two lessons may use the same things in turn."""
    rows = [
        Equipment(
            name=item.name,
            per=item.per,
            each=item.each,
            count=item.count,
            spare=item.spare,
            together=item.count + item.spare,
            title=requisition.title,
            room=requisition.room,
        )
        for requisition in requisitions
        for item in requisition.items.all()
    ]
    if len(requisitions) < 2:
        return tuple(rows)
    first = {row.name: place for place, row in reversed(list(enumerate(rows)))}
    return tuple(sorted(rows, key=lambda row: first[row.name]))


def _asked(requisition: Requisition) -> Asked:
    replaced = getattr(requisition, "replaced_by", None)
    return Asked(
        uuid=requisition.uuid,
        title=requisition.title,
        room=requisition.room,
        needed_at=requisition.needed_at,
        asked_by=str(requisition.asked_by),
        asked_at=requisition.asked_at,
        note=requisition.note,
        withdrawn_at=requisition.withdrawn_at,
        replaced_by=replaced.uuid if replaced else None,
        replaces=requisition.replaces.uuid if requisition.replaces else None,
    )
