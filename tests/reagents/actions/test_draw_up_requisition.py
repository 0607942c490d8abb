"""A requisition as the technician gets it, and what becomes of an earlier one."""

from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied

from practicals.models import AuditEntry
from reagents.actions.draw_up_requisition import ItemPlan, LinePlan, draw_up_requisition
from reagents.models import Batch
from tests.factories import NOW, make_recipe


def draw_up(by, **more):
    return draw_up_requisition(
        **{
            "by": by,
            "title": "Amino acids on paper, Lab 2",
            "room": "Lab 2",
            "needed_at": NOW,
            "note": "",
            "lines": [LinePlan(recipe=make_recipe(), total_ml=Decimal("117.1"), chambers=2)],
            "items": [ItemPlan(name="ruler", per="learner", each=1, count=6, spare=2)],
            "now": NOW,
            **more,
        }
    )


def test_lines_and_items_are_kept_in_order(cast):
    lines = [LinePlan(recipe=make_recipe(f"R{n}"), total_ml=Decimal(n), label_code=f"{n}") for n in (1, 2)]
    requisition = draw_up(cast.teacher, lines=lines)
    assert [(line.order, line.label_code) for line in requisition.lines.all()] == [(1, "1"), (2, "2")]
    assert requisition.items.get().count == 6


def test_it_replaces_an_earlier_one(cast):
    first = draw_up(cast.teacher)
    second = draw_up(cast.teacher, replaces=first)
    first.refresh_from_db()
    assert (first.withdrawn_at, first.replaced_by) == (NOW, second)


def test_an_earlier_one_with_batches_stands(cast):
    first = draw_up(cast.teacher)
    line = first.lines.get()
    Batch.objects.create(
        code="B1",
        recipe=line.recipe,
        line=line,
        made_at=NOW,
        made_by=cast.technician,
        initials="TT",
        total_ml=100,
    )
    draw_up(cast.teacher, replaces=first)
    first.refresh_from_db()
    assert first.withdrawn_at is None


def test_a_learner_may_not(cast):
    with pytest.raises(PermissionDenied):
        draw_up(cast.learner)


def test_the_audit_hears_of_it(cast):
    requisition = draw_up(cast.teacher)
    entry = AuditEntry.objects.get(action="draw_up_requisition")
    assert (entry.subject, entry.actor) == (str(requisition.uuid), cast.teacher.token)
