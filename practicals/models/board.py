"""A class at work, read in a fixed number of queries however many groups and learners it has."""

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from django.db.models import Count, Prefetch, QuerySet

from practicals.calculations.board_words import Kind, flag_words, group_stage, reading_state
from practicals.calculations.drawing import Drawing
from practicals.calculations.measured import Measured, measure
from practicals.calculations.review import Review
from practicals.models.elsewhere import Elsewhere
from practicals.models.front_run import FrontRun, front_runs
from practicals.models.paper import Lane, Paper
from practicals.models.people import User
from practicals.models.readings import BenchNote, HelpGiven, LaneReading, ReadingSet, spots_with_names
from practicals.models.review import drawing_of, entry_of, facts_of, review
from practicals.models.session import Attendance, Chamber, Group, GroupMember, Lesson, Session

#: The register of a lesson counts from so long before it starts.
EARLY = timedelta(minutes=20)
#: Whoever reads from these was perhaps never in the room.
FROM_AFAR = {ReadingSet.Source.PHOTO, ReadingSet.Source.SUPPLIED}


@dataclass(frozen=True, slots=True)
class Read:
    """One learner's readings of one paper, checked."""

    readings: ReadingSet
    review: Review
    state: str
    kind: Kind
    flags: tuple[str, ...]
    elsewhere: Elsewhere | None = None

    @property
    def is_given(self) -> bool:
        return self.readings.source != ReadingSet.Source.OWN

    @property
    def drawing(self) -> Drawing:
        return drawing_of(self.readings.paper, self.review, entry_of(self.readings))

    @property
    def measured(self) -> Measured:
        """Uncertainties, R_rel and what the unknowns may be; not asked for on the board itself."""
        paper, around = self.readings.paper, self.elsewhere
        return measure(
            self.review,
            paper=facts_of(paper),
            other_papers=around.other_papers(paper.pk) if around else (),
            published=around.published if around else (),
        )


@dataclass(frozen=True, slots=True)
class MemberRow:
    """A learner on the board."""

    learner: User
    guest_of: str
    away_at: str
    mark: str
    reads: tuple[Read, ...]
    state: str
    kind: Kind
    not_marked_present: bool
    help_by_program: int
    help_by_people: int
    notes: int

    @property
    def flags(self) -> tuple[str, ...]:
        unseen = ("readings, but not marked present",) if self.not_marked_present else ()
        return unseen + tuple(flag for read in self.reads for flag in read.flags)

    @property
    def absent(self) -> bool:
        return self.mark == Attendance.Mark.ABSENT

    @property
    def is_waited_for(self) -> bool:
        """Counts for the group's stage: here, or with readings all the same."""
        return bool(self.reads) or not self.absent


@dataclass(frozen=True, slots=True)
class PaperRow:
    """A paper in small, as it was read last."""

    paper: Paper
    drawing: Drawing
    read_by: User | None
    readers: int
    front: FrontRun


@dataclass(frozen=True, slots=True)
class GroupRow:
    group: Group
    stage: str
    kind: Kind
    chambers: tuple[Chamber, ...]
    papers: tuple[PaperRow, ...]
    members: tuple[MemberRow, ...]

    @property
    def recalled(self) -> tuple[Chamber, ...]:
        return tuple(chamber for chamber in self.chambers if chamber.batch and chamber.batch.recalled_at)


