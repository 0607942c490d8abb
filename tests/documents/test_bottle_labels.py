"""Labels on paper, measured in the PDF by a reader that knows nothing of the layout."""

from dataclasses import replace
from decimal import Decimal
from math import sqrt

import pytest

from reagents.calculations.label_layout import ImpossibleSheet
from reagents.documents.bottle_labels import CannotPrint, frames_pdf, label_run, labels_pdf, sheet_of
from reagents.documents.label_words import bottle_label, rack_label
from reagents.models import LabelSheet
from tests.documents.placed import boxes
from tests.documents.reading import open_pdf, page_texts
from tests.factories import NOW, make_recipe
from tests.reagents.labelled import EIGHT, SIXTEEN, TEN, make_batch, make_spray
from tests.reagents.requested import make_requisition, make_solution

pytestmark = pytest.mark.django_db
SHEETS = [SIXTEEN, EIGHT, TEN]
LINK = "http://192.0.2.20:8000/prep/batch/01234567-89ab-cdef-0123-456789abcdef/"
NEAR_MM = 0.5


def sheet(described):
    return sheet_of(LabelSheet(name="A sheet", **described))


@pytest.fixture
def batch(cast):
    """12 : 3 : 5 by volume, which has three pictograms, six hazards and six precautions."""
    return make_batch(make_requisition(cast.teacher, make_recipe()).lines.get(), cast.technician)


def run_of(batch, described=SIXTEEN, start=1, copies=1, container="500", layer=""):
    return run_for([bottle_label(batch, layer=layer, link=LINK)], described, start, copies, container)


def run_for(labels, described=SIXTEEN, start=1, copies=1, container="500"):
    return label_run(
        labels,
        name="Labels",
        sheet=sheet(described),
        start=start,
        copies=copies,
        container_ml=Decimal(container),
    )


def edges(described, place):
    """Left, top, right and bottom of a label by hand: margin and pitch, counted from 1."""
    page, on_page = divmod(place - 1, described["rows"] * described["columns"])
    row, column = divmod(on_page, described["columns"])
    left = float(described["left_mm"] + column * described["pitch_across_mm"])
    top = float(described["top_mm"] + row * described["pitch_down_mm"])
    return page + 1, left, top, left + float(described["width_mm"]), top + float(described["height_mm"])


# -- where it stands


@pytest.mark.parametrize("described", SHEETS, ids=["16", "8", "10"])
def test_frames_lie_where_the_sheet_says_to_half_a_millimetre(described):
    made = frames_pdf(sheet(described), name="A sheet", created=NOW)
    found = [box for box in boxes(made) if box.kind == "rectangle" and box.right - box.left < 200]
    assert len(found) == described["rows"] * described["columns"]
    for place, box in enumerate(found, start=1):
        _, *expected = edges(described, place)
        assert [box.left, box.top, box.right, box.bottom] == pytest.approx(expected, abs=NEAR_MM)


