"""What a set of readings is worth: each R_f with its uncertainty, R_rel, and what unknowns may be.

It starts where `review.py` ends. Given one paper alone, the same frozen readings give the same answer for as
long as they are kept; other papers and published values may be given beside them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from practicals.calculations.candidates import (
    Identification,
    OtherPaper,
    PublishedSubstance,
    StandardSpot,
    UnknownSpot,
)
from practicals.calculations.close_spots import ClosePair, PlacedSpot, close_pairs
from practicals.calculations.colours_noted import colour_words, odd_colours, standard_colour
from practicals.calculations.entry import PaperFacts
from practicals.calculations.identification import identify
from practicals.calculations.naming import Naming, judge_naming
from practicals.calculations.neighbouring_spots import Neighbours, edges_wanted, neighbours
from practicals.calculations.paper_slips import PaperExplanation, StatedSpot, explain_paper
from practicals.calculations.relative import Relative, relative_to
from practicals.calculations.review import LaneReview, Review, SpotReview
from practicals.calculations.rf import NoRetardationFactorError, rounded, spot_centre
from practicals.calculations.rm_reported import RmReported, rm_reported
from practicals.calculations.uncertainty import (
    Located,
    RfUncertainty,
    located,
    rf_uncertainty,
    run_words,
    shortest_run_for,
    spot_as_read,
)

#: U of R_f that class work can reach and a two-decimal value deserves: common practice, no source.
WANTED_U = 0.02


@dataclass(frozen=True, slots=True)
class SpotMeasured:
    """One spot: R_f and R_rel with uncertainties [-]; for an unknown's what it may be, and its naming."""

    spot: SpotReview
    lane_name: str
    rf: RfUncertainty | None
    relative: Relative | None
    identification: Identification | None = None
    naming: Naming | None = None
    colour: str = ""

    @property
    def label(self) -> str:
        """Lane, what is in it, and the spot's number after the first."""
        more = f", spot {self.spot.number}" if self.spot.number > 1 else ""
        return f"{self.spot.lane}, {self.lane_name}{more}"

    @property
    def rm(self) -> RmReported | None:
        """R_M with its uncertainty, or why there is none; None without an R_f."""
        return None if self.rf is None else rm_reported(self.rf)

    @property
    def mostly(self) -> str:
        """The largest cause of the uncertainty with its part of the variance, empty without an R_f."""
        if self.rf is None:
            return ""
        first = self.rf.causes[0]
        return f"{first.name}, {first.percent} %"

    @property
    def relative_text(self) -> str:
        """R_rel with its expanded uncertainty (k = 2) and no more; empty if there is none."""
        if self.relative is None:
            return ""
        found = self.relative.reported
        return found.text.partition(" (")[0] if found else f"{self.relative.value:.2f}"


@dataclass(frozen=True, slots=True)
class Measured:
    """All that follows from one person's readings of one paper, beside its review.

    `neighbours` holds spots against each other: by resolution, and by the difference of their R_f.
    `edges_wanted` says where spots of one lane have too few readings for a resolution, `odd_colours` where a
    standard's colour was noted otherwise than it is stated.
    """

    spots: tuple[SpotMeasured, ...]
    reference: str
    run: str
    neighbours: tuple[Neighbours | ClosePair, ...]
    slips: PaperExplanation
    edges_wanted: str = ""
    odd_colours: tuple[str, ...] = ()

    @property
    def half_widths_stated(self) -> bool:
        """Whether a half-width was stated for any spot."""
        return any(one.spot.judged_to_mm is not None for one in self.spots)

    @property
    def colours_noted(self) -> bool:
        """Whether a colour was noted of any spot."""
        return any(one.spot.colour for one in self.spots)

    @property
    def unknowns(self) -> tuple[SpotMeasured, ...]:
        """The spots of unknowns that could be compared."""
        return tuple(spot for spot in self.spots if spot.identification)

    @property
    def causes(self) -> tuple[str, ...]:
        """What makes the values uncertain, as sentences, lanes with the same largest cause together."""
        lanes: dict[str, list[str]] = {}
        for one in self.spots:
            if one.rf is not None:
                lanes.setdefault(one.rf.causes[0].name, []).append(str(one.spot.lane))
        return tuple(
            f"Lane{'s' if len(set(found)) > 1 else ''} {', '.join(dict.fromkeys(found))}: uncertain mostly"
            f" through {cause}."
            for cause, found in lanes.items()
        )

    @property
    def slip(self) -> str:
        """What explains several wrong values together, as sentences; empty if fewer than two are wrong."""
        return self.slips.summary if self.slips.wrong > 1 else ""