@dataclass(frozen=True, slots=True)
class Board:
    session: Session
    at: datetime
    lesson: Lesson | None
    register_taken: bool
    groups: tuple[GroupRow, ...]

    @property
    def members(self) -> tuple[MemberRow, ...]:
        return tuple(member for group in self.groups for member in group.members)

    @property
    def flagged(self) -> tuple[MemberRow, ...]:
        return tuple(member for member in self.members if member.flags)

    @property
    def unfinished(self) -> tuple[MemberRow, ...]:
        return tuple(member for member in self.members if member.kind != "done")

    @property
    def marked(self) -> list[tuple[str, int]]:
        """How many are present, late, absent and not marked, in that order."""
        words = [*Attendance.Mark.values, ""]
        counts = [(word or "not marked", sum(m.mark == word for m in self.members)) for word in words]
        return [(word, count) for word, count in counts if count]

    @property
    def finished_count(self) -> int:
        return sum(member.kind == "done" for member in self.members)

    @property
    def recalled(self) -> tuple[Chamber, ...]:
        return tuple(chamber for group in self.groups for chamber in group.recalled)

    @property
    def wanted_out(self) -> tuple[FrontRun, ...]:
        """Papers in their chamber at which somebody is to look at once."""
        fronts = (paper.front for group in self.groups for paper in group.papers)
        return tuple(front for front in fronts if front.is_wanted_out and not front.paper.no_result)

    @property
    def empty_chambers(self) -> int:
        return sum(chamber.batch is None for group in self.groups for chamber in group.chambers)


def for_board(session: Session, now: datetime) -> Board:
    """The whole board. `session` comes with its practical."""
    groups = list(session.groups.all())
    lessons = list(session.lessons.all())
    lesson = current_lesson(lessons, now)
    marks = {(m.lesson_id, m.learner_id): m.mark for m in Attendance.objects.filter(lesson__in=lessons)}
    papers = papers_of(session, groups)
    by_learner: dict[int, list[Read]] = defaultdict(list)
    by_paper: dict[int, list[Read]] = defaultdict(list)
    for read in reads_of(session, papers):
        by_learner[read.readings.learner_id].append(read)
        by_paper[read.readings.paper_id].append(read)
    around = _Around(session, lesson, marks)
    members: dict[int, list[MemberRow]] = defaultdict(list)
    own_papers = _by_group(papers)
    for place in session.members.select_related("learner", "home_session__teaching_class"):
        row = around.member(place, by_learner[place.learner_id], own_papers[place.group_id])
        members[place.group_id].append(row)
    chambers: dict[int, list[Chamber]] = defaultdict(list)
    for chamber in Chamber.objects.filter(group__in=groups).select_related("batch"):
        chambers[chamber.group_id].append(chamber)
    fronts = front_runs(papers, session.practical, now)
    rows = []
    for group in groups:
        in_small = tuple(
            _paper(paper, by_paper[paper.pk], fronts[paper.pk]) for paper in own_papers[group.pk]
        )
        rows.append(_group(group, chambers[group.pk], in_small, members[group.pk]))
    taken = lesson is not None and any(key[0] == lesson.pk for key in marks)
    return Board(session, now, lesson, taken, tuple(rows))


def current_lesson(lessons: Sequence[Lesson], now: datetime) -> Lesson | None:
    """The lesson that goes on or went on last; before the first one, the first."""
    begun = [lesson for lesson in lessons if lesson.starts_at - EARLY <= now]
    return begun[-1] if begun else next(iter(lessons), None)


def papers_of(session: Session, groups: Iterable[Group]) -> list[Paper]:
    """The session's papers with their lanes, each pointing at the groups given."""
    known = {group.pk: group for group in groups}
    lanes = Prefetch("lanes", Lane.objects.select_related("analyte", "applied_by"))
    papers = list(Paper.objects.filter(group__session=session).prefetch_related(lanes))
    for paper in papers:
        paper.group = known[paper.group_id]
        paper.group.session = session
    return papers


def reads_of(
    session: Session,
    papers: Iterable[Paper],
    sets: "QuerySet[ReadingSet] | None" = None,
    around: Elsewhere | None = None,
) -> list[Read]:
    """All sets of readings, or the given ones, checked against the papers given."""
    known = {paper.pk: paper for paper in papers}
    lanes = Prefetch("lanes", LaneReading.objects.select_related("lane"))
    wanted = ReadingSet.objects.filter(session=session) if sets is None else sets
    found = []
    for readings in wanted.select_related("learner").prefetch_related(lanes, spots_with_names()):
        readings.paper = known[readings.paper_id]
        checked = review(readings)
        state, kind = reading_state(checked, locked=readings.locked_at is not None)
        found.append(Read(readings, checked, state, kind, flag_words(checked), around))
    return found


