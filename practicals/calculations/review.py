"""One person's readings of one paper, recomputed and checked: a statement for people, not a mark."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from practicals.calculations.doubts import Doubt, PaperReading, SpotReading, doubts
from practicals.calculations.entry import LaneEntry, LaneFacts, PaperFacts, ReadingEntry, SpotEntry, Unit
from practicals.calculations.named_twice import named_twice
from practicals.calculations.rf import (
    NoRetardationFactorError,
    retardation_factor,
    rounded,
    ruler_uncertainty,
    standard_uncertainty,
)
from practicals.calculations.slips import Explanation, Neighbour, NotAnRfError, explain
from practicals.calculations.uncertainty import spot_as_read

CANNOT_BE_TOLD = "cannot be told apart"


@dataclass(frozen=True, slots=True)
class Missing:
    """Something not yet entered, as a sentence; `lane` where it belongs to one."""

    sentence: str
    lane: int | None = None


@dataclass(frozen=True, slots=True)
class SpotReview:
    """One spot [mm]; `rf` is unrounded [-], `rounded_rf` has two decimals, both None without a run.

    `judged_to_mm` is the half-width that was stated for the centre, `colour` what was noted of it.
    """

    lane: int
    number: int
    centre_mm: Decimal
    leading_mm: Decimal | None
    trailing_mm: Decimal | None
    rf: Decimal | None
    rounded_rf: Decimal | None
    uncertainty: float | None
    stated: str
    explanation: Explanation | None
    doubts: tuple[Doubt, ...]
    identified_as: str = ""
    identified_name: str = ""
    cannot_tell: bool = False
    judged_to_mm: Decimal | None = None
    colour: str = ""

    @property
    def told(self) -> str:
        """What the spot was taken for, in words; empty where nothing was said."""
        return CANNOT_BE_TOLD if self.cannot_tell else self.identified_name

    @property
    def verdict(self) -> str:
        """On the person's own R_f: "agrees", "truncated: ..." or "does not agree: ...", or empty."""
        if not self.stated:
            return ""
        if self.explanation is None:
            return "cannot be checked without a front above the origin line"
        return verdict(self.explanation)

    @property
    def agrees(self) -> bool:
        """The own R_f is right."""
        return self.explanation is not None and self.explanation.verdict == "right"

    @property
    def differs(self) -> bool:
        """An own R_f was given, could be checked and is not right."""
        return self.explanation is not None and self.explanation.verdict != "right"


@dataclass(frozen=True, slots=True)
class LaneReview:
    """One lane: what is in it, the front that counts for it [mm], its spots and its doubts."""

    number: int
    key: str
    name: str
    is_standard: bool
    front_mm: Decimal | None
    has_own_front: bool
    no_result: str
    spots: tuple[SpotReview, ...]
    doubts: tuple[Doubt, ...]

    @property
    def complete(self) -> bool:
        """A spot or a reason why there is none; for an unknown also what each spot was taken for."""
        if self.no_result:
            return True
        named = self.is_standard or all(spot.told for spot in self.spots)
        return bool(self.spots) and named and all(spot.stated for spot in self.spots)

    @property
    def told(self) -> str:
        """What the spots were taken for, in words; empty where nothing was said."""
        if len(self.spots) == 1:
            return self.spots[0].told
        return ", ".join(f"spot {spot.number} {spot.told}" for spot in self.spots if spot.told)


@dataclass(frozen=True, slots=True)
class Review:
    """Everything that follows from one person's readings of one paper."""

    unit: Unit
    origin_mm: Decimal | None
    front_mm: Decimal | None
    no_result: str
    lanes: tuple[LaneReview, ...]
    doubts: tuple[Doubt, ...]
    missing: tuple[Missing, ...]

    @property
    def complete(self) -> bool:
        """Nothing is missing."""
        return not self.missing

    @property
    def spots(self) -> tuple[SpotReview, ...]:
        """All spots, lane by lane."""
        return tuple(spot for lane in self.lanes for spot in lane.spots)

    @property
    def standards(self) -> tuple[LaneReview, ...]:
        """The lanes of standards."""
        return tuple(lane for lane in self.lanes if lane.is_standard)

    @property
    def unknowns(self) -> tuple[LaneReview, ...]:
        """The lanes of unknowns."""
        return tuple(lane for lane in self.lanes if not lane.is_standard)

    @property
    def lanes_complete(self) -> int:
        """How many lanes lack nothing."""
        return sum(lane.complete for lane in self.lanes)

    @property
    def impossible(self) -> tuple[Doubt, ...]:
        """Doubts that contradict the geometry."""
        return tuple(doubt for doubt in self.doubts if doubt.severity == "impossible")

    @property
    def doubtful(self) -> tuple[Doubt, ...]:
        """Doubts that are only doubts."""
        return tuple(doubt for doubt in self.doubts if doubt.severity == "doubtful")

    @property
    def stated(self) -> int:
        """How many own R_f were given."""
        return sum(bool(spot.stated) for spot in self.spots)

    @property
    def differing(self) -> tuple[SpotReview, ...]:
        """Spots whose own R_f does not follow from the readings."""
        return tuple(spot for spot in self.spots if spot.differs)

    @property
    def flags(self) -> int:
        """How many things a teacher may want to look at."""
        return len(self.doubts) + len(self.differing)


