"""A learner's readings of one paper, saved as often as needed until they are locked."""

from datetime import datetime
from decimal import Decimal

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import bench_papers
from practicals.audit import record
from practicals.calculations.entry import LaneEntry, ReadingEntry, SpotEntry
from practicals.models import Analyte, Lane, LaneReading, Paper, ReadingSet, Session, SpotReading, User
from reagents.models import Stale, claim_version


class ReadingsLocked(ValueError):
    """The readings may change only by an amendment with its reason."""

    def __init__(self, readings: ReadingSet | None = None) -> None:
        self.readings = readings
        super().__init__(
            "These readings are locked. What you typed is kept below; to change a locked reading, give the"
            " reason for the change."
        )


class BenchWorkEnded(ValueError):
    """Nothing had been saved when bench work ended."""

    def __init__(self) -> None:
        super().__init__(
            "Bench work has ended, so no new readings can be saved here. Ask your teacher; what you typed is"
            " still below."
        )


class NoSuchLane(ValueError):
    """The entry names a lane, or a standard, that the paper has not."""

    def __init__(self, what: object) -> None:
        self.what = what
        super().__init__(f"This paper has no “{what}”. Choose from what the page offers.")


class SpotWithoutPlace(ValueError):
    """A spot has an own value or one edge, but nothing that says where it is."""

    def __init__(self, lane: int, spot: int) -> None:
        self.lane, self.spot = lane, spot
        super().__init__(f"Lane {lane}, spot {spot}: enter the centre of the spot, or both its edges.")


def save_readings(
    *, by: User, paper: Paper, entry: ReadingEntry, seen_version: int | None, now: datetime
) -> ReadingSet:
    """Save a draft. `seen_version` is the version that the form showed, None if nothing was saved then."""
    if not by.has_perm("practicals.enter_readings") or not bench_papers(by).filter(pk=paper.pk).exists():
        raise PermissionDenied
    with transaction.atomic():
        # The session's row is the queue: two tabs, or the end of bench work meanwhile, wait for each other.
        session = Session.objects.select_for_update().get(pk=paper.group.session_id)
        readings = ReadingSet.objects.select_for_update().filter(paper=paper, learner=by).first()
        if readings is not None and readings.locked_at:
            raise ReadingsLocked(readings)
        if session.readings_locked_at:
            raise BenchWorkEnded
        if readings is None:
            readings = ReadingSet(session=session, paper=paper, learner=by, saved_at=now)
        elif seen_version is None:
            raise Stale(readings)
        else:
            claim_version(readings, seen_version)
        write_entry(readings, entry, now=now)
        record(
            by=by,
            action="save_readings",
            subject=readings,
            sentence=f"Readings of paper {paper.letter} of group {paper.group.number} were saved.",
            detail={"version": readings.version},
        )
    return readings


def write_entry(readings: ReadingSet, entry: ReadingEntry, *, now: datetime) -> None:
    """Replace what a set holds by an entry. The calling action has the row, the right and the audit."""
    lanes = {lane.number: lane for lane in readings.paper.lanes.select_related("analyte")}
    analytes = {
        analyte.key: analyte
        for analyte in readings.paper.group.session.practical.analytes.all()
        if analyte.role == Analyte.Role.STANDARD
    }
    _check(entry, lanes, analytes)
    readings.unit = entry.unit
    readings.origin_mm, readings.front_mm = entry.origin_mm, entry.front_mm
    readings.no_result = entry.no_result
    readings.saved_at = now
    readings.save()
    SpotReading.objects.filter(lane_reading__reading_set=readings).delete()
    LaneReading.objects.filter(reading_set=readings).delete()
    kept = [lane for lane in entry.lanes if _holds_something(lane)]
    rows = LaneReading.objects.bulk_create(
        LaneReading(
            reading_set=readings,
            lane=lanes[lane.number],
            front_mm=lane.front_mm,
            no_result=lane.no_result,
        )
        for lane in kept
    )
    SpotReading.objects.bulk_create(
        SpotReading(
            lane_reading=row,
            number=number,
            centre_mm=_place(lane.number, number, spot),
            leading_mm=spot.leading_mm,
            trailing_mm=spot.trailing_mm,
            own_rf=spot.own_rf,
            identified_as=analytes.get(spot.identified_as),
            cannot_tell=spot.cannot_tell,
            judged_to_mm=spot.judged_to_mm,
            colour=spot.colour,
        )
        for row, lane in zip(rows, kept, strict=True)
        for number, spot in enumerate(lane.spots, start=1)
    )


def _check(entry: ReadingEntry, lanes: dict[int, Lane], analytes: dict[str, Analyte]) -> None:
    for lane in entry.lanes:
        if lane.number not in lanes:
            raise NoSuchLane(f"lane {lane.number}")
        for number, spot in enumerate(lane.spots, start=1):
            if spot.identified_as and spot.identified_as not in analytes:
                raise NoSuchLane(spot.identified_as)
            _place(lane.number, number, spot)


def _place(lane: int, number: int, spot: SpotEntry) -> Decimal:
    place = spot.place_mm
    if place is None or (spot.leading_mm is None) != (spot.trailing_mm is None):
        raise SpotWithoutPlace(lane, number)
    return place


def _holds_something(lane: LaneEntry) -> bool:
    return bool(lane.spots or lane.front_mm is not None or lane.no_result)
