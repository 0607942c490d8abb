"""Where a learner's work stands, in words: what is there, what is still open. Nothing here judges it."""

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime

from django.db.models import QuerySet
from django.urls import reverse

from assessment.access import own_works
from assessment.calculations.evidence_counts import count_words
from assessment.calculations.grades import GradeOutcome
from assessment.models import Decision, Feedback, Submission, Work
from assessment.models.attempt_state import first_deadline, open_attempt
from assessment.models.facts import LiveEvidence, evidence_of
from assessment.models.results import grade_of, standing_decisions
from assessment.models.waiting import works_to_do
from practicals.access import bench_papers
from practicals.models import Paper, ReadingSet, User
from practicals.models.review import review


@dataclass(frozen=True, slots=True)
class State:
    """A state as a word, and the class that gives it its shape."""

    word: str
    css: str


@dataclass(frozen=True, slots=True)
class WorkLine:
    work: Work
    state: State
    due_at: datetime


@dataclass(frozen=True, slots=True)
class PaperLine:
    """One paper that the work rests on; without `url` it cannot be opened from this sign-in."""

    label: str
    session: str
    url: str
    state: State
    missing: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Standing:
    """All that the page of an open work shows."""

    papers: tuple[PaperLine, ...]
    caught_up_in: tuple[str, ...]
    conclusion_words: int
    evaluation_words: int
    readings_open: bool

    @property
    def unwritten(self) -> tuple[str, ...]:
        """Texts that are not there yet."""
        words = (("conclusion", self.conclusion_words), ("evaluation", self.evaluation_words))
        return tuple(f"The {text} is not written." for text, count in words if not count)

    @property
    def incomplete(self) -> tuple[PaperLine, ...]:
        """Papers of which something is not there yet."""
        return tuple(line for line in self.papers if line.missing)

    @property
    def complete(self) -> bool:
        """There is a paper, and nothing is missing from anything."""
        return bool(self.papers) and not self.incomplete and not self.unwritten


@dataclass(frozen=True, slots=True)
class Result:
    """What the learner reads once it is released."""

    decisions: tuple[Decision, ...]
    grade: GradeOutcome
    feedback: Feedback


def whole(works: QuerySet[Work]) -> QuerySet[Work]:
    """Works with all that their page shows, in a fixed number of queries."""
    return works.select_related(
        "learner", "assessor", "assignment__brief__unit", "assignment__policy"
    ).prefetch_related(
        "assignment__sessions",
        "assignment__brief__criteria",
        "submissions__decisions__criterion",
        "submissions__feedback",
        "submissions__grant",
        "extensions",
        "attachments__file",
    )


def work_lines(user: User, now: datetime) -> list[WorkLine]:
    """The learner's works, soonest due first."""
    at_bench = user.bench_session is not None
    return [
        WorkLine(work, state_of(work, now, at_bench=at_bench), due_of(work))
        for work in works_to_do(own_works(user))
    ]


def due_of(work: Work) -> datetime:
    """The deadline of the attempt that is open, else the one that the last attempt was held to."""
    attempt, submission = open_attempt(work), latest(work)
    if attempt:
        return attempt.due_at
    return (submission.due_at if submission else None) or first_deadline(work)


def state_of(work: Work, now: datetime, *, at_bench: bool) -> State:
    attempt, submission = open_attempt(work), latest(work)
    if attempt and attempt.grant:
        over = now > attempt.due_at
        return State(
            "the time to resubmit has passed" if over else "may be resubmitted", "doubt" if over else "open"
        )
    if attempt or submission is None:
        if now > first_deadline(work):
            return State("not submitted, and the date it was due has passed", "doubt")
        return State("being written", "open") if work.saved_at else State("writing not begun", "open")
    feedback = released_feedback(submission)
    if feedback and not at_bench:
        return State("the result is out", "done")
    return State("submitted late" if submission.late else "submitted", "closed")


def latest(work: Work) -> Submission | None:
    """The latest attempt, from what was prefetched."""
    return max(work.submissions.all(), key=lambda found: found.attempt, default=None)


def released_feedback(submission: Submission) -> Feedback | None:
    feedback = getattr(submission, "feedback", None)
    return feedback if feedback and feedback.released_at else None


def result_of(submission: Submission) -> Result | None:
    """Decisions, grade and feedback together, or nothing before they are released."""
    feedback = released_feedback(submission)
    if feedback is None:
        return None
    decisions = sorted(standing_decisions(submission).values(), key=lambda found: found.criterion.order)
    return Result(tuple(decisions), grade_of(submission), feedback)


def standing_of(user: User, work: Work) -> Standing:
    """What the work has at this moment, read from the live records."""
    evidence = evidence_of(work)
    drawn_on = {session.pk for session in work.assignment.sessions.all()}
    return Standing(
        papers=tuple(_paper_lines(user, evidence)),
        caught_up_in=tuple(found.title for found in evidence.sessions if found.pk not in drawn_on),
        conclusion_words=count_words(work.conclusion),
        evaluation_words=count_words(work.evaluation),
        readings_open=any(readings.locked_at is None for readings in evidence.readings),
    )


def _paper_lines(user: User, evidence: LiveEvidence) -> Iterator[PaperLine]:
    read = {readings.paper_id: readings for readings in evidence.readings}
    sessions = [session.pk for session in evidence.sessions]
    may_open = _papers(user, sessions)
    for readings in evidence.readings:
        yield _read_line(readings, linked=readings.paper_id in may_open)
    for paper in may_open.values():
        if paper.pk not in read:
            yield _unread_line(paper)


def _papers(user: User, sessions: list[int]) -> dict[int, Paper]:
    found: QuerySet[Paper] = bench_papers(user).filter(group__session__in=sessions)
    return {paper.pk: paper for paper in found.select_related("group__session")}


def _read_line(readings: ReadingSet, *, linked: bool) -> PaperLine:
    paper, checked = readings.paper, review(readings)
    page = "bench:paper" if readings.locked_at else "bench:readings"
    missing = [gap.sentence for gap in checked.missing]
    if readings.locked_at is None:
        missing.append("Measuring is not finished: your readings are still open.")
    return PaperLine(
        label=f"Group {paper.group.number}, paper {paper.letter}",
        session=paper.group.session.title,
        url=reverse(page, args=[paper.uuid]) if linked else "",
        state=_read_state(readings, has_result=not checked.no_result),
        missing=tuple(missing),
    )


def _read_state(readings: ReadingSet, *, has_result: bool) -> State:
    if not readings.locked_at:
        return State("readings open", "open")
    return State("readings locked" if has_result else "locked, no result", "closed")


def _unread_line(paper: Paper) -> PaperLine:
    failed = bool(paper.no_result)
    why = f"It ended without a result: {paper.get_no_result_display()}." if failed else "Nothing is read yet."
    return PaperLine(
        label=f"Group {paper.group.number}, paper {paper.letter}",
        session=paper.group.session.title,
        url=reverse("bench:paper", args=[paper.uuid]),
        state=State("no result", "closed") if failed else State("not read", "not-yet"),
        missing=(why,),
    )
