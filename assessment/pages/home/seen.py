"""Rows on observation records and witness statements: text, address, when, state and its shape."""

from collections.abc import Iterator
from datetime import datetime

from django.urls import reverse

from assessment.access import asked_statements, own_observations, statements_to_write, written_observations
from assessment.models import seen_waiting
from practicals.models import User

Cells = tuple[str, str, datetime | None, str, str]


def to_witness(user: User) -> Iterator[Cells]:
    """Statements somebody asked this person for."""
    for one in seen_waiting.statements_to_sign(statements_to_write(user)):
        text = f"What you saw {one.learner.name} do, for {one.asked_by.name}"
        yield text, reverse("observation:statement", args=[one.uuid]), one.asked_at, "to sign", "open"


def to_accept(user: User) -> Iterator[Cells]:
    """An assessor's: statements to accept, drafts to sign."""
    for one in seen_waiting.statements_to_accept(asked_statements(user)):
        text = f"Statement by {one.witness.name} on {one.learner.name}"
        yield text, reverse("observation:answer", args=[one.uuid]), one.signed_at, "to accept", "open"
    for draft in seen_waiting.drafts_not_signed(written_observations(user)):
        text = f"Observation record of {draft.learner.name}, {draft.session.practical.title}"
        address = reverse("observation:record", args=[draft.session.uuid, draft.learner.uuid])
        yield text, address, draft.written_at, "draft", "waiting"


def to_countersign(user: User) -> Iterator[Cells]:
    """A learner's records that they have not signed."""
    for one in seen_waiting.records_to_countersign(own_observations(user)):
        text = f"What {one.assessor.name} saw you do, {one.session.practical.title}"
        yield text, reverse("observation:mine", args=[one.uuid]), one.signed_at, "to sign", "open"
