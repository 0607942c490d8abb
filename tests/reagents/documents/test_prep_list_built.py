"""The prep list as plain values, built from requisitions."""

from datetime import timedelta
from decimal import Decimal

import pytest

from reagents.documents.prep_groups import same_liquid, standing
from reagents.documents.prep_list import prep_list
from reagents.models import Requisition
from tests.factories import NOW, make_recipe
from tests.reagents.requested import make_requisition, make_solution

pytestmark = pytest.mark.django_db


def read():
    return list(Requisition.objects.for_prep())


def test_same_recipes_are_combined_and_others_are_not(cast):
    recipe, other = make_recipe(), make_solution()
    make_requisition(cast.teacher, recipe, other, total="100")
    make_requisition(cast.teacher, recipe, total="50", title="Second")
    made = prep_list(read(), title="Day")
    first, second = made.liquids
    assert first.plan.wanted.total_ml == Decimal(150)
    assert [goes.title for goes in first.destinations] == ["Amino acids on paper", "Second"]
    assert len(second.destinations) == 1
    (room,) = made.rooms
    assert [item.together for one in room.deliveries for item in one.equipment] == [7, 7]


def test_two_labels_of_one_recipe_are_two_bottles(cast):
    recipe = make_solution()
    make_requisition(cast.teacher, recipe, total="50", label_code="X")
    make_requisition(cast.teacher, recipe, total="50", label_code="Y")
    assert [liquid.label_code for liquid in prep_list(read(), title="Day").liquids] == ["X", "Y"]


def test_replaced_and_withdrawn_ones_do_not_stand(cast):
    old = make_requisition(cast.teacher, make_recipe())
    new = make_requisition(cast.teacher, make_recipe(), replaces=old)
    make_requisition(cast.teacher, make_recipe(), withdrawn_at=NOW + timedelta(minutes=5))
    assert [one.pk for one in standing(read())] == [new.pk]
    line = old.lines.get()
    assert same_liquid(line, read()) == [line]