def verdict(explanation: Explanation) -> str:
    """The verdict on an own R_f in words, the first of which says which kind it is.

    Parameters
    ----------
    explanation : Explanation
        From `practicals.calculations.slips.explain` [-].

    Returns
    -------
    str
        "agrees", "truncated: rounds to 0.55", or "does not agree: " and why.

    References
    ----------
    .. [1] Common practice, no source.
    """
    if explanation.verdict == "right":
        return "agrees"
    slips = [match.slip for match in explanation.matches]
    if explanation.verdict == "rounding" and slips == ["truncated"]:
        return f"truncated: rounds to {explanation.right_value}"
    if not explanation.matches:
        return "does not agree: none of the usual slips explains it"
    return "does not agree: " + ", or ".join(match.name for match in explanation.matches)


def review_readings(entry: ReadingEntry, *, paper: PaperFacts) -> Review:
    """Recompute every R_f, explain the person's own, and list doubts and gaps.

    Nothing raises over what a person read: what gives no R_f has None for it and a doubt that says why.

    Parameters
    ----------
    entry : ReadingEntry
        The readings [mm].
    paper : PaperFacts
        The paper's size and lanes [mm].

    Returns
    -------
    Review
        Lanes in the paper's order; all doubts, the impossible first; what is still missing.

    References
    ----------
    .. [1] IUPAC Gold Book, retardation factor, doi:10.1351/goldbook.R05353.
    .. [2] JCGM 100:2008, 4.3.7 and 5.1.2.
    """
    found = (*_doubts(entry, paper), *named_twice(entry, paper=paper))
    lanes = tuple(_lane(facts, entry, paper, found) for facts in paper.lanes)
    return Review(
        unit=entry.unit,
        origin_mm=entry.origin_mm,
        front_mm=entry.front_mm,
        no_result=entry.no_result,
        lanes=lanes,
        doubts=found,
        missing=tuple(_missing(entry, lanes)),
    )


def spots_read(entry: ReadingEntry) -> tuple[SpotReading, ...]:
    """The spots of an entry as `doubts` and `drawing` take them.

    Parameters
    ----------
    entry : ReadingEntry
        The readings [mm].

    Returns
    -------
    tuple of SpotReading
        Lane by lane, numbered from 1 in each [mm].

    References
    ----------
    .. [1] Common practice, no source.
    """
    return tuple(
        SpotReading(lane.number, number, spot.centre_mm, spot.leading_mm, spot.trailing_mm)
        for lane in entry.lanes
        for number, spot in enumerate(lane.spots, start=1)
    )


def lane_fronts(entry: ReadingEntry) -> dict[int, Decimal]:
    """The fronts of lanes that have their own.

    Parameters
    ----------
    entry : ReadingEntry
        The readings [mm].

    Returns
    -------
    dict of int to Decimal
        Lane number and front [mm].

    References
    ----------
    .. [1] A front that differs from lane to lane: INK1 in the worked examples; common practice, no source.
    """
    return {lane.number: lane.front_mm for lane in entry.lanes if lane.front_mm is not None}


def _doubts(entry: ReadingEntry, paper: PaperFacts) -> tuple[Doubt, ...]:
    if entry.origin_mm is None:
        return ()
    known = {lane.number for lane in paper.lanes}
    reading = PaperReading(
        origin_mm=entry.origin_mm,
        front_mm=entry.front_mm,
        spots=tuple(spot for spot in spots_read(entry) if spot.lane in known),
        paper_height_mm=paper.height_mm,
        origin_height_mm=paper.origin_height_mm,
        lane_fronts_mm=lane_fronts(entry),
        ruler_division_mm=paper.ruler_division_mm,
    )
    return tuple(doubts(reading))


def _lane(facts: LaneFacts, entry: ReadingEntry, paper: PaperFacts, found: tuple[Doubt, ...]) -> LaneReview:
    lane = entry.lane(facts.number)
    here = tuple(doubt for doubt in found if doubt.lane == facts.number)
    front_mm = lane.front_mm if lane.front_mm is not None else entry.front_mm
    neighbours = _neighbours(facts.number, entry)
    spots = tuple(
        _spot(lane, number, spot, front_mm, entry, paper, neighbours, here)
        for number, spot in enumerate(lane.spots, start=1)
        if spot.place_mm is not None
    )
    return LaneReview(
        number=facts.number,
        key=facts.key,
        name=facts.name,
        is_standard=facts.is_standard,
        front_mm=front_mm,
        has_own_front=lane.front_mm is not None,
        no_result=lane.no_result or entry.no_result,
        spots=spots,
        doubts=here,
    )


