"""The sizes that a container asks for."""

from dataclasses import replace
from decimal import Decimal

import pytest
import segno

from reagents.calculations.label_layout import ImpossibleSheet, Sheet
from reagents.calculations.label_size import (
    code_side,
    judge_size,
    least_size,
    pictogram_side,
    pictogram_width,
    pictograms_across,
)

D = Decimal
SIXTEEN = Sheet(4, 4, D(52), D(74), D(1), D("0.5"), D(52), D(74))
EIGHT = Sheet(4, 2, D(105), D(74), D(0), D("0.5"), D(105), D(74))


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


@pytest.mark.parametrize("length", [14, 15, 62, 63, 84, 85, 106, 107, 122, 152, 180, 181, 213, 251, 287, 331])
def test_a_code_has_as_many_squares_as_the_library_draws_iso_iec_18004(length):
    # segno 1.6.6, an independent maker of QR codes, at error correction M with 4 squares of white.
    address = "http://a.example/" + "x" * (length - 17) if length > 17 else "x" * length
    squares = segno.make_qr(address, error="m", mask=0).symbol_size(border=4)[0]
    assert code_side(address) == pytest.approx(max(13, 0.28 * squares))


def test_an_address_too_long_for_a_label_is_refused():
    with pytest.raises(ImpossibleSheet, match="too long"):
        code_side("x" * 332)
