"""A practical whose standard is made from a stock: kept once, the stock first, and planned first."""

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from practicals.actions.add_practical import add_practical
from reagents.calculations.prep_plan import plan_for
from reagents.documents.order_list import needs_of
from reagents.documents.prep_list import wanted_of
from reagents.models import Recipe, Requisition, RequisitionLine
from tests.factories import NOW
from tests.practicals.calculations.test_recipe_nesting import nested
from tests.reagents.requested import make_requisition

pytestmark = pytest.mark.django_db


def recipe(key):
    return Recipe.objects.filter(slug=f"amino-acids-on-paper-{key}").latest("edition")


def test_the_stock_is_kept_as_its_own_recipe():
    add_practical(by=None, text=nested(), now=NOW)
    part = recipe("glycine-solution").parts.first()
    assert part.made_from == recipe("glycine-stock")
    assert part.substance == "glycine"


def test_a_stock_by_the_volume_is_called_by_its_title():
    add_practical(by=None, text=nested('recipe = "glycine-stock"\namount = 10\nbasis = "% v/v"\n'), now=NOW)
    assert recipe("glycine-solution").parts.first().substance == "Glycine stock"


def test_another_stock_makes_another_edition_of_what_is_made_from_it(cast):
    add_practical(by=None, text=nested(), now=NOW)
    add_practical(by=cast.teacher, text=nested().replace("amount = 0.1\n", "amount = 0.2\n"), now=NOW)
    assert (recipe("glycine-stock").edition, recipe("glycine-solution").edition) == (2, 2)
    assert recipe("glycine-solution").parts.first().made_from.edition == 2
    assert recipe("alanine-solution").edition == 1


def test_the_same_text_again_adds_nothing():
    for _ in range(2):
        add_practical(by=None, text=nested(), now=NOW)
    assert not Recipe.objects.filter(edition=2).exists()


def test_a_prep_list_plans_the_stock_first(cast, django_assert_num_queries):
    add_practical(by=None, text=nested(), now=NOW)
    make_requisition(cast.teacher, recipe("glycine-solution"), total="100")
    (requisition,) = Requisition.objects.for_prep()
    with django_assert_num_queries(0):
        plan = plan_for(wanted_of(list(requisition.lines.all())))
    assert plan.measures[0].shown == "10\u00a0mL"
    (stock,) = plan.stocks
    assert (stock.wanted.title, stock.wanted.total_ml) == ("Glycine stock", Decimal(11))


def test_the_order_list_asks_for_what_a_stock_is_made_of_and_not_for_the_stock(cast):
    # Hand-worked: 100 mL of 0.01 mol/L takes 10 mL of the stock and 11 mL are made at least: 0.1 mol/L x
    # 75.067 g/mol x 0.011 L = 0.083 g of glycine; a 20 mL flask would take 0.15 g.
    add_practical(by=None, text=nested(), now=NOW)
    make_requisition(cast.teacher, recipe("glycine-solution"), total="100")
    needs, unknown = needs_of(Requisition.objects.for_prep(), NOW.date())
    by_name = {need.substance: need for need in needs}
    assert unknown == []
    assert set(by_name) == {"glycine", "water"}
    assert Decimal("0.082") <= by_name["glycine"].amount <= Decimal("0.2")


def test_the_record_of_a_batch_asks_for_the_stock_taken(cast, as_):
    add_practical(by=None, text=nested(), now=NOW)
    requisition = make_requisition(cast.teacher, recipe("glycine-solution"), total="100")
    line = requisition.lines.get()
    answer = as_(cast.technician).get(reverse("prep:record_batch", args=[line.uuid]))
    assert answer.status_code == 200
    assert "Glycine stock (for glycine), measured" in answer.content.decode()


def test_the_stock_stands_on_the_prep_list_before_what_is_made_of_it(cast, as_):
    add_practical(by=None, text=nested(), now=NOW)
    requisition = make_requisition(cast.teacher, recipe("glycine-solution"), total="100")
    page = as_(cast.technician).get(reverse("prep:requisition", args=[requisition.uuid])).content.decode()
    assert page.index("Stocks to make first") < page.index("Glycine stock (for glycine)")


def test_as_many_queries_for_many_stocks_as_for_one(cast):
    add_practical(by=None, text=nested(), now=NOW)
    make_requisition(cast.teacher, recipe("glycine-solution"))
    counts = []
    for _ in range(2):
        with CaptureQueriesContext(connection) as queries:
            [wanted_of([line]) for one in Requisition.objects.for_prep() for line in one.lines.all()]
        counts.append(len(queries))
        make_requisition(cast.teacher, *[recipe("glycine-solution")] * 5)
    assert RequisitionLine.objects.count() > 5
    assert counts[0] == counts[1]
