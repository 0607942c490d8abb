"""What was seen at the bench, as the exact text that a submission freezes. People stand in it by token."""

from collections.abc import Iterable, Mapping
from datetime import datetime
from typing import TypeVar

from assessment.calculations.manifest import canonical_text as json_text
from assessment.models import ObservationRecord, WitnessStatement

T = TypeVar("T", ObservationRecord, WitnessStatement)


def observation_part(records: Iterable[ObservationRecord], asked: Mapping[int, str]) -> str:
    """The records in the order in which they were signed; `asked` are the brief's codes by their keys."""
    return json_text([_record(one, asked) for one in _in_order(records)])


def witness_part(statements: Iterable[WitnessStatement], asked: Mapping[int, str]) -> str:
    """The statements in the order in which they were signed."""
    return json_text([_statement(one, asked) for one in _in_order(statements)])


def _record(one: ObservationRecord, asked: Mapping[int, str]) -> dict[str, object]:
    codes = set(_codes(one, asked))
    notes = sorted(one.notes.all(), key=lambda note: (note.at, note.pk))
    return {
        "practical": one.session.practical.title,
        "assessor": str(one.assessor.token),
        "criteria": _codes(one, asked),
        "did": one.did,
        "items": [item for item in one.items if item["code"] in codes],
        "notes": [{"at": note.at.isoformat(), "text": note.text} for note in notes],
        "signed_at": _text(one.signed_at),
        "learner_signed_at": _text(one.learner_signed_at),
        "learner_comment": one.learner_comment,
    }


def _statement(one: WitnessStatement, asked: Mapping[int, str]) -> dict[str, object]:
    return {
        "practical": one.session.practical.title,
        "witness": str(one.witness.token),
        "witness_role": one.witness_role,
        "criteria": _codes(one, asked),
        "asked_for": one.asked_for,
        "saw": one.saw,
        "signed_at": _text(one.signed_at),
        "accepted_at": _text(one.accepted_at),
        "worth": one.worth,
    }


def _codes(one: ObservationRecord | WitnessStatement, asked: Mapping[int, str]) -> list[str]:
    return [criterion.code for criterion in one.criteria.all() if criterion.pk in asked]


def _text(moment: datetime | None) -> str:
    return moment.isoformat() if moment else ""


def _in_order(found: Iterable[T]) -> list[T]:
    return sorted(found, key=lambda one: (_text(one.signed_at), one.pk))
