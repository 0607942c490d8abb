"""A person's day as short lists: what waits, by when, where to do it."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.urls import reverse
from django.utils import timezone

from assessment.access import own_works, verifiable_portfolios
from assessment.models import Work, waiting
from assessment.models.attempt_state import grants_to_answer, open_attempt
from assessment.models.follow_up_state import actions_to_answer
from assessment.pages.home import seen, sent_back
from practicals.access import bench_sessions, fillable_sessions, led_lessons, planned_sessions
from practicals.models import Role, User
from practicals.models.filling import nameless_title
from reagents.actions.take_from_container import as_held
from reagents.calculations.stock import condition
from reagents.models import Container


@dataclass(frozen=True, slots=True)
class Row:
    text: str
    url: str
    when: datetime | None = None
    state: str = ""
    state_class: str = "waiting"


@dataclass(frozen=True, slots=True)
class Section:
    title: str
    rows: tuple[Row, ...]
    empty: str


def sections_for(user: User, now: datetime) -> list[Section]:
    """The lists of every role the person holds, empty ones last."""
    found = [section for role, build in SECTIONS if user.holds(role) for section in build(user, now)]
    found += _seen(user)
    return sorted(found, key=lambda section: not section.rows)


def _section(title: str, rows: Iterable[Row], empty: str) -> Section:
    return Section(title, tuple(rows), empty)


def _seen(user: User) -> Iterable[Section]:
    """Briefs sent back, records and statements on what was seen at the bench; said only where one waits."""
    lists = (
        ("Briefs of yours in which changes are wanted", sent_back.to_change),
        ("Statements you are asked for", seen.to_witness),
        ("Seen at the bench: to accept and to sign", seen.to_accept),
        ("What was seen of you: to read and sign", seen.to_countersign),
    )
    for title, build in lists:
        rows = tuple(Row(*cells) for cells in build(user))
        if rows:
            yield Section(title, rows, "")


def _teacher(user: User, now: datetime) -> Sequence[Section]:
    sessions = planned_sessions(user)
    return [
        _section(
            "At the bench now",
            [
                Row(s.title, reverse("board:board", args=[s.uuid]), s.started_at, s.stage, "open")
                for s in waiting.sessions_at_the_bench(sessions)
            ],
            "No session is at the bench.",
        ),
        _section(
            "Lessons ahead",
            [
                Row(
                    f"{x.session.title}, {x.room}",
                    reverse("plan:session", args=[x.session.uuid]),
                    x.starts_at,
                )
                for x in waiting.lessons_ahead(led_lessons(user), now)
            ],
            "No lesson is planned. Set up a session to begin.",
        ),
        _section(
            "To be requested from the technician",
            [
                Row(s.title, reverse("plan:requisition", args=[s.uuid]), None, "not sent", "open")
                for s in waiting.sessions_without_requisition(sessions)
            ],
            "Every planned session has its requisition.",
        ),
        _section(
            "Waiting for your decision",
            [
                Row(
                    str(a),
                    reverse("marking:assignment", args=[a.uuid]),
                    None,
                    f"{a.waiting} to decide",
                    "open",
                )
                for a in waiting.assignments_to_decide(user)
            ],
            "No submitted work waits for you.",
        ),
        _section(
            "Assignments not issued yet",
            [
                Row(str(a), reverse("marking:assignment", args=[a.uuid]), a.due_at, "not issued", "open")
                for a in waiting.assignments_not_issued(user)
            ],
            "Every assignment is issued.",
        ),
        _section(
            "Actions after verification",
            [
                Row(action.what, reverse("verify:answer", args=[action.uuid]), None, "to answer", "open")
                for action in actions_to_answer(user)[: waiting.ROWS]
            ],
            "No action waits for you.",
        ),
        _section(
            "Resubmissions running",
            [
                Row(
                    f"{g.submission.work.learner}, {g.submission.work.assignment.brief.title}",
                    reverse("marking:work", args=[g.submission.work.uuid]),
                    g.due_at,
                    "until then",
                    "waiting",
                )
                for g in waiting.resubmissions_running(user, now)
            ],
            "No resubmission is running.",
        ),
    ]


def _technician(user: User, now: datetime) -> Sequence[Section]:
    return [
        _section(
            "To have ready",
            [
                Row(
                    r.title,
                    reverse("prep:requisition", args=[r.uuid]),
                    r.needed_at,
                    f"{r.to_make} to make" if r.to_make else "all made",
                    "open" if r.to_make else "done",
                )
                for r in waiting.requisitions_ahead(now)
            ],
            "Nothing is requested for the next two weeks.",
        ),
        _section(
            "Chambers to fill",
            [
                Row(
                    nameless_title(s),
                    reverse("board:chambers", args=[s.uuid]),
                    s.first_lesson,
                    f"{s.empty} of {s.chambers} empty" if s.empty else "all filled",
                    "open" if s.empty else "done",
                )
                for s in waiting.sessions_with_chambers(fillable_sessions(user), now)
            ],
            "No lesson in the next two weeks needs a chamber.",
        ),
        _section("On the shelf", _bottles(now), "No bottle is past its date or ends soon."),
    ]


def _bottles(now: datetime) -> Iterable[Row]:
    """Bottles that ask for something: those past their date first."""
    today = timezone.localtime(now).date()
    dated = [one for one in Container.objects.on_the_shelf() if one.expires_on]
    for bottle in sorted(dated, key=lambda one: one.expires_on):
        word = condition(as_held(bottle), day=today)
        if word in {"expired", "ends soon"}:
            ends = bottle.expires_on
            said = f"{'past its date since' if word == 'expired' else 'ends'} {ends.day} {ends:%b}"
            where = f"{bottle.substance}, {bottle.place}"
            yield Row(
                where,
                reverse("stock:container", args=[bottle.uuid]),
                None,
                said,
                "doubt" if word == "expired" else "waiting",
            )


def _lesson_staff(user: User, now: datetime) -> Sequence[Section]:
    return [
        _section(
            "Lessons given to you",
            [
                Row(
                    f"{x.session.title}, {x.room}", reverse("board:board", args=[x.session.uuid]), x.starts_at
                )
                for x in waiting.lessons_given(led_lessons(user), now)
            ],
            "No lesson is given to you.",
        )
    ]


def _learner(user: User, now: datetime) -> Sequence[Section]:
    return [
        _section(
            "At the bench",
            [
                Row(s.title, reverse("bench:session", args=[s.uuid]), s.started_at, s.stage, "open")
                for s in waiting.sessions_at_the_bench(bench_sessions(user))
            ],
            "No session of yours is open.",
        ),
        _section(
            "Work to write up and submit",
            [_work_row(work) for work in waiting.works_to_do(own_works(user))],
            "No assignment has been given to you.",
        ),
    ]


def _work_row(work: Work) -> Row:
    submissions = list(work.submissions.all())
    url = reverse("my_work:work", args=[work.uuid])
    title = work.assignment.brief.title
    attempt = open_attempt(work)
    if attempt:
        return Row(title, url, attempt.due_at, "may be resubmitted" if attempt.grant else "to do", "open")
    feedback = getattr(submissions[-1], "feedback", None)
    if feedback and feedback.released_at:
        return Row(title, url, feedback.released_at, "result is out", "done")
    return Row(title, url, submissions[-1].submitted_at, "submitted", "closed")


def _verifier(user: User, now: datetime) -> Sequence[Section]:
    return [
        _section(
            "Briefs to check before they are issued",
            [
                Row(str(b), reverse("briefs:brief", args=[b.uuid]), b.written_at, "not signed off", "open")
                for b in waiting.briefs_to_check(user)
            ],
            "No brief waits to be checked.",
        ),
        _section(
            "Portfolios to verify",
            [
                Row(
                    f"{p.submission.work.learner}, {p.plan}",
                    reverse("verify:portfolio", args=[p.uuid]),
                    p.plan.drawn_at,
                    "to verify",
                    "open",
                )
                for p in waiting.portfolios_to_verify(verifiable_portfolios(user), user)
            ],
            "No drawn portfolio waits for you.",
        ),
    ]


def _administrator(user: User, now: datetime) -> Sequence[Section]:
    return [
        _section(
            "Keep up to date",
            [
                Row("Classes and class lists", reverse("people:classes")),
                Row("Accounts and roles", reverse("people:accounts")),
                Row("The centre's settings", reverse("people:centre")),
                Row("Who changed what", reverse("people:audit")),
            ],
            "",
        )
    ]


def _lead_verifier(user: User, now: datetime) -> Sequence[Section]:
    asked = [
        Row(
            f"{grant.submission.work.learner}, {grant.submission.work.assignment.brief.title}",
            reverse("attempts:answer", args=[grant.uuid]),
            grant.asked_at,
            "to answer",
            "open",
        )
        for grant in grants_to_answer(user)[: waiting.ROWS]
    ]
    return [
        _section("Resubmissions asked for", asked, "No resubmission waits for your answer."),
        *_verifier(user, now),
    ]


SECTIONS: tuple[tuple[str, Callable[[User, datetime], Sequence[Section]]], ...] = (
    (Role.TEACHER, _teacher),
    (Role.LESSON_ONLY, _lesson_staff),
    (Role.TECHNICIAN, _technician),
    (Role.LEARNER, _learner),
    (Role.VERIFIER, _verifier),
    (Role.LEAD_VERIFIER, _lead_verifier),
    (Role.ADMINISTRATOR, _administrator),
)
