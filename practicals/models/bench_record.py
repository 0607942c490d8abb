"""What the bench keeps of one learner, and of one paper: for the people who lead the lesson."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from django.db.models import QuerySet

from practicals.calculations.amended import Change, changes_between
from practicals.models.board import Read, papers_of, reads_of
from practicals.models.elsewhere import elsewhere
from practicals.models.files import PaperPhoto
from practicals.models.paper import Lane, Paper
from practicals.models.practical import Analyte
from practicals.models.readings import Amendment, BenchNote, HelpGiven, ReadingSet
from practicals.models.session import Attendance, GroupMember, Session


@dataclass(frozen=True, slots=True)
class Amended:
    amendment: Amendment
    changes: tuple[Change, ...]


@dataclass(frozen=True, slots=True)
class LearnerRecord:
    """One learner in one session."""

    place: GroupMember
    reads: tuple[Read, ...]
    unread: tuple[Paper, ...]
    applied: tuple[Lane, ...]
    marks: tuple[Attendance, ...]
    help_given: tuple[HelpGiven, ...]
    notes: tuple[BenchNote, ...]
    amended: tuple[Amended, ...]


@dataclass(frozen=True, slots=True)
class Cell:
    """What one reader has for one spot of a lane."""

    centre_mm: str
    rf: str
    stated: str
    verdict: str
    differs: bool
    doubts: tuple[str, ...]
    words: str


@dataclass(frozen=True, slots=True)
class LaneRow:
    """One lane, as each reader read it; `cells` in the order of the readers, each with its spots."""

    lane: Lane
    cells: tuple[tuple[Cell, ...], ...]


@dataclass(frozen=True, slots=True)
class PaperRecord:
    """One paper and everybody who reads it."""

    paper: Paper
    reads: tuple[Read, ...]
    rows: tuple[LaneRow, ...]
    photos: tuple[PaperPhoto, ...]
    key: tuple[tuple[str, str], ...]


def places(session: Session) -> "QuerySet[GroupMember]":
    """Who works in the session and where, guests who catch up included."""
    return session.members.select_related("learner", "group", "home_session__teaching_class")


def learner_record(session: Session, place: GroupMember) -> LearnerRecord:
    """Everything on one page, in a fixed number of queries."""
    learner = place.learner
    papers = papers_of(session, session.groups.all())
    sets = ReadingSet.objects.filter(session=session, learner=learner)
    reads = tuple(reads_of(session, papers, sets, elsewhere(session)))
    read = {one.readings.paper_id for one in reads}
    lanes = [lane for paper in papers for lane in paper.lanes.all() if lane.applied_by_id == learner.pk]
    mine = {"session": session, "learner": learner}
    amendments = Amendment.objects.filter(reading_set__in=sets).select_related("reading_set__paper__group")
    marks = Attendance.objects.filter(lesson__session=session, learner=learner)
    return LearnerRecord(
        place=place,
        reads=reads,
        unread=tuple(p for p in papers if p.group_id == place.group_id and p.pk not in read),
        applied=tuple(lanes),
        marks=tuple(marks.select_related("lesson", "marked_by").order_by("lesson__starts_at")),
        help_given=tuple(HelpGiven.objects.filter(**mine).select_related("by", "paper__group")),
        notes=tuple(BenchNote.objects.filter(**mine).select_related("by")),
        amended=tuple(Amended(one, changes_between(one.before, one.after)) for one in amendments),
    )


def paper_record(paper: Paper) -> PaperRecord:
    """The paper with its lanes, all readers beside each other, photos and the key of its unknowns."""
    session = paper.group.session
    reads = tuple(reads_of(session, [paper], ReadingSet.objects.filter(paper=paper), elsewhere(session)))
    lanes = list(paper.lanes.all())
    photos = PaperPhoto.objects.standing().filter(paper=paper).select_related("learner")
    return PaperRecord(
        paper=paper,
        reads=reads,
        rows=tuple(LaneRow(lane, tuple(_cells(read, lane.number) for read in reads)) for lane in lanes),
        photos=tuple(photos),
        key=tuple(_key(lanes, _names(session))),
    )


def _names(session: Session) -> dict[str, str]:
    return {analyte.key: analyte.name for analyte in session.practical.analytes.all()}


def _key(lanes: Iterable[Lane], names: dict[str, str]) -> list[tuple[str, str]]:
    """Each unknown once, and what it holds."""
    found: dict[str, list[str]] = defaultdict(list)
    for lane in lanes:
        if lane.analyte.role == Analyte.Role.UNKNOWN and lane.shown_name not in found:
            found[lane.shown_name] = [names.get(key, key) for key in lane.analyte.contains]
    return [(name, ", ".join(held) or "not recorded") for name, held in found.items()]


def _cells(read: Read, number: int) -> tuple[Cell, ...]:
    lane = next((lane for lane in read.review.lanes if lane.number == number), None)
    if lane is None:
        return ()
    if not lane.spots:
        return (Cell("", "", "", "", False, (), lane.no_result or "not read"),)
    return tuple(
        Cell(
            centre_mm=f"{spot.centre_mm:f}",
            rf="" if spot.rounded_rf is None else str(spot.rounded_rf),
            stated=spot.stated,
            verdict=spot.verdict,
            differs=spot.differs,
            doubts=tuple(doubt.severity for doubt in spot.doubts),
            words=f"taken for {spot.told}" if spot.identified_as else spot.told,
        )
        for spot in lane.spots
    )
