"""Positions on a sheet, and the sizes that a container asks for."""

from dataclasses import replace
from decimal import Decimal

import pytest

from reagents.calculations.label_layout import (
    ImpossibleSheet,
    Sheet,
    check_sheet,
    free_positions,
    judge_size,
    least_size,
    pictogram_side,
    pictogram_width,
    pictograms_across,
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


# Regulation (EC) No 1272/2008, Annex I, 1.2.1.4, Table 1.3: label and pictogram by capacity of the package.
@pytest.mark.parametrize(
    ("container_ml", "label", "pictogram"),
    [
        (1, (52, 74), (10, 16)),
        (500, (52, 74), (10, 16)),
        (3_000, (52, 74), (10, 16)),
        (3_001, (74, 105), (23, 23)),
        (50_000, (74, 105), (23, 23)),
        (50_001, (105, 148), (32, 32)),
        (500_000, (105, 148), (32, 32)),
        (500_001, (148, 210), (46, 46)),
    ],
)
def test_smallest_label_and_pictogram_clp_annex_i_table_1_3(container_ml, label, pictogram):
    least = least_size(D(container_ml))
    assert (least.width_mm, least.height_mm) == label
    assert (least.least_pictogram_mm, least.pictogram_mm) == pictogram


# Regulation (EU) 2024/2865, x-heights, read second hand (two pages of a consultancy).
@pytest.mark.parametrize(
    ("container_ml", "x_height"),
    [(500, "1.2"), (501, "1.4"), (3_001, "1.8"), (50_001, "2.0"), (500_001, "2.0")],
)
def test_smallest_letters_eu_2024_2865(container_ml, x_height):
    assert least_size(D(container_ml)).x_height_mm == D(x_height)


def test_a_fifteenth_of_the_smallest_label_clp_annex_i_1_2_1_3():
    # Hand-worked: 52 x 74 / 15 = 256.5 mm2, side 16.0; 74 x 105 / 15 = 518 mm2, side 22.8, table 23.
    assert pictogram_side(D(250)) == D("16.0")
    assert pictogram_side(D(5_000)) == D(23)
    # 105 x 148 / 15 = 1036 mm2, side 32.2; 148 x 210 / 15 = 2072 mm2, side 45.5.
    assert pictogram_side(D(60_000)) == D("32.2")
    assert pictogram_side(D(600_000)) == D(46)


def test_a_square_on_its_corner_needs_its_diagonal_hand_worked():
    # 16 mm x 1.41421 = 22.63 mm; three in a row 67.9 mm of a 74 mm label, two of a 52 mm one.
    assert pictogram_width(16) == pytest.approx(22.63, abs=0.005)
    assert pictograms_across(74, 16) == 3
    assert pictograms_across(52, 16) == 2
    assert pictograms_across(67.8, 16) == 2
    assert pictograms_across(52, 10) == 3


def test_a_label_counts_either_way_round():
    turned = replace(SIXTEEN, rows=1, columns=1, width_mm=D(74), height_mm=D(52), pitch_across_mm=D(74))
    assert judge_size(turned, D(500)).large_enough


def test_a_small_label_is_warned_of_up_to_3_l_and_refused_beyond():
    small = replace(SIXTEEN, height_mm=D(30))
    warned = judge_size(small, D(500))
    assert not warned.large_enough
    assert not warned.refused
    assert "smaller than the 52 × 74" in warned.sentence
    refused = judge_size(SIXTEEN, D(5_000))
    assert refused.refused
    assert "needs at least 74 × 105" in refused.sentence
    assert not judge_size(EIGHT, D(5_000)).refused


@pytest.mark.parametrize("container", ["0", "-1", "NaN"])
def test_no_container_is_refused(container):
    with pytest.raises(ImpossibleSheet, match="more than 0"):
        least_size(D(container))