class _Around:
    """What stands around a learner's readings: marks, help, notes, where else they work."""

    def __init__(self, session: Session, lesson: Lesson | None, marks: dict[tuple[int, int], str]) -> None:
        self.lesson, self.marks = lesson, marks
        self.here = {learner for (_, learner), mark in marks.items() if mark != Attendance.Mark.ABSENT}
        given = HelpGiven.objects.filter(session=session).order_by().values_list("learner")
        self.help = dict(given.annotate(Count("pk")))
        self.help_by_people = dict(given.annotate(Count("by")))
        notes = BenchNote.objects.filter(session=session).order_by().values_list("learner")
        self.notes = dict(notes.annotate(Count("pk")))
        elsewhere = GroupMember.objects.filter(home_session=session).select_related("session__teaching_class")
        self.away = {place.learner_id: place.session.teaching_class.name for place in elsewhere}

    def member(self, place: GroupMember, reads: list[Read], papers: list[Paper]) -> MemberRow:
        who = place.learner_id
        state, kind = member_state(reads, papers)
        measured = any(r.kind != "not-yet" and r.readings.source not in FROM_AFAR for r in reads)
        return MemberRow(
            learner=place.learner,
            guest_of=place.home_session.teaching_class.name if place.home_session else "",
            away_at=self.away.get(who, ""),
            mark=self.marks.get((self.lesson.pk, who), "") if self.lesson else "",
            reads=tuple(reads),
            state=state,
            kind=kind,
            not_marked_present=bool(self.marks) and measured and who not in self.here,
            help_by_program=self.help.get(who, 0) - self.help_by_people.get(who, 0),
            help_by_people=self.help_by_people.get(who, 0),
            notes=self.notes.get(who, 0),
        )


def member_state(reads: Sequence[Read], papers: Sequence[Paper]) -> tuple[str, Kind]:
    """How far a learner is with the group's papers and those given instead."""
    begun = [read for read in reads if read.kind != "not-yet" or read.is_given]
    to_read = {paper.pk for paper in papers if not paper.no_result}
    missing = to_read - {read.readings.paper_id for read in begun}
    if not begun:
        return ("nothing yet", "not-yet") if to_read else ("no result: needs a paper", "not-yet")
    words = dict.fromkeys(_worded(read, len(reads) > 1 or read.is_given) for read in begun)
    if missing:
        words["nothing yet on another paper" if len(papers) > 1 else "nothing yet on the own paper"] = None
    finished = not missing and all(read.kind == "done" for read in begun)
    return "; ".join(words), "done" if finished else "open"


def _worded(read: Read, named: bool) -> str:
    paper = read.readings.paper
    return f"paper {paper.group.number}{paper.letter}: {read.state}" if named else read.state


def _by_group(papers: Iterable[Paper]) -> dict[int, list[Paper]]:
    found: dict[int, list[Paper]] = defaultdict(list)
    for paper in papers:
        found[paper.group_id].append(paper)
    return found


def _group(
    group: Group,
    chambers: list[Chamber],
    papers: tuple[PaperRow, ...],
    members: list[MemberRow],
) -> GroupRow:
    stage, kind = group_stage([member.kind for member in members if member.is_waited_for])
    return GroupRow(
        group=group,
        stage=stage,
        kind=kind,
        chambers=tuple(chambers),
        papers=papers,
        members=tuple(members),
    )


def _paper(paper: Paper, reads: list[Read], front: FrontRun) -> PaperRow:
    begun = [read for read in reads if read.kind != "not-yet"]
    if not begun:
        return PaperRow(paper, drawing_of(paper), None, 0, front)
    latest = max(begun, key=lambda read: (len(read.review.spots), read.readings.saved_at))
    return PaperRow(paper, latest.drawing, latest.readings.learner, len(begun), front)
