"""Which readings of a paper are impossible, and which are doubtful.

Nothing here refuses a reading: it is kept and flagged. A reading is impossible only if it contradicts
the geometry by more than two readings of the ruler can be apart by chance (k = 2).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import combinations, pairwise
from math import sqrt
from typing import Literal

from practicals.calculations.rf import ruler_uncertainty, spot_centre

Severity = Literal["impossible", "doubtful"]

VERY_LOW, VERY_HIGH = Decimal("0.05"), Decimal("0.95")
# A spot longer than this part of the run is a streak: common practice, no source.
LONGEST_SPOT = Decimal("0.25")
# Closest spacing of lanes found in printed methods, with 1 microlitre spots (MET13 in SOURCES.csv).
CLOSEST_LANES_MM = Decimal(5)
# The pencil line may be this far from where it was planned: common practice, no source.
ORIGIN_AS_PLANNED_MM = Decimal(3)


@dataclass(frozen=True, slots=True)
class SpotReading:
    """One spot as read: by its centre, by its edges, or both [mm]."""

    lane: int
    number: int = 1
    centre_mm: Decimal | None = None
    leading_mm: Decimal | None = None
    trailing_mm: Decimal | None = None

    @property
    def middle_mm(self) -> Decimal | None:
        """The centre as typed, else midway between the edges, else not known [mm]."""
        if self.centre_mm is not None:
            return self.centre_mm
        if self.leading_mm is None or self.trailing_mm is None:
            return None
        return spot_centre(self.leading_mm, self.trailing_mm)


@dataclass(frozen=True, slots=True)
class PaperReading:
    """One person's readings of one paper [mm].

    The ruler's zero may be at the paper's lower edge (origin_mm is then the height of the origin line)
    or at the origin line (origin_mm is 0). `origin_height_mm` is the height of the origin line above
    the lower edge as planned. `lane_fronts_mm` overrides the paper's front lane by lane.
    """

    origin_mm: Decimal
    front_mm: Decimal | None
    spots: tuple[SpotReading, ...] = ()
    paper_height_mm: Decimal | None = None
    origin_height_mm: Decimal | None = None
    lane_fronts_mm: Mapping[int, Decimal] = field(default_factory=dict)
    lane_positions_mm: Mapping[int, Decimal] = field(default_factory=dict)
    ruler_division_mm: Decimal = Decimal(1)

    def front_of(self, lane: int) -> Decimal | None:
        """The front of one lane: its own, else the paper's [mm]."""
        return self.lane_fronts_mm.get(lane, self.front_mm)

    @property
    def slack_mm(self) -> Decimal:
        """How far two readings may be apart by the ruler alone, k = 2 [mm]."""
        return Decimal(2 * sqrt(2) * ruler_uncertainty(self.ruler_division_mm))


@dataclass(frozen=True, slots=True)
class Doubt:
    """One thing about the readings that cannot be, or may not be, right."""

    kind: str
    severity: Severity
    sentence: str
    lane: int | None = None
    spot: int | None = None


def doubts(reading: PaperReading, *, wanted_uncertainty: float = 0.01) -> list[Doubt]:
    """Everything impossible or doubtful about one set of readings.

    Parameters
    ----------
    reading : PaperReading
        The readings [mm].
    wanted_uncertainty : float
        Largest standard uncertainty of R_f [-] that the ruler may cause before a run counts as short.

    Returns
    -------
    list[Doubt]
        Impossible ones first, else in the order front, lanes, spots. Empty if nothing is amiss.

    References
    ----------
    .. [1] IUPAC Gold Book, retardation factor: between 0 and 1, doi:10.1351/goldbook.R05353.
    .. [2] JCGM 100:2008, 4.3.7: a reading to the nearest mark.
    .. [3] The limits 0.05, 0.95 and a quarter of the run: common practice, no source.
    """
    found = [
        *_origin(reading),
        *_fronts(reading, wanted_uncertainty),
        *_lanes(reading),
        *_spots(reading),
        *_neighbouring_spots(reading),
    ]
    return sorted(found, key=lambda doubt: doubt.severity != "impossible")


def _origin(reading: PaperReading) -> Iterator[Doubt]:
    planned = reading.origin_height_mm
    if planned is None or reading.origin_mm == 0:
        return
    if abs(reading.origin_mm - planned) > ORIGIN_AS_PLANNED_MM:
        yield Doubt(
            "origin-not-as-planned",
            "doubtful",
            f"The origin line is read at {reading.origin_mm} mm but was planned {planned} mm above the lower"
            " edge. Check where the ruler's zero was.",
        )


def _fronts(reading: PaperReading, wanted: float) -> Iterator[Doubt]:
    fronts: list[tuple[int | None, Decimal]] = sorted(reading.lane_fronts_mm.items())
    if reading.front_mm is not None:
        fronts.insert(0, (None, reading.front_mm))
    for lane, front_mm in fronts:
        name = "The solvent front" if lane is None else f"The solvent front of lane {lane}"
        yield from _front(reading, wanted, lane, front_mm, name)


def _front(
    reading: PaperReading, wanted: float, lane: int | None, front_mm: Decimal, name: str
) -> Iterator[Doubt]:
    run_mm = front_mm - reading.origin_mm
    if run_mm <= 0:
        yield Doubt(
            "front-not-above-origin",
            "impossible",
            f"{name} ({front_mm} mm) is not above the origin line ({reading.origin_mm} mm), so there is no"
            " R_f. Measure both again.",
            lane,
        )
        return
    yield from _front_on_paper(reading, lane, run_mm, name)
    # sqrt 2 is the worst place on the paper, at the origin line or at the front.
    if sqrt(2) * ruler_uncertainty(reading.ruler_division_mm) / float(run_mm) > wanted:
        yield Doubt(
            "short-run",
            "doubtful",
            f"{name} is only {run_mm} mm above the origin line; a ruler with divisions of"
            f" {reading.ruler_division_mm} mm hardly supports the second decimal of an R_f.",
            lane,
        )


