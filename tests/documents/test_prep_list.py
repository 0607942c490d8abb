"""The prep list on paper, read back from the PDF."""

from decimal import Decimal

import pytest

from reagents.documents.prep_list import prep_list, prep_list_pdf
from reagents.models import Requisition
from tests.documents.reading import open_pdf, page_texts, rectangles_mm
from tests.factories import NOW, make_recipe
from tests.reagents.requested import make_requisition, make_solution

pytestmark = pytest.mark.django_db


@pytest.fixture
def pdf(cast, centre):
    unknown = make_solution("Unknown X", solutes=(("L-leucine", "0.01", "mol/L"),))
    make_requisition(cast.teacher, make_recipe())
    make_requisition(cast.teacher, unknown, total="30", label_code="X7", title="Second", note="Before nine.")
    made = prep_list(list(Requisition.objects.for_prep()), title="Prep list, Wed 25 Nov 2026")
    return prep_list_pdf(made, created=NOW, centre=centre)


def test_it_says_what_to_measure_in_what_and_in_which_order(pdf):
    text = " ".join(page_texts(pdf)).replace("\u00a0", " ")
    for said in (
        "204 mL",
        "250 mL measuring cylinder",
        "6 chambers × 50.9 mL",
        "ethanoic acid last, slowly",
        "Lot number",
        "Made by (initials)",
        "Batch code",
        "developing chamber",
        "Before nine.",
        "Tess Teacher",
        "X7",
        "L-leucine 0.01 mol/L, in water",
        "H314",
        "employer's risk assessment",
        "Invented data for tests.",
    ):
        assert said in text or said.replace("'", "’") in text, said


def test_every_page_has_title_date_and_number(pdf):
    pages = page_texts(pdf)
    for number, page in enumerate(pages, start=1):
        assert "Prep list, Wed 25 Nov 2026" in page
        assert "24 November 2026" in page
        assert f"Page {number} of {len(pages)}" in page


def test_no_learner_and_no_class_is_on_it(pdf, cast):
    text = " ".join(page_texts(pdf))
    assert cast.learner.name not in text
    assert cast.teaching_class.name not in text


def test_boxes_to_tick_suit_a_pen(pdf):
    """4.5 mm and more inside; there is one for each part and each step at least (3 + 4, 2 + 4, 2 items)."""
    boxes = [
        (width, height)
        for width, height in rectangles_mm(pdf)
        if 4 <= width <= 6 and Decimal(str(abs(width - height))) < Decimal("0.2")
    ]
    assert len(boxes) >= 15


def test_it_has_a_title_and_a_language(pdf):
    with open_pdf(pdf) as opened:
        assert str(opened.Root.Lang) == "en-GB"
        assert "Prep list" in str(opened.docinfo.Title)


def test_the_same_list_gives_the_same_bytes(cast, centre):
    make_requisition(cast.teacher, make_recipe())
    made = prep_list(list(Requisition.objects.for_prep()), title="Prep list")
    assert prep_list_pdf(made, created=NOW, centre=centre) == prep_list_pdf(made, created=NOW, centre=centre)
