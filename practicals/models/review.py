"""From records to calculations: a set of readings as plain values, and what follows from it.

`ReadingSet.objects.whole()` fetches all that is touched here.
"""

from decimal import Decimal
from typing import cast

from practicals.calculations.drawing import Drawing, draw_paper
from practicals.calculations.entry import (
    LaneEntry,
    LaneFacts,
    PaperFacts,
    ReadingEntry,
    SpotEntry,
    Unit,
)
from practicals.calculations.measured import Measured, measure
from practicals.calculations.practical_file import reference_of
from practicals.calculations.review import Review, lane_fronts, review_readings, spots_read
from practicals.calculations.rf import spot_centre
from practicals.models.paper import Paper
from practicals.models.practical import Analyte
from practicals.models.readings import LaneReading, ReadingSet, SpotReading


def review(readings: ReadingSet) -> Review:
    """Recompute and check one set of readings."""
    return review_readings(entry_of(readings), paper=facts_of(readings.paper))


def measured_of(readings: ReadingSet, checked: Review | None = None) -> Measured:
    """What one set of readings is worth: uncertainties, R_rel, what the unknowns may be."""
    return measure(checked or review(readings), paper=facts_of(readings.paper))


def entry_of(readings: ReadingSet) -> ReadingEntry:
    """A set of readings as the person entered it."""
    return ReadingEntry(
        unit=cast(Unit, readings.unit),
        origin_mm=_kept(readings.origin_mm),
        front_mm=_kept(readings.front_mm),
        no_result=readings.no_result,
        lanes=tuple(sorted((_lane(lane) for lane in readings.lanes.all()), key=lambda lane: lane.number)),
    )


def facts_of(paper: Paper) -> PaperFacts:
    """A paper's size and lanes. Unknowns go by their code: `contains` never leaves the record."""
    lanes = sorted(paper.lanes.all(), key=lambda lane: lane.number)
    practical = paper.group.session.practical
    return PaperFacts(
        width_mm=paper.width_mm,
        height_mm=paper.height_mm,
        origin_height_mm=paper.origin_height_mm,
        ruler_division_mm=practical.ruler_division_mm,
        reference=reference_of(practical.text),
        lanes=tuple(
            LaneFacts(
                lane.number,
                lane.shown_key,
                lane.shown_name,
                lane.analyte.role == Analyte.Role.STANDARD,
                lane.analyte.colour if lane.analyte.role == Analyte.Role.STANDARD else "",
            )
            for lane in lanes
        ),
    )


def drawing_of(paper: Paper, checked: Review | None = None, entry: ReadingEntry | None = None) -> Drawing:
    """The paper to scale, with the entry's readings; spots that the review doubts are marked."""
    facts = facts_of(paper)
    entry = entry or ReadingEntry()
    marked = {(spot.lane, spot.number) for spot in checked.spots if spot.doubts} if checked else set()
    return draw_paper(
        width_mm=facts.width_mm,
        height_mm=facts.height_mm,
        origin_height_mm=facts.origin_height_mm,
        labels=[lane.name for lane in facts.lanes],
        origin_mm=entry.origin_mm,
        front_mm=entry.front_mm,
        lane_fronts_mm=lane_fronts(entry),
        spots=spots_read(entry),
        doubtful=marked,
    )


def _kept(value: Decimal | None) -> Decimal | None:
    """Without the noughts that a column adds, so that a value reads as it was typed."""
    return None if value is None else Decimal(format(value.normalize(), "f"))


def _lane(lane: LaneReading) -> LaneEntry:
    return LaneEntry(
        number=lane.lane.number,
        spots=tuple(_spot(spot) for spot in sorted(lane.spots.all(), key=lambda spot: spot.number)),
        front_mm=_kept(lane.front_mm),
        no_result=lane.no_result,
    )


def _spot(spot: SpotReading) -> SpotEntry:
    leading, trailing = _kept(spot.leading_mm), _kept(spot.trailing_mm)
    centre = _kept(spot.centre_mm)
    if leading is not None and trailing is not None and spot_centre(leading, trailing) == centre:
        # The centre was found from the edges, so it follows them when they are corrected.
        centre = None
    named = spot.identified_as.key if spot.identified_as else ""
    judged = _kept(spot.judged_to_mm)
    return SpotEntry(centre, leading, trailing, spot.own_rf, named, spot.cannot_tell, judged, spot.colour)