def _front_on_paper(reading: PaperReading, lane: int | None, run_mm: Decimal, name: str) -> Iterator[Doubt]:
    if reading.paper_height_mm is None:
        return
    # A ruler laid at the origin line says nothing of the edge; then the planned height must do.
    at_edge = reading.origin_mm > 0
    below = reading.origin_mm if at_edge else (reading.origin_height_mm or Decimal(0))
    height_mm = run_mm + below
    if height_mm > reading.paper_height_mm + reading.slack_mm:
        yield Doubt(
            "front-above-paper",
            "impossible",
            f"{name} would be {height_mm} mm above the lower edge of a paper only"
            f" {reading.paper_height_mm} mm high. Check the reading and its unit.",
            lane,
        )
    elif height_mm >= reading.paper_height_mm - reading.slack_mm:
        yield Doubt(
            "front-at-top",
            "doubtful",
            f"{name} is at the top edge of the paper. If it ran off, the real front is not known.",
            lane,
        )


def _lanes(reading: PaperReading) -> Iterator[Doubt]:
    places = sorted(reading.lane_positions_mm.items(), key=lambda item: item[1])
    for (left, x_left), (right, x_right) in pairwise(places):
        if x_right - x_left < CLOSEST_LANES_MM:
            yield Doubt(
                "lanes-too-close",
                "doubtful",
                f"Lanes {left} and {right} are {x_right - x_left} mm apart; their spots may run together.",
                right,
            )


def _spots(reading: PaperReading) -> Iterator[Doubt]:
    for spot in reading.spots:
        yield from _edges(reading, spot)
        front_mm = reading.front_of(spot.lane)
        centre_mm = spot.middle_mm
        if front_mm is None or centre_mm is None or front_mm <= reading.origin_mm:
            continue
        yield from _place(reading, spot, centre_mm, front_mm)


def _edges(reading: PaperReading, spot: SpotReading) -> Iterator[Doubt]:
    leading, trailing, centre = spot.leading_mm, spot.trailing_mm, spot.centre_mm
    if leading is None or trailing is None:
        return
    where = _where(spot)
    if leading < trailing:
        yield Doubt(
            "edges-swapped",
            "impossible",
            f"{where}: the leading edge ({leading} mm) is below the trailing edge ({trailing} mm)."
            " The leading edge is the one nearer the solvent front.",
            spot.lane,
            spot.number,
        )
        return
    if centre is not None and not trailing - reading.slack_mm <= centre <= leading + reading.slack_mm:
        yield Doubt(
            "centre-outside-edges",
            "impossible",
            f"{where}: the centre ({centre} mm) is not between its edges ({trailing} and {leading} mm).",
            spot.lane,
            spot.number,
        )
    front_mm = reading.front_of(spot.lane)
    if front_mm is not None and leading - trailing > LONGEST_SPOT * (front_mm - reading.origin_mm) > 0:
        yield Doubt(
            "long-tail",
            "doubtful",
            f"{where} is {leading - trailing} mm long, more than a quarter of the run. A streak has no sure"
            " centre; often too much was applied.",
            spot.lane,
            spot.number,
        )


def _place(
    reading: PaperReading, spot: SpotReading, centre_mm: Decimal, front_mm: Decimal
) -> Iterator[Doubt]:
    where, slack = _where(spot), reading.slack_mm
    severity: Severity = "impossible"
    rf = (centre_mm - reading.origin_mm) / (front_mm - reading.origin_mm)
    if centre_mm > front_mm + slack:
        kind = "beyond-front"
        sentence = (
            f"{where}: the centre ({centre_mm} mm) is beyond the solvent front ({front_mm} mm). No spot can"
            " outrun the mobile phase. Measure it again."
        )
    elif centre_mm < reading.origin_mm - slack:
        kind = "below-origin"
        sentence = (
            f"{where}: the centre ({centre_mm} mm) is below the origin line ({reading.origin_mm} mm)."
            " Measure it again, from the same zero as the origin line."
        )
    elif rf < VERY_LOW:
        kind, severity = "rf-very-low", "doubtful"
        sentence = f"{where} has hardly left the origin line (R_f below {VERY_LOW}); it tells little."
    elif rf > VERY_HIGH:
        kind, severity = "rf-very-high", "doubtful"
        sentence = f"{where} ran almost with the solvent front (R_f above {VERY_HIGH}); it tells little."
    else:
        return
    yield Doubt(kind, severity, sentence, spot.lane, spot.number)


def _neighbouring_spots(reading: PaperReading) -> Iterator[Doubt]:
    for first, second in combinations(reading.spots, 2):
        if first.lane != second.lane:
            continue
        if first.middle_mm is not None and first.middle_mm == second.middle_mm:
            kind, text = "same-spot-twice", f"are both read at {first.middle_mm} mm; one may be entered twice"
        elif _overlap(first, second):
            kind, text = "spots-overlap", "overlap, so their edges and centres are uncertain"
        else:
            continue
        sentence = f"Lane {first.lane}: spots {first.number} and {second.number} {text}."
        yield Doubt(kind, "doubtful", sentence, second.lane, second.number)


def _overlap(first: SpotReading, second: SpotReading) -> bool:
    if first.leading_mm is None or first.trailing_mm is None:
        return False
    if second.leading_mm is None or second.trailing_mm is None:
        return False
    return first.trailing_mm < second.leading_mm and second.trailing_mm < first.leading_mm


def _where(spot: SpotReading) -> str:
    return f"Lane {spot.lane}, spot {spot.number}"
