"""What was seen, back from its frozen text."""

import json
from datetime import UTC, datetime

import pytest

from assessment.calculations.frozen_beside import read_observations, read_statements
from assessment.calculations.frozen_paper import FrozenTextError

AT = "2026-11-24T10:00:00+00:00"
RECORD = {
    "practical": "Amino acids",
    "assessor": "token",
    "criteria": ["P1"],
    "did": "Drew the origin twice.",
    "items": [{"code": "P1", "text": "origin in pencil"}],
    "notes": [{"at": AT, "text": "P1: neat"}],
    "signed_at": AT,
    "learner_signed_at": "",
    "learner_comment": "",
}
STATEMENT = {
    "practical": "Amino acids",
    "witness": "token",
    "witness_role": "technician",
    "criteria": ["P1"],
    "asked_for": "the chamber",
    "saw": "Closed it at once.",
    "signed_at": AT,
    "accepted_at": AT,
    "worth": "Supports P1.",
}


def test_a_record_and_a_statement_come_back():
    record = read_observations(json.dumps([RECORD]))[0]
    assert (record.did, record.items[0].text, record.notes[0].text) == (
        "Drew the origin twice.",
        "origin in pencil",
        "P1: neat",
    )
    assert record.signed_at == datetime(2026, 11, 24, 10, tzinfo=UTC)
    assert record.learner_signed_at is None
    statement = read_statements(json.dumps([STATEMENT]))[0]
    assert (statement.witness_role, statement.worth) == ("technician", "Supports P1.")
    assert statement.accepted_at is not None


@pytest.mark.parametrize("reader", [read_observations, read_statements])
@pytest.mark.parametrize("text", ["", "{", "3", "[1]", '[{"did": "x"}]', "[" * 100_000])
def test_what_is_no_such_list_is_refused_in_words(reader, text):
    with pytest.raises(FrozenTextError, match="This part is no list of"):
        reader(text)
