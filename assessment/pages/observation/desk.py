"""What an assessor sees of one session: who has which notes, records and statements, and who is next."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django.db.models import Count
from django.urls import reverse

from assessment.access import asked_statements, works_observed, written_observations
from assessment.actions.write_observation import criteria_to_observe
from assessment.calculations.evidence_counts import codes_named
from assessment.calculations.repeated_words import find_repeated
from assessment.models import Criterion, ObservationRecord, WitnessStatement
from assessment.pages.observation.forms import item_choices
from practicals.models import BenchNote, Session, User

STATES = {
    "nothing": ("nothing written", "open"),
    "draft": ("draft", "waiting"),
    "one": ("waits for the learner", "waiting"),
    "both": ("signed by both", "done"),
}


@dataclass(frozen=True, slots=True)
class LearnerRow:
    learner: User
    notes: int
    items: int
    codes: tuple[str, ...]
    statements: tuple[WitnessStatement, ...]
    state: str
    shape: str
    to_write: bool
    url: str


@dataclass(frozen=True, slots=True)
class Alike:
    """Learners whose records say the same, or nearly so."""

    learners: tuple[User, ...]
    same: bool


@dataclass(frozen=True, slots=True)
class SessionDesk:
    session: Session
    rows: tuple[LearnerRow, ...]
    alike: tuple[Alike, ...]

    @property
    def next_row(self) -> LearnerRow | None:
        return next((row for row in self.rows if row.to_write), None)


def session_desk(user: User, session: Session) -> SessionDesk:
    """The whole class in a fixed number of queries."""
    works = works_observed(user, session).select_related("learner").order_by("learner__sort_name", "pk")
    learners = {work.learner_id: work.learner for work in works}
    notes = dict(
        BenchNote.objects.filter(session=session, learner__in=learners)
        .order_by()
        .values_list("learner")
        .annotate(Count("pk"))
    )
    records = {one.learner_id: one for one in _standing(user, session).prefetch_related("criteria")}
    statements: dict[int, list[WitnessStatement]] = {}
    for one in asked_statements(user).filter(session=session, withdrawn_at=None).select_related("witness"):
        statements.setdefault(one.learner_id, []).append(one)
    rows = [
        _row(session, learner, notes.get(key, 0), records.get(key), statements.get(key, ()))
        for key, learner in learners.items()
    ]
    return SessionDesk(session, tuple(rows), tuple(_alike(records, learners)))


def _standing(user: User, session: Session) -> Any:
    return written_observations(user).filter(session=session, withdrawn_at=None)


def _row(
    session: Session,
    learner: User,
    notes: int,
    record: ObservationRecord | None,
    statements: Iterable[WitnessStatement],
) -> LearnerRow:
    word, shape = STATES[state_of(record)]
    return LearnerRow(
        learner=learner,
        notes=notes,
        items=len(record.items) if record else 0,
        codes=tuple(one.code for one in record.criteria.all()) if record else (),
        statements=tuple(statements),
        state=word,
        shape=shape,
        to_write=record is None or record.signed_at is None,
        url=reverse("observation:record", args=[session.uuid, learner.uuid]),
    )


def state_of(record: ObservationRecord | None) -> str:
    if record is None:
        return "nothing"
    if record.signed_at is None:
        return "draft"
    return "both" if record.learner_signed_at else "one"


def _alike(records: Mapping[int, ObservationRecord], learners: Mapping[int, User]) -> Iterable[Alike]:
    texts = {str(key): record.did for key, record in records.items()}
    names = [learner.name for learner in learners.values()]
    for found in find_repeated(texts, ignored=names):
        yield Alike(tuple(learners[int(key)] for key in found.keys), found.share == 1)


@dataclass(frozen=True, slots=True)
class LearnerDesk:
    """One learner's record as it stands, what may be put into it, and what was withdrawn."""

    session: Session
    learner: User
    offered: Sequence[Criterion]
    notes: Sequence[BenchNote]
    record: ObservationRecord | None
    withdrawn: Sequence[ObservationRecord]
    statements: Sequence[WitnessStatement]

    @property
    def initial(self) -> dict[str, Any]:
        """The draft; before there is one, ticked is what asks to be observed or is named in a note."""
        if self.record:
            ticked = {(item["code"], item["text"]) for item in self.record.items}
            return {
                "did": self.record.did,
                "criteria": [one.pk for one in self.record.criteria.all()],
                "notes": [one.pk for one in self.record.notes.all()],
                "items": [key for key, item in item_choices(self.offered) if item in ticked],
                "seen_version": self.record.version,
            }
        named = codes_named([note.text for note in self.notes], [one.code for one in self.offered])
        asks = [
            one.pk
            for one in self.offered
            if one.code in named or any(need.kind == "observation" for need in one.evidence_needs())
        ]
        quoted = [note.pk for note in self.notes if codes_named([note.text], named)]
        return {"did": "", "criteria": asks, "notes": quoted, "seen_version": 0}


def learner_desk(user: User, session: Session, learner: User) -> LearnerDesk:
    mine = written_observations(user).filter(session=session, learner=learner)
    mine = mine.select_related("assessor", "session__practical").prefetch_related("criteria", "notes__by")
    statements = asked_statements(user).filter(session=session, learner=learner, withdrawn_at=None)
    return LearnerDesk(
        session=session,
        learner=learner,
        offered=criteria_to_observe(user, session, learner),
        notes=list(BenchNote.objects.filter(session=session, learner=learner).select_related("by")),
        record=mine.filter(withdrawn_at=None).first(),
        withdrawn=list(mine.exclude(withdrawn_at=None)),
        statements=list(statements.select_related("witness")),
    )


def next_to_write(desk: SessionDesk, learner: User) -> LearnerRow | None:
    """The next learner of the class whose record is not signed, beginning again at the top."""
    keys = [row.learner.pk for row in desk.rows]
    at = keys.index(learner.pk) + 1 if learner.pk in keys else 0
    around = [*desk.rows[at:], *desk.rows[:at]]
    return next((row for row in around if row.to_write and row.learner.pk != learner.pk), None)


def alike_to(desk: SessionDesk, learner: User) -> tuple[User, ...]:
    """Whose records say nearly what this learner's says."""
    for found in desk.alike:
        if learner in found.learners:
            return tuple(one for one in found.learners if one != learner)
    return ()
