"""Positions on a sheet of labels."""

from dataclasses import replace
from decimal import Decimal

import pytest

from reagents.calculations.label_layout import (
    ImpossibleSheet,
    Sheet,
    check_sheet,
    free_positions,
    places,
    printed_size,
)

D = Decimal
SIXTEEN = Sheet(4, 4, D(52), D(74), D(1), D("0.5"), D(52), D(74))
EIGHT = Sheet(4, 2, D(105), D(74), D(0), D("0.5"), D(105), D(74))
TEN = Sheet(5, 2, D(90), D(52), D(12), D("13.5"), D(96), D(54))


def test_positions_are_counted_row_by_row_and_go_on_over_the_page_hand_worked():
    laid = places(SIXTEEN, start=6, count=13)
    first, last_of_page, overleaf = laid[0], laid[10], laid[-1]
    assert (first.page, first.row, first.column) == (1, 2, 2)
    assert (first.left_mm, first.top_mm) == (D(53), D("74.5"))
    assert (last_of_page.page, last_of_page.row, last_of_page.column) == (1, 4, 4)
    assert (last_of_page.left_mm, last_of_page.top_mm) == (D(157), D("222.5"))
    assert (overleaf.page, overleaf.row, overleaf.column, overleaf.left_mm) == (2, 1, 2, D(53))
    assert free_positions(SIXTEEN, laid) == 14


def test_a_gap_between_labels_is_in_the_pitch_hand_worked():
    laid = places(TEN, start=4, count=1)
    assert (laid[0].left_mm, laid[0].top_mm) == (D(108), D("67.5"))


@pytest.mark.parametrize("sheet", [SIXTEEN, EIGHT, TEN], ids=["16", "8", "10"])
def test_what_is_printed_stays_in_its_label_and_4_mm_inside_the_page(sheet):
    # 4 mm: what a printer leaves white at the edge, common practice, no source. ISO 216: A4 is 210 by 297 mm.
    width, height = printed_size(sheet)
    for place in places(sheet, start=1, count=sheet.positions):
        assert place.left_mm + D("0.5") <= place.printed_left_mm
        assert place.printed_left_mm + width <= place.left_mm + sheet.width_mm - D("0.5")
        assert place.top_mm + D("0.5") <= place.printed_top_mm
        assert place.printed_top_mm + height <= place.top_mm + sheet.height_mm - D("0.5")
        assert min(place.printed_left_mm, place.printed_top_mm) >= 4
        assert place.printed_left_mm + width <= 206
        assert place.printed_top_mm + height <= 293


def test_what_is_printed_is_the_label_less_its_margins_hand_worked():
    # Ten with gaps: 1.5 mm on each side. Sixteen: from 4 mm, in a label from 1 mm, to 0.5 mm before 53 mm.
    assert printed_size(TEN) == (D(87), D(49))
    assert printed_size(SIXTEEN) == (D("48.5"), D(70))
    assert printed_size(Sheet(1, 1, D(210), D(297), D(0), D(0), D(210), D(297))) == (D(202), D(289))


@pytest.mark.parametrize(("start", "count"), [(0, 1), (17, 1), (-1, 1), (1, 0), (1, 401)])
def test_no_position_and_no_label_are_refused(start, count):
    with pytest.raises(ImpossibleSheet):
        places(SIXTEEN, start=start, count=count)


@pytest.mark.parametrize(
    ("wrong", "field", "said"),
    [
        ({"rows": 0}, "rows", "above zero"),
        ({"width_mm": D(0)}, "width_mm", "above zero"),
        ({"left_mm": D(-1)}, "left_mm", "outside the sheet"),
        ({"pitch_across_mm": D(51)}, "pitch_across_mm", "overlap"),
        ({"pitch_down_mm": D(75)}, "pitch_down_mm", "end at 299.5"),
        ({"columns": 5}, "pitch_across_mm", "A4 is 210"),
        ({"rows": 101}, "rows", "More than 400"),
    ],
)
def test_a_sheet_that_cannot_be_says_which_measure(wrong, field, said):
    with pytest.raises(ImpossibleSheet, match=said) as caught:
        check_sheet(replace(SIXTEEN, **wrong))
    assert caught.value.field == field


def test_sheets_that_can_be():
    for sheet in (SIXTEEN, EIGHT, TEN, Sheet(1, 1, D(210), D(297), D(0), D(0), D(210), D(297))):
        check_sheet(sheet)
