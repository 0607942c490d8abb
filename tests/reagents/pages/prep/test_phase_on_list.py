"""Whether a mixture stays one phase, as the prep list says it on the page and on paper."""

from decimal import Decimal

import pytest
from django.urls import reverse
from django.utils import timezone

from reagents.documents.prep_list import prep_list, prep_list_pdf
from reagents.models import Recipe, RecipePart, Requisition
from tests.documents.reading import page_texts
from tests.factories import NOW, make_recipe
from tests.reagents.requested import NEEDED, make_requisition, make_solution

pytestmark = pytest.mark.django_db


def make_mixture(title, *parts):
    recipe = Recipe.objects.create(slug=title.lower().replace(" ", "-"), title=title, kind="mobile phase")
    for order, (substance, amount) in enumerate(parts, start=1):
        RecipePart.objects.create(
            recipe=recipe, order=order, substance=substance, amount=Decimal(amount), basis="parts by volume"
        )
    return recipe


def make_parting(title="Mixture that parts"):
    return make_mixture(title, ("butan-1-ol", 4), ("ethanoic acid", 1), ("water", 5))


@pytest.fixture
def technician(client, cast):
    client.force_login(cast.technician)
    return client


def page_of(technician, requisition):
    page = technician.get(reverse("prep:requisition", args=[requisition.uuid]))
    assert page.status_code == 200
    return page.content.decode().replace("\u00a0", " ")


def test_a_mixture_that_parts_says_which_layer_to_use_and_how_much_to_mix(cast, technician):
    # 4 : 1 : 5 parts and its upper layer is used: common practice, no source.
    html = page_of(technician, make_requisition(cast.teacher, make_parting(), total="200"))
    assert "Two phases at 20 °C" in html
    assert "For 200 mL of the upper layer mix about 330 mL" in html
    assert "use the upper one" in html
    assert "lies under the curve and its band" in html


def test_a_mixture_that_stays_one_says_so_and_is_drawn(cast, technician):
    # 12 : 3 : 5 is one phase: common practice, no source.
    html = page_of(technician, make_requisition(cast.teacher, make_recipe()))
    assert "One phase at 20 °C" in html
    assert html.count('<svg class="chart ternary"') == 1
    assert "density of water at 20 °C 0.9982 g/mL (computed)" in html


def test_another_mixture_has_no_data_and_no_drawing(cast, technician):
    other = make_mixture("Alcohol", ("ethanol", 7), ("water", 3))
    html = page_of(technician, make_requisition(cast.teacher, other))
    assert "No data here on whether ethanol and water stay in one phase" in html
    assert "ternary" not in html


def test_a_solution_is_not_asked(cast, technician):
    html = page_of(technician, make_requisition(cast.teacher, make_solution()))
    assert "One phase" not in html
    assert "No data" not in html


def test_two_drawings_on_one_day_have_ids_of_their_own(cast, technician):
    make_requisition(cast.teacher, make_recipe(), make_parting())
    day = timezone.localtime(NEEDED).date()
    html = technician.get(reverse("prep:day", args=[day])).content.decode()
    ids = [part.partition('"')[0] for part in html.split(' id="')[1:]]
    assert len([one for one in ids if one.startswith("ternary-title-")]) == 2
    assert len(ids) == len(set(ids))


def test_paper_says_it_too(cast, centre):
    make_requisition(cast.teacher, make_parting(), total="200")
    made = prep_list(list(Requisition.objects.for_prep()), title="Prep list")
    text = " ".join(" ".join(page_texts(prep_list_pdf(made, created=NOW, centre=centre))).split())
    assert "Two phases at 20" in text
    assert "run the lower layer off and use the upper one" in text