def measure(
    review: Review,
    *,
    paper: PaperFacts,
    wanted: float = WANTED_U,
    other_papers: Sequence[OtherPaper] = (),
    published: Sequence[PublishedSubstance] = (),
) -> Measured:
    """Uncertainty, R_rel, resolution, identification and paper-wide slips of one person's readings.

    The reference for R_rel is the one that the practical names, else the first standard from the left.
    Unknowns are compared with the standards on the same paper, and with what is given beside it only where
    those have no match.

    Parameters
    ----------
    review : Review
        The readings, checked [mm].
    paper : PaperFacts
        The paper's size, lanes, ruler and reference [mm].
    wanted : float
        Expanded uncertainty that the run should reach [-].
    other_papers : Sequence[OtherPaper]
        Standards on this session's other papers [-].
    published : Sequence[PublishedSubstance]
        Published values of the very same system [-].

    Returns
    -------
    Measured
        Spots in the paper's order; whatever cannot be said is left out.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.2; IUPAC Gold Book, relative retardation, doi:10.1351/goldbook.R05276.
    """
    lines = _Lines(review, paper)
    names, reference = _reference(review, paper)
    known = reference.spots[0] if reference and reference.spots else None
    beside = _Beside(tuple(lines.standards()), other_papers, published)
    return Measured(
        spots=tuple(
            _spot(lines, lane, spot, names, known, beside) for lane in review.lanes for spot in lane.spots
        ),
        reference=names if known is not None else "",
        run=_run(lines, wanted),
        neighbours=(*neighbours(review), *lines.pairs()),
        slips=_slips(review),
        edges_wanted=edges_wanted(review),
        odd_colours=tuple(odd_colours(review, paper)),
    )


@dataclass(frozen=True, slots=True)
class _Beside:
    """What unknowns are compared with."""

    standards: tuple[StandardSpot, ...]
    other_papers: Sequence[OtherPaper]
    published: Sequence[PublishedSubstance]


class _Lines:
    """The lines and spots of one paper as located readings."""

    def __init__(self, review: Review, paper: PaperFacts) -> None:
        self.review, self.paper = review, paper
        self.origin = None if review.origin_mm is None else self._line(review.origin_mm)
        self.front = None if review.front_mm is None else self._line(review.front_mm)

    def _line(self, at_mm: Decimal) -> Located:
        return located(at_mm, division_mm=self.paper.ruler_division_mm)

    def front_of(self, lane: LaneReview) -> Located | None:
        if lane.has_own_front and lane.front_mm is not None:
            return self._line(lane.front_mm)
        return self.front

    def own_front(self, lane: LaneReview) -> Located | None:
        return self.front_of(lane) if lane.has_own_front else None

    def spot(self, spot: SpotReview) -> Located:
        both = spot.leading_mm is not None and spot.trailing_mm is not None
        # The review keeps where the centre is, not whether it was read or found midway between the edges.
        midway = both and rounded(
            spot_centre(spot.leading_mm or Decimal(0), spot.trailing_mm or Decimal(0)), 3
        ) == rounded(spot.centre_mm, 3)
        found = spot_as_read(
            centre_mm=None if midway else spot.centre_mm,
            leading_mm=spot.leading_mm,
            trailing_mm=spot.trailing_mm,
            division_mm=self.paper.ruler_division_mm,
            judged_to_mm=spot.judged_to_mm,
        )
        return found or self._line(spot.centre_mm)

    def rf(self, lane: LaneReview, spot: SpotReview) -> RfUncertainty | None:
        front = self.front_of(lane)
        if spot.rf is None or self.origin is None or front is None:
            return None
        return rf_uncertainty(self.spot(spot), origin=self.origin, front=front)

    def standards(self) -> Iterator[StandardSpot]:
        for lane in self.review.standards:
            for spot in lane.spots:
                if spot.rf is not None:
                    yield StandardSpot(
                        lane.key,
                        lane.name,
                        self.spot(spot),
                        self.own_front(lane),
                        standard_colour(spot.colour, self.paper.colour_of(lane.key)),
                    )

    def pairs(self) -> tuple[ClosePair, ...]:
        if self.origin is None:
            return ()
        placed = [
            PlacedSpot(
                lane.number,
                spot.number,
                lane.key,
                f"{lane.number}, {lane.name}",
                lane.is_standard,
                self.spot(spot),
                self.own_front(lane),
            )
            for lane in self.review.lanes
            for spot in lane.spots
        ]
        return close_pairs(placed, origin=self.origin, front=self.front)