@pytest.mark.parametrize("described", SHEETS, ids=["16", "8", "10"])
def test_every_word_stands_inside_its_own_label(batch, described):
    start, copies = 3, described["rows"] * described["columns"]
    made = labels_pdf(run_of(batch, described, start, copies), created=NOW)
    texts = [box for box in boxes(made) if box.kind == "text"]
    a_label = len(texts) // copies
    assert a_label * copies == len(texts)
    for number, box in enumerate(texts):
        page, left, top, right, bottom = edges(described, start + number // a_label)
        assert box.page == page
        assert left <= box.left
        assert box.right <= right
        assert top <= box.top
        assert box.bottom <= bottom


def test_the_title_starts_at_the_corner_to_half_a_millimetre_hand_worked(batch):
    # Ten to a sheet: the label at position 4 begins at 12 + 96 = 108 mm and 13.5 + 54 = 67.5 mm; printed from
    # 1.5 mm inside it. Letters of this face (1.025 above, 0.275 below) begin in a line 1.2 times as high
    # (1.2 - 1.3) / 2 + 1.025 - 0.78 = 0.195 of that below its top.
    made = labels_pdf(run_of(batch, TEN, start=4), created=NOW)
    title = next(box for box in boxes(made) if box.kind == "text")
    assert title.says == "Butan-1-ol mixture"
    below = 0.195 * (title.bottom - title.top)
    assert (title.left, title.top) == pytest.approx((109.5, 69.0 + below), abs=NEAR_MM)


def test_on_a_standing_label_it_reads_upward_from_the_same_corner_hand_worked(batch):
    # Sixteen to a sheet: position 6 begins at 53 and 74.5 mm; turned, the first letter is at the lower left.
    # Printed on 48.5 by 70 mm in the middle of 52 by 74: from 54.75 mm across, from 146.5 mm upward.
    made = labels_pdf(run_of(batch, SIXTEEN, start=6), created=NOW)
    title = next(box for box in boxes(made) if box.kind == "text")
    assert (title.left, title.bottom) == pytest.approx((54.75, 146.5), abs=NEAR_MM)
    assert title.bottom - title.top > title.right - title.left


def test_a_half_used_sheet_is_used_up_and_goes_on_on_the_next(batch):
    made = labels_pdf(run_of(batch, SIXTEEN, start=15, copies=4), created=NOW)
    titles = [box for box in boxes(made) if box.says == "Butan-1-ol mixture"]
    assert [box.page for box in titles] == [1, 1, 2, 2]
    # Position 15 is in the third column of the last row, 105 to 157 mm; position 1 is 1 to 53 mm.
    assert 105 < titles[0].left < 157
    assert 1 < titles[2].left < 53
    assert titles[0].top > 222
    assert titles[2].bottom < 75
    with open_pdf(made) as pdf:
        assert len(pdf.pages) == 2
        # ISO 216: A4 is 210 mm by 297 mm.
        sides = [[float(side) * 25.4 / 72 for side in page.mediabox] for page in pdf.pages]
    assert sides == [pytest.approx([0, 0, 210, 297], abs=0.1)] * 2


# -- how large it is


def diamonds(made):
    """Side of each red diamond, from its line's middle and the line's width: 5 of 100 of the drawing."""
    found, drawing = [], 0.0
    for box in boxes(made):
        if box.kind == "rectangle":
            drawing = box.right - box.left
        if box.kind == "path" and box.colour and box.colour[0] > 0.7 and box.colour[1] < 0.1:
            found.append((box.right - box.left) / sqrt(2) + 0.05 * drawing)
    return found


def test_pictograms_have_16_mm_where_there_is_room_clp_annex_i_table_1_3(batch):
    sides = diamonds(labels_pdf(run_of(batch, EIGHT), created=NOW))
    assert len(sides) == 3
    assert all(side == pytest.approx(16, abs=0.05) for side in sides)


def test_and_never_less_than_10_mm_which_is_said(batch):
    run = run_of(batch, SIXTEEN)
    sides = diamonds(labels_pdf(run, created=NOW))
    assert len(sides) == 3
    assert all(side >= 9.99 for side in sides)
    assert any("16 mm are wanted if possible" in said for said in run.warnings)


def test_a_large_container_gets_its_larger_pictograms_clp_annex_i_table_1_3(batch):
    whole_page = {**SIXTEEN, "rows": 2, "columns": 1, "width_mm": Decimal(200), "height_mm": Decimal(140)}
    whole_page |= {"left_mm": Decimal(5), "top_mm": Decimal(5)}
    whole_page |= {"pitch_across_mm": Decimal(200), "pitch_down_mm": Decimal(145)}
    sides = diamonds(labels_pdf(run_of(batch, whole_page, container="5000"), created=NOW))
    assert all(side == pytest.approx(23, abs=0.05) for side in sides)


def test_a_label_too_small_for_its_container_is_refused_in_a_sentence(batch):
    with pytest.raises(CannotPrint, match="needs at least 74 × 105"):
        run_of(batch, SIXTEEN, container="5000")


def test_a_label_too_small_for_its_words_is_refused_in_a_sentence(batch):
    tiny = {**SIXTEEN, "width_mm": Decimal(30), "height_mm": Decimal(20)}
    with pytest.raises(CannotPrint, match=r"“Butan-1-ol mixture”: This label is too small.*larger labels"):
        run_of(batch, tiny)


def test_a_position_that_is_none_is_refused(batch):
    with pytest.raises(ImpossibleSheet, match="positions 1 to 16"):
        run_of(batch, SIXTEEN, start=17)


@pytest.mark.parametrize("length", [40, 160])
def test_a_long_title_or_contents_shrink_and_stay_inside(cast, length):
    solutes = [
        (name, "0.01", "mol/L") for name in ("glycine", "L-alanine", "L-valine", "L-leucine", "L-lysine")
    ]
    recipe = make_solution(f"{'Standards ' * 20}"[:length].strip(), solutes=solutes)
    batch = make_batch(make_requisition(cast.teacher, recipe).lines.get(), cast.technician)
    made = labels_pdf(run_of(batch, SIXTEEN, start=6), created=NOW)
    texts = [box for box in boxes(made) if box.kind == "text"]
    _, left, top, right, bottom = edges(SIXTEEN, 6)
    assert all(left <= box.left and box.right <= right for box in texts)
    assert all(top <= box.top and box.bottom <= bottom for box in texts)
    assert "L-lysine 0.01" in page_texts(made)[0].replace("\u00a0", " ")


# -- what it says


def test_it_says_all_that_a_bottle_needs(batch):
    made = labels_pdf(run_of(batch, EIGHT), created=NOW)
    (text,) = page_texts(made)
    text = text.replace("\u00a0", " ")
    for said in (
        # Hand-worked from densities 0.8095, 1.0491, 0.9982: 48.57, 15.74 and 24.96 of 89.26 g.
        "butan-1-ol 54 %, ethanoic acid 18 %, water 28 % by mass",
        "Danger",
        "H226",
        "H318",
        "P280",
        "Batch 24N-AAA",
        "made 24 Nov 2026",
        "by TT",
        "the legal wording and the supplier's safety data sheet come first",
    ):
        assert said in text, said


def test_pictograms_and_code_have_words_for_who_cannot_see_them(batch):
    with open_pdf(labels_pdf(run_of(batch, EIGHT), created=NOW)) as pdf:
        said = sorted(
            str(one["/Alt"]) for one in pdf.objects if isinstance(one, dict_like()) and "/Alt" in one
        )
    assert {"Flammable", "Corrosive", "Harmful or irritant"} <= set(said)
    assert any("QR code" in one for one in said)


def dict_like():
    import pikepdf

    return pikepdf.Dictionary


def test_a_coded_unknown_shows_its_code_and_hazards_and_nothing_of_what_it_holds(cast):
    unknown = make_spray("Unknown of two")
    line = make_requisition(cast.teacher, unknown, total="100", label_code="X7").lines.get()
    run = run_of(make_batch(line, cast.technician), EIGHT)
    made = labels_pdf(run, created=NOW)
    with open_pdf(made) as pdf:
        everything = " ".join([*page_texts(made), str(pdf.docinfo.Title), *alternatives(pdf)]).lower()
    assert "x7" in everything
    assert "h225" in everything
    for secret in ("ninhydrin", "ethanol", "unknown of two", "0.2"):
        assert secret not in everything, secret
    assert b"ninhydrin" not in made


def alternatives(pdf):
    return [str(one["/Alt"]) for one in pdf.objects if isinstance(one, dict_like()) and "/Alt" in one]


def test_vials_share_a_rack_label_coded_ones_by_code_alone(cast):
    known = make_solution("Glycine, 0.01 mol/L")
    secret = make_solution("Unknown of one", solutes=(("L-leucine", "0.01", "mol/L"),))
    spray = make_spray("Spray")
    lines = [
        make_requisition(cast.teacher, recipe, total="100", label_code=code).lines.get()
        for recipe, code in ((known, ""), (secret, "X7"), (spray, ""))
    ]
    batches = [
        make_batch(line, cast.technician, code=f"24N-AA{place}") for place, line in enumerate(lines, start=1)
    ]
    run = run_for([rack_label("Amino acids on paper", batches, link=LINK)], EIGHT, container="10")
    (text,) = page_texts(labels_pdf(run, created=NOW))
    assert "Glycine, 0.01 mol/L (24N-AA1), X7 (24N-AA2), Spray (24N-AA3)" in text
    assert "L-leucine" not in text
    assert "Unknown of one" not in text
    # The joint hazards are the spray's: ethanol's H225.
    assert "H225" in text
    assert "GHS02" in {sign.code for sign in run.designs[0].label.signs}


def test_different_bottles_share_a_sheet_each_as_often_as_asked(cast, batch):
    spray = make_batch(make_requisition(cast.teacher, make_spray()).lines.get(), cast.technician)
    labels = [bottle_label(one, layer="", link=LINK) for one in (batch, spray)]
    run = run_for(labels, EIGHT, start=7, copies=2)
    first, second = page_texts(labels_pdf(run, created=NOW))
    assert (first.count("Batch 24N-AAA"), first.count("Batch 24N-AAB")) == (2, 0)
    assert (second.count("Batch 24N-AAA"), second.count("Batch 24N-AAB")) == (0, 2)


def test_a_bottle_larger_than_was_said_counts_with_its_own_volume(batch):
    label = replace(bottle_label(batch, layer="", link=LINK), holds_ml=Decimal(5000))
    with pytest.raises(CannotPrint, match="over 3 to 50 L needs at least 74 × 105"):
        run_for([label], SIXTEEN, container="10")


def test_a_long_address_gets_a_larger_code(batch):
    label = bottle_label(batch, layer="", link=LINK)
    far = replace(label, link=f"http://{'a' * 60}.{'b' * 60}.example/{'c' * 36}")
    sizes = [run_for([one], EIGHT).designs[0].fitted.qr.size for one in (label, far)]
    # ISO/IEC 18004, bytes at level M: 84 in version 5 (37 squares), 180 in version 9 (53), and 4 of white
    # on both sides; squares of 0.28 mm.
    assert sizes == pytest.approx([13.0, 61 * 0.28])


def test_the_same_labels_give_the_same_bytes(batch):
    run = run_of(batch, EIGHT)
    assert labels_pdf(run, created=NOW) == labels_pdf(run, created=NOW)
