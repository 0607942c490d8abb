"""What goes to each room on each day: liquids, equipment, when chambers are filled, what comes back."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from uuid import UUID

from django.utils import timezone

from reagents.calculations.prep_order import KEEPS, Running, between_classes, fill_at
from reagents.calculations.quantities import format_quantity
from reagents.calculations.recipe_tree import substances_of
from reagents.calculations.waste import WasteBottle, waste_bottles, waste_of
from reagents.models import Requisition, RequisitionItem, RequisitionLine


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
class Goes:
    """So much of one liquid for one requisition, in words; `number` is its place in the list."""

    number: int
    name: str
    coded: bool
    volume: str
    chambers: str
    back: str


@dataclass(frozen=True)
class Equipment:
    """Something to put out; `box` is what ticking it is called in the form, `counted` how many, in words."""

    name: str
    per: str
    each: int
    count: int
    spare: int
    together: int
    words: str
    counted: str
    key: str
    box: str
    ticked: bool


@dataclass(frozen=True)
class Delivery:
    """All that one requisition takes to its room."""

    asked: Asked
    liquids: tuple[Goes, ...]
    equipment: tuple[Equipment, ...]


@dataclass(frozen=True)
class Room:
    """One room on one day; a page of its own on paper."""

    name: str
    day: date
    deliveries: tuple[Delivery, ...]
    between: tuple[str, ...]
    waste: tuple[WasteBottle, ...]


def rooms_of(
    requisitions: Sequence[Requisition], numbers: Mapping[UUID, int], put_out: Collection[int] = ()
) -> tuple[Room, ...]:
    """Room by room in the order of the days; `numbers` says which liquid of the list a line is.

    `put_out` are the keys of the items that are ticked.
    """
    found: dict[tuple[date, str], list[Requisition]] = {}
    for requisition in requisitions:
        day = timezone.localtime(requisition.needed_at).date()
        found.setdefault((day, requisition.room), []).append(requisition)
    return tuple(_room(name, day, found[day, name], numbers, put_out) for day, name in sorted(found))


def _room(
    name: str,
    day: date,
    asked: list[Requisition],
    numbers: Mapping[UUID, int],
    put_out: Collection[int],
) -> Room:
    lines = [line for requisition in asked for line in requisition.lines.all()]
    between: list[str] = []
    runs: dict[int, list[Running]] = {}
    for line in lines:
        if line.chambers:
            at = timezone.localtime(line.requisition.needed_at)
            runs.setdefault(line.recipe_id, []).append(Running(at, line.chambers))
    for several in runs.values():
        between += between_classes(several)
    return Room(
        name=name,
        day=day,
        deliveries=tuple(_delivery(one, numbers, put_out) for one in asked),
        between=tuple(dict.fromkeys(between)),
        waste=waste_bottles(
            waste_of(
                substances_of(line.recipe.wanted_parts()),
                total_ml=line.total_ml,
                in_chambers_ml=_in_chambers(line),
                keeps=_keeps(line),
            )
            for line in lines
        ),
    )


def _delivery(requisition: Requisition, numbers: Mapping[UUID, int], put_out: Collection[int]) -> Delivery:
    return Delivery(
        asked=asked_of(requisition),
        liquids=tuple(_goes(line, numbers.get(line.uuid, 0)) for line in requisition.lines.all()),
        equipment=tuple(_equipment(item, item.pk in put_out) for item in requisition.items.all()),
    )


def _goes(line: RequisitionLine, number: int) -> Goes:
    rest = line.total_ml - min(_in_chambers(line), line.total_ml)
    back = f"up to {plain(rest)} mL, to be kept" if rest and _keeps(line) else "nothing to keep"
    filled = timezone.localtime(fill_at(line.requisition.needed_at))
    return Goes(
        number=number,
        name=line.label_code or line.recipe.title,
        coded=bool(line.label_code),
        volume=plain(line.total_ml),
        chambers=f"{line.chambers}, filled at {filled:%H:%M}" if line.chambers else "none",
        back=back,
    )


def plain(value: Decimal) -> str:
    """A decimal without trailing noughts."""
    return format_quantity(value.normalize(), "", digits=12)


def _in_chambers(line: RequisitionLine) -> Decimal:
    return (line.volume_per_chamber_ml or Decimal(0)) * (line.chambers or 0)


def _keeps(line: RequisitionLine) -> bool:
    """Whether what is left over is worth keeping after the lesson."""
    hours = line.recipe.shelf_life_hours or 0
    return not line.recipe.made_on_the_day and hours * 3600 >= KEEPS.total_seconds()


def _equipment(item: RequisitionItem, ticked: bool) -> Equipment:
    spare = f" and {item.spare} to spare" if item.spare else ""
    return Equipment(
        name=item.name,
        per=item.per,
        each=item.each,
        count=item.count,
        spare=item.spare,
        together=item.count + item.spare,
        words=f"{item.each} for each {item.per}: {item.count}{spare}",
        counted=str(item.count + item.spare),
        key=f"item-{item.pk}",
        box=f"item {item.pk}",
        ticked=ticked,
    )


def asked_of(requisition: Requisition) -> Asked:
    """The plain values of a requisition."""
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
