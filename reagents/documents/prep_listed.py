"""What a prep list shows, as plain values."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from itertools import groupby
from uuid import UUID

from reagents.calculations.prep_order import FUME_CUPBOARD, said_minutes
from reagents.calculations.preparation import Cautions, Hazards, Measure, PrepPlan, Sign
from reagents.calculations.substances import LABEL_NOTICE
from reagents.documents.prep_rooms import Asked, Room

STATES = {
    "made": ("made", "done"),
    "covered": ("made, for the whole day", "done"),
    "covered for days": ("made, for several days", "done"),
    "partly made": ("partly made", "waiting"),
    "to make": ("to make", "open"),
}


@dataclass(frozen=True)
class Destination:
    """Where a part of a liquid goes, and when its chambers are filled."""

    requisition: UUID
    line: UUID
    title: str
    room: str
    needed_at: datetime
    total_ml: Decimal
    chambers: int | None
    fill_at: datetime | None
    needed: str
    fill: str
    volume: str


@dataclass(frozen=True)
class MadeBatch:
    uuid: UUID
    code: str
    made_at: datetime
    total_ml: Decimal
    recalled: bool


@dataclass(frozen=True)
class Box:
    """A box to tick: what it is called in the form, and whether somebody ticked it."""

    value: str
    ticked: bool


@dataclass(frozen=True)
class Measuring:
    """One part with its box, and the bottle to take it from."""

    measure: Measure
    box: Box
    take_from: str
    form_factor: Decimal = Decimal(1)


@dataclass(frozen=True)
class Step:
    text: str
    box: Box


@dataclass(frozen=True)
class ListedLiquid:
    """One liquid of the list; `line` is where its batch is recorded.

    `cautions` are those that no liquid before it has said; `said_before` names where the others stand.
    `alike` is the number of an earlier liquid that is made in the very same way; `way` is that way, without
    the amounts. `remarks` are by substance, those that were not made before.
    """

    number: int
    title: str
    kind: str
    label_code: str
    plan: PrepPlan
    destinations: tuple[Destination, ...]
    batches: tuple[MadeBatch, ...]
    state: str
    line: UUID
    day: date
    ready_by: datetime
    bench: str
    minutes: int
    span: str
    measures: tuple[Measuring, ...]
    steps: tuple[Step, ...]
    cautions: tuple[Cautions, ...] = ()
    said_before: tuple[tuple[str, int], ...] = ()
    alike: int | None = None
    way: tuple[str, ...] = ()
    remarks: tuple[tuple[str, tuple[str, ...]], ...] = ()

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
class MadeAlike:
    """Liquids that are made in the very same way; on paper they share a table, cautions and steps."""

    liquids: tuple[ListedLiquid, ...]

    @property
    def first(self) -> ListedLiquid:
        return self.liquids[0]

    @property
    def filled(self) -> Measure | None:
        """What each of them is filled up with, and to what."""
        return next((measure for measure in self.first.plan.measures if measure.fills_up), None)

    @property
    def cautions(self) -> tuple[Cautions, ...]:
        return tuple(caution for liquid in self.liquids for caution in liquid.cautions)

    @property
    def signs(self) -> tuple[Sign, ...]:
        """Signs of the cautions, each once."""
        return tuple(dict.fromkeys(sign for caution in self.cautions for sign in caution.signs))

    @property
    def said_before(self) -> tuple[tuple[str, int], ...]:
        """What was said at another liquid, as long as that is none of these."""
        own = {liquid.number for liquid in self.liquids}
        said = [(about, number) for liquid in self.liquids for about, number in liquid.said_before]
        return tuple(dict.fromkeys((about, number) for about, number in said if number not in own))

    @property
    def remarks(self) -> tuple[tuple[str, tuple[str, ...]], ...]:
        return tuple(remark for liquid in self.liquids for remark in liquid.remarks)


@dataclass(frozen=True)
class Bench:
    """What is made at one place on one day."""

    day: date
    title: str
    liquids: tuple[ListedLiquid, ...]

    @property
    def sets(self) -> tuple[MadeAlike, ...]:
        found: dict[tuple[object, ...], list[ListedLiquid]] = {}
        for liquid in self.liquids:
            alone = liquid.number if liquid.plan.doubts or not liquid.way else 0
            found.setdefault((liquid.way, alone), []).append(liquid)
        return tuple(MadeAlike(tuple(several)) for several in found.values())

    @property
    def time(self) -> str:
        return said_minutes(sum(liquid.minutes for liquid in self.liquids))


@dataclass(frozen=True)
class PrepList:
    title: str
    requisitions: tuple[Asked, ...]
    liquids: tuple[ListedLiquid, ...]
    rooms: tuple[Room, ...]
    hazards: tuple[Hazards, ...]
    stocks: tuple[PrepPlan, ...] = ()
    label_notice: str = LABEL_NOTICE
    filling_rule: str = ""
    time_rule: str = ""
    time: str = ""

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

    @property
    def benches(self) -> tuple[Bench, ...]:
        """Day by day, the fume cupboard before the balance: a page each on paper."""
        return tuple(
            Bench(day, title, tuple(group))
            for (day, title), group in groupby(
                sorted(self.liquids, key=lambda one: (one.day, one.bench != FUME_CUPBOARD)),
                key=lambda one: (one.day, one.bench),
            )
        )