def _neighbours(number: int, entry: ReadingEntry) -> tuple[Neighbour, ...]:
    return tuple(
        Neighbour(str(lane.number), spot.place_mm, lane.front_mm)
        for lane in entry.lanes
        if lane.number != number
        for spot in lane.spots
        if spot.place_mm is not None
    )


def _spot(
    lane: LaneEntry,
    number: int,
    spot: SpotEntry,
    front_mm: Decimal | None,
    entry: ReadingEntry,
    paper: PaperFacts,
    neighbours: tuple[Neighbour, ...],
    found: tuple[Doubt, ...],
) -> SpotReview:
    centre_mm = spot.place_mm or Decimal(0)
    rf = _rf(centre_mm, entry.origin_mm, front_mm)
    return SpotReview(
        lane=lane.number,
        number=number,
        centre_mm=centre_mm,
        leading_mm=spot.leading_mm,
        trailing_mm=spot.trailing_mm,
        rf=rf,
        rounded_rf=None if rf is None else rounded(rf),
        uncertainty=_uncertainty(spot, entry.origin_mm, front_mm, paper.ruler_division_mm),
        stated=spot.own_rf,
        explanation=_explanation(spot, centre_mm, front_mm, entry, paper, neighbours),
        doubts=tuple(doubt for doubt in found if doubt.spot == number),
        identified_as=spot.identified_as,
        identified_name=paper.name_of(spot.identified_as) if spot.identified_as else "",
        cannot_tell=spot.cannot_tell,
        judged_to_mm=spot.judged_to_mm,
        colour=spot.colour,
    )


def _rf(centre_mm: Decimal, origin_mm: Decimal | None, front_mm: Decimal | None) -> Decimal | None:
    if origin_mm is None or front_mm is None:
        return None
    try:
        return retardation_factor(spot_mm=centre_mm, origin_mm=origin_mm, front_mm=front_mm)
    except NoRetardationFactorError:
        return None


def _uncertainty(
    spot: SpotEntry, origin_mm: Decimal | None, front_mm: Decimal | None, division_mm: Decimal
) -> float | None:
    if origin_mm is None or front_mm is None or front_mm <= origin_mm:
        return None
    read = spot_as_read(
        centre_mm=spot.centre_mm,
        leading_mm=spot.leading_mm,
        trailing_mm=spot.trailing_mm,
        division_mm=division_mm,
        judged_to_mm=spot.judged_to_mm,
    )
    if read is None:
        return None
    u = ruler_uncertainty(division_mm)
    return standard_uncertainty(
        spot_mm=read.at_mm,
        origin_mm=origin_mm,
        front_mm=front_mm,
        u_spot_mm=read.u_mm,
        u_origin_mm=u,
        u_front_mm=u,
    )


def _explanation(
    spot: SpotEntry,
    centre_mm: Decimal,
    front_mm: Decimal | None,
    entry: ReadingEntry,
    paper: PaperFacts,
    neighbours: tuple[Neighbour, ...],
) -> Explanation | None:
    if not spot.own_rf or entry.origin_mm is None or front_mm is None:
        return None
    try:
        return explain(
            spot.own_rf,
            spot_mm=centre_mm,
            origin_mm=entry.origin_mm,
            front_mm=front_mm,
            origin_height_mm=paper.origin_height_mm,
            paper_height_mm=paper.height_mm,
            leading_mm=spot.leading_mm,
            unit=entry.unit,
            neighbours=neighbours,
        )
    except (NotAnRfError, NoRetardationFactorError):
        return None


def _missing(entry: ReadingEntry, lanes: tuple[LaneReview, ...]) -> Iterator[Missing]:
    if entry.no_result:
        return
    if entry.origin_mm is None:
        yield Missing("The origin line has not been read.")
    if entry.front_mm is None and any(lane.front_mm is None and not lane.no_result for lane in lanes):
        yield Missing("The solvent front has not been read.")
    for lane in lanes:
        yield from _missing_in(lane)


def _missing_in(lane: LaneReview) -> Iterator[Missing]:
    if lane.no_result:
        return
    where = f"Lane {lane.number}, {lane.name}"
    if not lane.spots:
        yield Missing(f"{where}: no spot has been read and no reason is given.", lane.number)
        return
    for spot in lane.spots:
        if not spot.stated:
            yield Missing(f"{where}: your own R_f of spot {spot.number} is not given.", lane.number)
        if not lane.is_standard and not spot.told:
            yield Missing(f"{where}: you have not said what spot {spot.number} is.", lane.number)