def _reference(review: Review, paper: PaperFacts) -> tuple[str, LaneReview | None]:
    """The standard that R_rel refers to, and its first lane; it is not exchanged for one that was read."""
    wanted = [lane for lane in review.standards if not paper.reference or lane.key == paper.reference]
    return (wanted[0].name, wanted[0]) if wanted else ("", None)


def _spot(
    lines: _Lines,
    lane: LaneReview,
    spot: SpotReview,
    reference: str,
    known: SpotReview | None,
    beside: _Beside,
) -> SpotMeasured:
    identification = None if lane.is_standard else _identification(lines, lane, spot, beside)
    naming, colour = None, ""
    if identification is not None:
        naming = judge_naming(
            spot.identified_as, spot.identified_name, [identification], cannot_tell=spot.cannot_tell
        )
        colour = colour_words(spot, identification, review=lines.review, paper=lines.paper)
    return SpotMeasured(
        spot=spot,
        lane_name=lane.name,
        rf=lines.rf(lane, spot),
        relative=_relative(lines, spot, reference, known),
        identification=identification,
        naming=naming,
        colour=colour,
    )


def _relative(lines: _Lines, spot: SpotReview, reference: str, known: SpotReview | None) -> Relative | None:
    if known is None or lines.origin is None:
        return None
    standard = lines.spot(known)
    own = standard if spot is known else lines.spot(spot)
    try:
        return relative_to(reference, spot=own, reference=standard, origin=lines.origin)
    except NoRetardationFactorError:
        return None


def _identification(
    lines: _Lines, lane: LaneReview, spot: SpotReview, beside: _Beside
) -> Identification | None:
    front = lines.front_of(lane)
    if spot.rf is None or lines.origin is None or front is None:
        return None
    unknown = UnknownSpot(lines.spot(spot), lines.own_front(lane), spot.colour)
    # A paper may have fronts of its lanes only: what has none of its own is then left out.
    comparable = [one for one in beside.standards if lines.front is not None or one.front is not None]
    return identify(
        unknown,
        origin=lines.origin,
        front=lines.front or front,
        standards=comparable,
        other_papers=beside.other_papers,
        published=beside.published,
    )


def _run(lines: _Lines, wanted: float) -> str:
    """Whether the run was long enough for the spot that needs the longest."""
    needs = []
    for lane in lines.review.lanes:
        front = lines.front_of(lane)
        for spot in lane.spots:
            if lines.origin is None or front is None or spot.rf is None or not 0 <= spot.rf <= 1:
                continue
            shortest_mm = shortest_run_for(
                wanted,
                u_spot_mm=lines.spot(spot).u_mm,
                u_origin_mm=lines.origin.u_mm,
                u_front_mm=front.u_mm,
                rf=spot.rf,
            )
            needs.append((shortest_mm, front.at_mm - lines.origin.at_mm))
    if not needs or lines.origin is None:
        return ""
    shortest_mm, run_mm = max(needs, key=lambda need: need[0] - need[1])
    room_mm = lines.paper.height_mm - lines.origin.at_mm
    said = run_words(wanted, shortest_mm=shortest_mm, run_mm=run_mm, paper_run_mm=room_mm)
    return f"{said} The shortest run for it is {shortest_mm:f} mm." if run_mm >= shortest_mm else said


def _slips(review: Review) -> PaperExplanation:
    run_mm = None
    if review.origin_mm is not None and review.front_mm is not None and review.front_mm > review.origin_mm:
        run_mm = review.front_mm - review.origin_mm
    return explain_paper(
        [
            StatedSpot(spot.lane, f"Lane {spot.lane}, spot {spot.number}", spot.explanation)
            for spot in review.spots
            if spot.explanation is not None
        ],
        run_mm=run_mm,
    )
