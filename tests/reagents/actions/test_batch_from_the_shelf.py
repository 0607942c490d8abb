"""A batch takes what it used off the shelf, in one transaction."""

from dataclasses import replace
from datetime import timedelta
from decimal import Decimal

import pytest
from django.utils import timezone

from reagents.actions.record_batch import record_batch
from reagents.actions.take_for_batch import AmountEntry
from reagents.calculations.batch_check import ImpossibleBatch
from reagents.models import Batch, StockChange
from tests.factories import make_recipe
from tests.reagents.requested import make_requisition, make_solution
from tests.reagents.shelved import make_container

pytestmark = pytest.mark.django_db
TODAY = timezone.localdate()


@pytest.fixture
def line(cast):
    return make_requisition(cast.teacher, make_recipe()).lines.get()


def entries(line, **first):
    wanted = ["204", "51", "85"]
    made = [
        AmountEntry(part, "mL", Decimal(wish), Decimal(wish), vessel="250 mL measuring cylinder")
        for part, wish in zip(line.recipe.parts.all(), wanted, strict=True)
    ]
    return [replace(made[0], **first), *made[1:]]


def record(by, line, amounts, **more):
    now = timezone.now()
    given = {"made_at": now, "initials": "TT", "use_by": now + timedelta(hours=8), "now": now, **more}
    return record_batch(by=by, line=line, amounts=amounts, **given)


def test_the_shelf_goes_down_by_what_was_measured(cast, line):
    bottle = make_container(lot="K7")
    batch = record(cast.technician, line, entries(line, container=bottle, measured=Decimal(205)))
    bottle.refresh_from_db()
    assert (bottle.remaining, bottle.opened_on) == (295, TODAY)
    kept = batch.amounts.first()
    assert (kept.container, kept.vessel, kept.lot) == (bottle, "250 mL measuring cylinder", "K7")
    change = batch.stock_changes.get()
    assert (change.container, change.change, change.left) == (bottle, -205, 295)


def test_what_one_bottle_lacks_comes_from_the_next(cast, line):
    first, second = make_container(remaining=Decimal(50)), make_container()
    batch = record(cast.technician, line, entries(line, container=first))
    first.refresh_from_db()
    second.refresh_from_db()
    assert (first.remaining, second.remaining) == (0, 346)
    assert [one.why for one in batch.stock_changes.order_by("id")] == [
        "batch",
        "batch, after the first bottle was empty",
    ]


@pytest.mark.parametrize(
    ("bottle", "said"),
    [
        ({"remaining": Decimal(50)}, "by its record"),
        ({"expires_on": TODAY - timedelta(days=1)}, "past its date"),
        ({"substance": "ethanol"}, "holds ethanol, not butan-1-ol"),
        (
            {"discarded_at": timezone.now(), "discarded_reason": "old"},
            "was discarded",
        ),
    ],
)
def test_a_bottle_that_cannot_be_leaves_no_batch(cast, line, bottle, said):
    found = make_container(**{"substance": "butan-1-ol", **bottle})
    with pytest.raises(ImpossibleBatch, match=said):
        record(cast.technician, line, entries(line, container=found))
    assert not Batch.objects.exists()
    assert not StockChange.objects.exists()


def test_a_bottle_past_its_date_needs_a_reason(cast, line):
    old = make_container(expires_on=TODAY - timedelta(days=1))
    batch = record(cast.technician, line, entries(line, container=old, reason_expired="demonstration only"))
    assert batch.stock_changes.get().why == "batch, past its date: demonstration only"


def test_a_volume_from_a_bottle_counted_in_grams(cast, line):
    """Butan-1-ol 0.8095 g/mL at 20 C (from memory, 0.81 read): 204 mL are 165.138 g."""
    bottle = make_container(unit="g")
    record(cast.technician, line, entries(line, container=bottle))
    bottle.refresh_from_db()
    assert bottle.remaining == Decimal("334.862")


@pytest.mark.parametrize(
    "recipe",
    [
        {"shelf_life_hours": 24},
        {"made_on_the_day": True},
        {"solutes": (("aspartame", "0.01", "mol/L"),)},
    ],
)
def test_what_does_not_keep_must_carry_a_date(cast, recipe):
    line = make_requisition(cast.teacher, make_solution("Short-lived", **recipe), total="50").lines.get()
    amounts = [
        AmountEntry(part, unit, Decimal(1), Decimal(1))
        for part, unit in zip(line.recipe.parts.all(), ("g", "mL"), strict=True)
    ]
    with pytest.raises(ImpossibleBatch, match="must carry a use-by"):
        record(cast.technician, line, amounts, use_by=None)
    assert record(cast.technician, line, amounts)
