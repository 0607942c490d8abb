"""Every R_f that a session's learners read, as plain values: one query, however large the class."""

from collections import defaultdict
from collections.abc import Collection, Iterable
from dataclasses import dataclass
from decimal import Decimal

from practicals.calculations.rf import NoRetardationFactorError, retardation_factor
from practicals.models.practical import Analyte
from practicals.models.readings import ReadingSet, SpotReading

#: Not read from the paper itself, so no measurement of it.
NOT_MEASURED = (ReadingSet.Source.PHOTO, ReadingSet.Source.SUPPLIED)

_SET = "lane_reading__reading_set__"
_LANE = "lane_reading__lane__"
_COLUMNS = (
    f"{_SET}session_id",
    f"{_SET}paper_id",
    f"{_SET}paper__group__number",
    f"{_SET}paper__letter",
    f"{_SET}learner_id",
    f"{_SET}learner__name",
    f"{_SET}locked_at",
    f"{_LANE}analyte__key",
    f"{_LANE}analyte__role",
    f"{_LANE}number",
    f"{_SET}origin_mm",
    f"{_SET}front_mm",
    "lane_reading__front_mm",
    "centre_mm",
)


@dataclass(frozen=True, slots=True)
class ValueRead:
    """One learner's R_f [-] of one analyte on one paper, not rounded."""

    session: int
    paper: int
    group: int
    paper_name: str
    learner: int
    name: str
    locked: bool
    analyte: str
    is_standard: bool
    rf: Decimal


@dataclass(frozen=True, slots=True)
class ValuesRead:
    """The values, and by analyte how many lanes are left out because more than one spot was read."""

    values: tuple[ValueRead, ...]
    several_spots: dict[str, int]


def values_of(sessions: Collection[int]) -> ValuesRead:
    """What was read in these sessions, lane by lane, in the order of the papers and names."""
    spots = SpotReading.objects.filter(
        lane_reading__reading_set__session__in=sessions,
        lane_reading__reading_set__no_result="",
        lane_reading__reading_set__paper__no_result="",
        lane_reading__no_result="",
    ).exclude(lane_reading__reading_set__source__in=NOT_MEASURED)
    order = (
        f"{_SET}paper__group__number",
        f"{_SET}paper__letter",
        f"{_SET}learner__sort_name",
        f"{_SET}learner_id",
        f"{_LANE}number",
    )
    lanes: dict[tuple[int, int, int], list[tuple[ValueRead | None, str]]] = defaultdict(list)
    for row in spots.order_by(*order, "number").values_list(*_COLUMNS):
        value = _value(row)
        lanes[row[1], row[4], row[9]].append((value, row[7]))
    several: dict[str, int] = defaultdict(int)
    single: dict[tuple[int, int, str], list[ValueRead]] = defaultdict(list)
    for found in lanes.values():
        if len(found) > 1:
            several[found[0][1]] += 1
        elif (value := found[0][0]) is not None:
            single[value.paper, value.learner, value.analyte].append(value)
    return ValuesRead(tuple(_one(same) for same in single.values()), dict(several))


def by_analyte(values: Iterable[ValueRead]) -> dict[str, list[ValueRead]]:
    found: dict[str, list[ValueRead]] = defaultdict(list)
    for value in values:
        found[value.analyte].append(value)
    return found


def _value(row: tuple) -> ValueRead | None:  # type: ignore[type-arg]
    session, paper, group, letter, learner, name, locked_at, key, role, _, origin, front, own, centre = row
    front = front if own is None else own
    if origin is None or front is None:
        return None
    try:
        rf = retardation_factor(spot_mm=centre, origin_mm=origin, front_mm=front)
    except NoRetardationFactorError:
        return None
    standard = role == Analyte.Role.STANDARD
    named = f"{group}{letter}"
    return ValueRead(session, paper, group, named, learner, name, locked_at is not None, key, standard, rf)


def _one(same: list[ValueRead]) -> ValueRead:
    """Where an analyte runs in two lanes of a paper, a learner has one value of it: their mean."""
    if len(same) == 1:
        return same[0]
    first = same[0]
    mean = sum((value.rf for value in same), Decimal(0)) / len(same)
    return ValueRead(
        first.session,
        first.paper,
        first.group,
        first.paper_name,
        first.learner,
        first.name,
        first.locked,
        first.analyte,
        first.is_standard,
        mean,
    )
