"""What the planning pages show, gathered in a fixed number of queries."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime, timedelta
from typing import Any

from django.db.models import Count, QuerySet
from django.urls import NoReverseMatch, reverse

from practicals.access import planned_sessions, standing_sessions
from practicals.actions.issue_bench_codes import all_have_codes
from practicals.calculations.clashes import Booking, clashes
from practicals.calculations.front_history import ExpectedTime
from practicals.models import Attendance, Group, GroupMember, Lesson, Session, User
from practicals.models.front_run import expected_time_of
from reagents.models import Batch, Requisition

LONGEST_LESSON = timedelta(minutes=600)


@dataclass(frozen=True, slots=True)
class Step:
    """Something to do, in order: `state` is a word, `mark` its look. What `post` names is done by a form."""

    label: str
    url: str
    state: str
    mark: str
    when: str = ""
    post: str = ""


@dataclass(frozen=True, slots=True)
class LessonRow:
    lesson: Lesson
    warnings: list[str]


@dataclass(frozen=True, slots=True)
class RequisitionState:
    requisition: Requisition | None
    batches: int
    earlier: Requisition | None


@dataclass(frozen=True, slots=True)
class SessionPage:
    session: Session
    lessons: list[LessonRow]
    groups: list[Group]
    ungrouped: list[User]
    learners: int
    requisition: RequisitionState
    copies: list[Session]
    expected: ExpectedTime | None
    steps: list[Step]
    next_step: str


@dataclass(frozen=True, slots=True)
class Absentee:
    """A learner marked absent, and the session that was missed."""

    learner: User
    home_session: Session
    missed: datetime

    @property
    def key(self) -> str:
        return f"{self.learner.uuid}.{self.home_session.uuid}"


@dataclass(frozen=True, slots=True)
class Place:
    group: Group
    taken: int
    of: int

    @property
    def label(self) -> str:
        full = ", full" if self.taken >= self.of else ""
        return f"{self.group} – {self.taken} of {self.of} places taken{full}"


def listed_sessions(user: Any) -> QuerySet[Session]:
    """Sessions whose pages a teacher may open, those withdrawn included."""
    return (
        planned_sessions(user)
        .select_related("practical", "teaching_class", "teacher", "requisition__replaces")
        .prefetch_related("lessons")
    )


def grouped(session: Session) -> list[Group]:
    return list(session.groups.prefetch_related("members__learner", "members__home_session__teaching_class"))


def session_page(session: Session, now: datetime) -> SessionPage:
    groups = grouped(session)
    lessons = list(session.lessons.select_related("leader"))
    requisition = requisition_state(session)
    steps = next_steps(session, bool(lessons), requisition)
    return SessionPage(
        session=session,
        lessons=[LessonRow(lesson, notes) for lesson, notes in lesson_warnings(session, lessons, now)],
        groups=groups,
        ungrouped=ungrouped_learners(session),
        learners=sum(len(group.members.all()) for group in groups),
        requisition=requisition,
        copies=list(
            Session.objects.filter(copied_from=session, withdrawn_at=None).select_related("teaching_class")
        ),
        expected=expected_time_of(session.practical),
        steps=steps,
        next_step=next((step.label for step in steps if step.mark == "open"), ""),
    )


def lesson_warnings(
    session: Session, lessons: list[Lesson], now: datetime
) -> Iterable[tuple[Lesson, list[str]]]:
    """Each lesson with what is odd about it: a clash, or a time that is past before the session started."""
    others = _near(lessons)
    for lesson in lessons:
        found = clashes(_booking(lesson), [_booking(other) for other in others if other.pk != lesson.pk])
        sentences = [f"{phrase[0].upper()}{phrase[1:]} at this time." for phrase in found]
        if session.started_at is None and lesson.starts_at + timedelta(minutes=lesson.minutes) < now:
            sentences.append("This lesson is in the past, and the session has not started.")
        yield lesson, sentences


def _near(lessons: list[Lesson]) -> list[Lesson]:
    """Lessons of all sessions around these days, whose overlap is then worked out exactly."""
    if not lessons:
        return []
    starts = [lesson.starts_at for lesson in lessons]
    return list(
        Lesson.objects.filter(
            starts_at__gte=min(starts) - LONGEST_LESSON, starts_at__lte=max(starts) + LONGEST_LESSON
        )
        .filter(session__closed_at=None, session__withdrawn_at=None)
        .select_related("session")
    )


def _booking(lesson: Lesson) -> Booking:
    return Booking(
        session=str(lesson.session_id),
        starts_at=lesson.starts_at,
        minutes=lesson.minutes,
        room=lesson.room,
        leader=str(lesson.leader_id),
        teaching_class=str(lesson.session.teaching_class_id),
    )


def requisition_state(session: Session) -> RequisitionState:
    requisition = session.requisition
    if requisition is None:
        return RequisitionState(None, 0, None)
    batches = Batch.objects.filter(line__requisition=requisition).count()
    earlier = requisition.replaces
    return RequisitionState(requisition, batches, earlier if earlier and not earlier.withdrawn_at else None)


def ungrouped_learners(session: Session) -> list[User]:
    return list(session.teaching_class.learners().exclude(memberships__session=session))


def next_steps(session: Session, has_lessons: bool, requisition: RequisitionState) -> list[Step]:
    """What a teacher does next, in the order in which it is done."""

    def to(name: str) -> str:
        return reverse(f"plan:{name}", args=[session.uuid])

    sent = requisition.requisition
    steps = [
        Step("Set its lessons", to("edit_session"), *_word(has_lessons, "set")),
        Step("Send the requisition", to("requisition"), *_word(sent is not None, "sent")),
    ]
    if session.closed_at is None:
        steps.append(_slips_step(session, to("slips")))
    assignment = _assignment_url(session)
    if assignment:
        steps.append(Step("Set the assignment", assignment, "from a brief", "waiting"))
    steps.append(Step("Start the session", "", *_word(session.started_at is not None, "started")))
    if session.started_at is not None:
        steps.append(Step("Open the bench board", _board_url(session), session.stage, "waiting"))
    return [step for step in steps if step.url or step.post or step.label == "Start the session"]


def _slips_step(session: Session, url: str) -> Step:
    """Made by a form, since that gives out codes; printed again by a link, which changes nothing."""
    if all_have_codes(session):
        return Step("Print the sign-in slips", url, "made", "done")
    return Step("Make the sign-in slips", "", "when you need them", "waiting", post=url)


def _word(done: bool, word: str) -> tuple[str, str]:
    return (word, "done") if done else ("to do", "open")


def _assignment_url(session: Session) -> str:
    try:
        return f"{reverse('briefs:new_assignment')}?session={session.uuid}"
    except NoReverseMatch:
        return ""


def _board_url(session: Session) -> str:
    try:
        return reverse("board:board", args=[session.uuid])
    except NoReverseMatch:
        return ""


def absentees(user: Any, session: Session) -> list[Absentee]:
    """Learners marked absent who could make up for it here: the same practical, and not here yet."""
    marks = (
        Attendance.objects.filter(
            mark=Attendance.Mark.ABSENT,
            lesson__session__in=standing_sessions(user),
            lesson__session__practical__slug=session.practical.slug,
        )
        .exclude(lesson__session=session)
        .exclude(learner__memberships__session=session)
        .select_related("learner", "lesson__session__teaching_class")
        .order_by("learner__sort_name", "lesson__starts_at")
    )
    found = {
        (mark.learner_id, mark.lesson.session_id): Absentee(
            mark.learner, mark.lesson.session, mark.lesson.starts_at
        )
        for mark in marks
    }
    elsewhere = set(
        GroupMember.objects.filter(home_session__isnull=False, session__withdrawn_at=None).values_list(
            "learner_id", "home_session_id"
        )
    )
    return [person for key, person in found.items() if key not in elsewhere]


def places(session: Session) -> list[Place]:
    groups = session.groups.annotate(taken=Count("members"))
    return [Place(group, group.taken, session.group_size) for group in groups]
