"""Criteria to be observed, and records and statements in a line, made by the actions that people use."""

from assessment.actions.ask_witness import ask_witness
from assessment.actions.countersign_observation import countersign_observation
from assessment.actions.write_observation import Observed, write_observation
from assessment.actions.write_statement import write_statement
from assessment.models import Criterion, ObservationRecord, WitnessStatement
from practicals.models import Session, User
from tests.factories import NOW

DID = "Redrew the origin in pencil after smudging it, then spotted each lane twice."
ITEM = "origin drawn in pencil"


def ask_to_observe(code: str = "P1") -> Criterion:
    """Let the criterion of that code need an observation, with an item to tick."""
    criterion = Criterion.objects.get(code=code)
    criterion.needs = [{"kind": "observation", "items": [ITEM]}]
    criterion.save()
    return criterion


def observe(
    session: Session, learner: User, *, did: str = DID, sign: bool = True, both: bool = False, **more: object
) -> ObservationRecord:
    criterion = Criterion.objects.get(code="P1")
    record = write_observation(
        by=session.teacher,
        session=session,
        learner=learner,
        observed=Observed(did=did, criteria=[criterion], **more),
        seen_version=0,
        sign=sign or both,
        now=NOW,
    )
    if both:
        countersign_observation(by=learner, record=record, comment="It was so.", now=NOW)
        record.refresh_from_db()
    return record


def asked(session: Session, learner: User, witness: User) -> WitnessStatement:
    return ask_witness(
        by=session.teacher,
        session=session,
        learner=learner,
        witness=witness,
        asked_for="How the chamber was closed.",
        criteria=[Criterion.objects.get(code="P1")],
        now=NOW,
    )


def witnessed(session: Session, learner: User, witness: User) -> WitnessStatement:
    return write_statement(
        by=witness,
        statement=asked(session, learner, witness),
        saw="Closed the chamber at once and checked that the paper hung free.",
        witness_role="technician",
        sign=True,
        seen_version=1,
        now=NOW,
    )
