"""Recording and recalling a batch: what is kept, what is refused, who may, what the trail says."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal
from random import Random

import pytest
from django.core.exceptions import PermissionDenied

from practicals.models import AuditEntry
from reagents.actions.recall_batch import NotRecallable, recall_batch
from reagents.actions.record_batch import record_batch
from reagents.actions.take_for_batch import AmountEntry
from reagents.calculations.batch_check import ImpossibleBatch
from reagents.models import Batch
from tests.factories import NOW, make_recipe
from tests.reagents.requested import make_requisition

pytestmark = pytest.mark.django_db


@pytest.fixture
def line(cast):
    return make_requisition(cast.teacher, make_recipe()).lines.get()


def entries(line, *measured):
    wanted = ["204", "51", "85"]
    return [
        AmountEntry(part, "mL", Decimal(wish), Decimal(real), lot=f"LOT{part.order}")
        for part, wish, real in zip(line.recipe.parts.all(), wanted, measured or wanted, strict=True)
    ]


def record(by, line, **more):
    return record_batch(
        **{
            "by": by,
            "line": line,
            "made_at": NOW,
            "initials": "TT",
            "use_by": NOW + timedelta(hours=24),
            "amounts": entries(line),
            "note": " clear ",
            "now": NOW,
            **more,
        }
    )


def test_a_batch_keeps_what_was_measured(cast, line):
    batch = record(cast.technician, line, amounts=entries(line, "205", "51", "84.5"))
    assert batch.total_ml == Decimal("340.5")
    assert batch.note == "clear"
    assert [(a.wanted, a.measured, a.lot) for a in batch.amounts.all()] == [
        (204, 205, "LOT1"),
        (51, 51, "LOT2"),
        (85, Decimal("84.5"), "LOT3"),
    ]
    assert batch.code.startswith("24P-")


def test_the_trail_says_so_and_names_nobody(cast, line):
    batch = record(cast.technician, line)
    entry = AuditEntry.objects.get(action="record_batch")
    assert entry.subject == str(batch.uuid)
    assert batch.code in entry.sentence
    assert "Tam" not in entry.sentence + str(entry.detail)


@pytest.mark.parametrize("who", ["teacher", "learner", "verifier", "lead_verifier", "administrator"])
def test_only_the_technician_records(cast, line, who):
    with pytest.raises(PermissionDenied):
        record(getattr(cast, who), line)
    assert not Batch.objects.exists()


@pytest.mark.parametrize(
    "wrong",
    [
        {"made_at": NOW + timedelta(hours=1)},
        {"use_by": NOW - timedelta(hours=1)},
        {"initials": "  "},
        {"amounts": []},
    ],
)
def test_what_cannot_be_is_refused_in_a_sentence(cast, line, wrong):
    with pytest.raises(ImpossibleBatch, match=r"\.$"):
        record(cast.technician, line, **wrong)
    assert not AuditEntry.objects.filter(action="record_batch").exists()


@pytest.mark.parametrize("wrong", [{"unit": "kg"}, {"measured": Decimal(-1)}, {"wanted": Decimal(0)}])
def test_an_amount_that_cannot_be_is_refused(cast, line, wrong):
    first, *rest = entries(line)
    with pytest.raises(ImpossibleBatch):
        record(cast.technician, line, amounts=[replace(first, **wrong), *rest])


def test_a_batch_of_nothing_is_refused(cast, line):
    with pytest.raises(ImpossibleBatch):
        record(cast.technician, line, amounts=entries(line, "0", "0", "0"))


def test_a_code_that_is_taken_is_not_given_again(cast, line):
    first = record(cast.technician, line, chance=Random(7))
    second = record(cast.technician, line, chance=Random(7))
    assert first.code != second.code


def test_recall_keeps_the_first_reason(cast, line):
    batch = record(cast.technician, line)
    recall_batch(by=cast.teacher, batch=batch, reason=" cloudy ", now=NOW)
    with pytest.raises(NotRecallable):
        recall_batch(by=cast.technician, batch=batch, reason="again", now=NOW)
    batch.refresh_from_db()
    assert (batch.recall_reason, batch.recalled_at) == ("cloudy", NOW)
    assert AuditEntry.objects.filter(action="recall_batch", subject=str(batch.uuid)).count() == 1


@pytest.mark.parametrize("reason", ["", "   ", "x" * 301])
def test_recall_needs_a_reason_that_fits(cast, line, reason):
    batch = record(cast.technician, line)
    with pytest.raises(NotRecallable):
        recall_batch(by=cast.technician, batch=batch, reason=reason, now=NOW)


@pytest.mark.parametrize("who", ["learner", "verifier", "administrator"])
def test_others_may_not_recall(cast, line, who):
    batch = record(cast.technician, line)
    with pytest.raises(PermissionDenied):
        recall_batch(by=getattr(cast, who), batch=batch, reason="no", now=NOW)
