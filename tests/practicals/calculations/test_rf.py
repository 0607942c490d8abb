"""R_f, rounding and uncertainty against printed worked examples and the literature."""

import csv
from decimal import Decimal, localcontext
from pathlib import Path

import pytest

from practicals.calculations.rf import (
    FrontBelowOriginError,
    NoRetardationFactorError,
    NoRunError,
    NotAReadingError,
    centre_uncertainty,
    relative_retardation,
    retardation_factor,
    rounded,
    ruler_uncertainty,
    run_length,
    spot_centre,
    standard_uncertainty,
)

PUBLISHED = Path(__file__).parents[2] / "published"
with (PUBLISHED / "chromatography_rf_worked_examples.csv").open(encoding="utf-8") as file:
    WORKED = list(csv.DictReader(file))
D = Decimal


@pytest.mark.parametrize("case", WORKED, ids=[case["case_id"] for case in WORKED])
def test_rf_recomputed_from_printed_distances_student_reports_and_question_sites(case):
    # 48 printed worked examples; each row's source_key is a row of practicals/data/SOURCES.csv.
    rf = retardation_factor(spot_mm=D(case["spot_mm"]), origin_mm=D(0), front_mm=D(case["front_mm"]))
    assert rounded(rf, 4) == D(case["rf_recomputed"])


def test_worked_examples_are_all_there():
    # An accidental edit of the copied table shows here: summed by hand from the printed column.
    assert len(WORKED) == 48
    assert sum(case["verdict"].startswith("truncated") for case in WORKED) == 2


def test_rf_inverse_use_question_site_q_sovi():
    # Q_SOVI: 0.788 x 7.30 cm = 5.75 cm, so 57.5 of 73.0 mm gives 0.788 back.
    assert rounded(retardation_factor(spot_mm=D("57.5"), origin_mm=D(0), front_mm=D("73.0")), 3) == D("0.788")


def test_rf_does_not_depend_on_where_the_rulers_zero_was():
    # IUPAC Gold Book R05353: distances from the origin, so a shift of both ends cancels.
    from_line = retardation_factor(spot_mm=D(42), origin_mm=D(0), front_mm=D(100))
    from_edge = retardation_factor(spot_mm=D(62), origin_mm=D(20), front_mm=D(120))
    assert from_line == from_edge == D("0.42")


def test_rf_is_not_changed_by_a_callers_decimal_context():
    with localcontext() as context:
        context.prec = 3
        rf = retardation_factor(spot_mm=D(29), origin_mm=D(0), front_mm=D(53))
    assert str(rf).startswith("0.5471698113207547169811320")


@pytest.mark.parametrize(
    ("value", "places", "expected"),
    [
        (D(50) / D(80), 2, "0.63"),  # round() of the binary float gives 0.62
        (D("0.545"), 2, "0.55"),
        (D("0.5449"), 2, "0.54"),
        (D("0.995"), 2, "1.00"),
        (D("0.05"), 1, "0.1"),
        (D(3), 2, "3.00"),
        (D("1e30"), 2, "1000000000000000000000000000000.00"),
    ],
)
def test_rounding_half_up_in_decimal_common_practice(value, places, expected):
    # Half up is what a person does by hand: common practice, no source.
    assert str(rounded(value, places)) == expected


def test_rounding_to_negative_decimals_is_refused():
    with pytest.raises(ValueError, match="fewer than none"):
        rounded(D("0.5"), -1)


def test_ruler_in_whole_millimetres_jcgm_100_4_3_7():
    # JCGM 100:2008, 4.3.7: rectangular, a = 0.5 mm, u = a / sqrt 3 = 0.2887 mm.
    assert ruler_uncertainty(D(1)) == pytest.approx(0.2887, abs=5e-5)


def test_centre_judged_within_1_5_mm_jcgm_100_4_3_7():
    # A 6 mm spot judged to +-1.5 mm gives 0.87 mm; the ruler's 0.29 mm adds in squares: 0.912 mm (by hand).
    assert centre_uncertainty(division_mm=D(1), judged_to_mm=D("1.5")) == pytest.approx(0.913, abs=1e-3)


def test_uncertainty_shares_origin_and_front_jcgm_100_5_1_2():
    # o = 10, s = 52, f = 110 mm, each u = 0.29 mm: 0.0036. Independent distances would give 0.0044
    # (both computed by two routes from JCGM 100:2008, 5.1.2).
    u = standard_uncertainty(
        spot_mm=D(52), origin_mm=D(10), front_mm=D(110), u_spot_mm=0.29, u_origin_mm=0.29, u_front_mm=0.29
    )
    assert round(u, 4) == 0.0036


@pytest.mark.parametrize(
    ("front", "spot", "expected"),
    [(80, 40, 0.0044), (80, 0, 0.0051), (80, 80, 0.0051), (28, 14, 0.013), (28, 28, 0.015)],
)
def test_uncertainty_at_ends_and_middle_jcgm_100_5_1_2(front, spot, expected):
    # u/L sqrt(1 + (1 - Rf)^2 + Rf^2) with u = 0.29 mm, worked by hand.
    u = standard_uncertainty(
        spot_mm=D(spot), origin_mm=D(0), front_mm=D(front), u_spot_mm=0.29, u_origin_mm=0.29, u_front_mm=0.29
    )
    assert u == pytest.approx(expected, abs=5e-4 if expected > 0.01 else 5e-5)


def test_relative_retardation_iupac_r05276_needs_no_front_and_may_exceed_1():
    # IUPAC Gold Book R05276: b(spot) / b(reference).
    assert relative_retardation(spot_mm=D(50), standard_mm=D(30), origin_mm=D(10)) == 2


def test_relative_retardation_needs_a_standard_that_moved():
    with pytest.raises(NoRetardationFactorError, match="Choose another standard"):
        relative_retardation(spot_mm=D(50), standard_mm=D(10), origin_mm=D(10))


def test_centre_lies_midway_between_the_edges_iupac_r05353():
    assert spot_centre(D("44.5"), D(40)) == D("42.25")


def test_no_run_is_said_in_a_sentence():
    with pytest.raises(NoRunError, match="has not run") as caught:
        run_length(origin_mm=D(10), front_mm=D(10))
    assert caught.value.front_mm == 10


def test_front_below_origin_is_said_in_a_sentence():
    with pytest.raises(FrontBelowOriginError, match="below the origin line"):
        retardation_factor(spot_mm=D(5), origin_mm=D(10), front_mm=D(8))


@pytest.mark.parametrize("bad", ["NaN", "Infinity", "sNaN"])
def test_readings_that_are_no_numbers_are_refused(bad):
    with pytest.raises(NotAReadingError, match="ordinary number"):
        retardation_factor(spot_mm=D(bad), origin_mm=D(10), front_mm=D(80))


@pytest.mark.parametrize("division", ["0", "-1", "NaN"])
def test_a_ruler_without_divisions_is_refused(division):
    with pytest.raises(ValueError, match="must be above 0 mm"):
        ruler_uncertainty(D(division))
