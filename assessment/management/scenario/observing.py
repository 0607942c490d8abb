"""What the demo's teacher and technician saw at the bench, learner by learner."""

from datetime import datetime, timedelta

from assessment.actions.accept_statement import accept_statement
from assessment.actions.ask_witness import ask_witness
from assessment.actions.countersign_observation import countersign_observation
from assessment.actions.write_observation import Observed, write_observation
from assessment.actions.write_statement import write_statement
from assessment.models import Assignment, Criterion, ObservationRecord
from practicals.models import BenchNote, Session, User

#: How they began and how they went on: together a sentence of one's own for each learner of a class.
BEGAN = (
    "Measured the origin from both edges before drawing it",
    "Rubbed out a slanting origin and drew it again with the ruler held flat",
    "Marked the lanes first and asked the group to check the order",
    "Drew a faint line, then went over it once it was parallel to the edge",
    "Put the paper on a clean sheet and held it by its upper corners",
)
WENT_ON = (
    "then spotted three times, waiting for each spot to dry.",
    "then let a group mate spot and checked that each spot stayed below 3 mm.",
    "then noticed that lane 2 had spread, and spotted it afresh on the spare paper.",
    "then changed gloves before touching the paper again.",
    "then measured the depth of the solvent before hanging the paper in.",
    "then closed the chamber at once and left it where it stood.",
    "then wiped up a drop of solvent as the risk assessment asks.",
)
#: Two sentences that are nearly one: the program is to warn of it.
TWICE = "Set the paper up as the group had agreed, kept the spots small and wore goggles throughout."
COMMENTS = {0: "I also labelled the lanes on the back.", 3: "The second line was my group mate’s."}
SAW = (
    "I brought the mobile phase to this bench. The learner read the batch code aloud, measured the depth in "
    "the chamber with a ruler before the paper went in, and closed the lid straight away."
)


def past_class(assignment: Assignment, session: Session, *, technician: User, now: datetime) -> None:
    """A record for everybody who was there, signed by both but for one; and a statement by the technician."""
    there = [member.learner for member in session.members.order_by("learner__sort_name")]
    noted = {note.learner_id: note for note in BenchNote.objects.filter(session=session)}
    there = [learner for learner in there if learner.pk in noted]
    criterion = assignment.brief.criteria.get(code="P1")
    for place, learner in enumerate(there):
        record = _record(session, learner, criterion, [noted[learner.pk]], _said(place), now)
        if place != len(there) - 2:
            comment = COMMENTS.get(place, "")
            countersign_observation(by=learner, record=record, comment=comment, now=now + timedelta(days=1))
    _statement(session, there[1], criterion, technician, now)


def running_class(assignment: Assignment, session: Session, *, technician: User, now: datetime) -> None:
    """One statement asked for and not written; one record that waits for its learner."""
    first, second = [member.learner for member in session.members.order_by("learner__sort_name")][1:3]
    criterion = assignment.brief.criteria.get(code="P1")
    asked_for = "How the chamber was filled and closed."
    ask_witness(
        by=session.teacher,
        session=session,
        learner=first,
        witness=technician,
        asked_for=asked_for,
        criteria=[criterion],
        now=now,
    )
    _record(session, second, criterion, [], _said(8), now)


def _said(place: int) -> str:
    if place in (5, 6):
        return TWICE
    return f"{BEGAN[place % len(BEGAN)]}, {WENT_ON[place % len(WENT_ON)]}"


def _record(
    session: Session, learner: User, criterion: Criterion, notes: list[BenchNote], did: str, now: datetime
) -> ObservationRecord:
    listed = [(criterion.code, item) for need in criterion.evidence_needs() for item in need.items]
    return write_observation(
        by=session.teacher,
        session=session,
        learner=learner,
        observed=Observed(did=did, criteria=[criterion], items=listed[:3], notes=notes),
        seen_version=0,
        sign=True,
        now=now,
    )


def _statement(
    session: Session, learner: User, criterion: Criterion, technician: User, now: datetime
) -> None:
    statement = ask_witness(
        by=session.teacher,
        session=session,
        learner=learner,
        witness=technician,
        asked_for="How the chamber of group 1 was set up.",
        criteria=[criterion],
        now=now,
    )
    statement = write_statement(
        by=technician,
        statement=statement,
        saw=SAW,
        witness_role="technician",
        sign=True,
        seen_version=statement.version,
        now=now + timedelta(hours=20),
    )
    worth = "Bears out what I recorded for P1 on the chamber; says nothing on the spots."
    accept_statement(by=session.teacher, statement=statement, worth=worth, now=now + timedelta(days=1))
