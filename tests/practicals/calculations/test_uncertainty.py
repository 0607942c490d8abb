"""Uncertainty of R_f against an independent propagation library and worked cases."""

from decimal import Decimal
from math import hypot, sqrt

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import ufloat

from practicals.calculations.differences import difference_between_papers, difference_on_one_paper
from practicals.calculations.rf import NoRunError, NotAReadingError
from practicals.calculations.uncertainty import (
    Located,
    NoUncertaintyError,
    between_edges,
    located,
    reported,
    rf_uncertainty,
    run_words,
    shortest_run_for,
    spot_as_read,
)

D = Decimal


def at(mm, u=0.29, judged=0.0):
    return Located(D(str(mm)), u, judged)


# JCGM 100:2008, 5.1.2, worked by hand: o = 10, s = 52, f = 110 mm. With each u = 0.29 mm
# 0.29/100 x sqrt(1 + 0.58^2 + 0.42^2) = 0.003567; with u_s = 0.5 mm 0.005414. Treating the two distances
# as independent would give 0.004448 and 0.006031.
@pytest.mark.parametrize(("u_spot", "u"), [(0.29, 0.003567), (0.5, 0.005414)])
def test_shared_origin_and_front_jcgm_100_5_1_2(u_spot, u):
    found = rf_uncertainty(at(52, u_spot), origin=at(10), front=at(110))
    assert found.rf == D("0.42")
    assert found.u == pytest.approx(u, abs=6e-7)
    assert found.expanded == pytest.approx(2 * u, abs=2e-6)


def test_two_independent_distances_would_be_wrong_jcgm_100_5_1_2():
    # The same case as above: sqrt(2) x 0.29 mm for each distance, relative squares added: 0.004448.
    u_distance = sqrt(2) * 0.29
    wrong = 0.42 * hypot(u_distance / 42, u_distance / 100)
    assert wrong == pytest.approx(0.004448, abs=1e-6)
    assert rf_uncertainty(at(52), origin=at(10), front=at(110)).u < 0.0037 < 0.0044 < wrong


readings = st.tuples(
    st.integers(0, 30),
    st.integers(20, 300),
    st.floats(0, 1),
    *[st.floats(0.05, 3) for _ in range(3)],
)


@settings(deadline=None)
@given(readings)
def test_any_reading_agrees_with_the_uncertainties_library(case):
    # uncertainties 3.2 (E. O. Lebigot) tracks the shared origin and front by itself.
    o, run, part, u_o, u_s, u_f = case
    spot = round(o + run * part, 3)
    origin, centre, front = ufloat(o, u_o), ufloat(spot, u_s), ufloat(o + run, u_f)
    expected = (centre - origin) / (front - origin)
    found = rf_uncertainty(at(spot, u_s), origin=at(o, u_o), front=at(o + run, u_f))
    assert found.u == pytest.approx(expected.std_dev, rel=1e-9)
    assert float(found.rf) == pytest.approx(expected.nominal_value, abs=1e-9)


@settings(deadline=None)
@given(readings, st.floats(0, 1))
def test_any_difference_on_one_paper_agrees_with_the_uncertainties_library(case, other):
    o, run, part, u_o, u_s, u_f = case
    a, b = round(o + run * part, 3), round(o + run * other, 3)
    origin, front = ufloat(o, u_o), ufloat(o + run, u_f)
    expected = (ufloat(a, u_s) - origin) / (front - origin) - (ufloat(b, u_o) - origin) / (front - origin)
    found = difference_on_one_paper(at(a, u_s), at(b, u_o), origin=at(o, u_o), front=at(o + run, u_f))
    assert found.u == pytest.approx(expected.std_dev, rel=1e-9)
    assert found.delta == pytest.approx(expected.nominal_value, abs=1e-9)


@settings(deadline=None)
@given(readings, st.floats(0, 1), st.integers(-8, 8))
def test_lanes_with_their_own_front_share_only_the_origin_uncertainties_library(case, other, further):
    o, run, part, u_o, u_s, u_f = case
    a, b = round(o + run * part, 3), round(o + run * other, 3)
    origin, front, own = ufloat(o, u_o), ufloat(o + run, u_f), ufloat(o + run + further, u_f)
    expected = (ufloat(a, u_s) - origin) / (own - origin) - (ufloat(b, u_s) - origin) / (front - origin)
    found = difference_on_one_paper(
        at(a, u_s),
        at(b, u_s),
        origin=at(o, u_o),
        front=at(o + run, u_f),
        first_front=at(o + run + further, u_f),
    )
    assert found.u == pytest.approx(expected.std_dev, rel=1e-9)


def test_two_spots_on_one_paper_are_told_apart_more_finely_jcgm_100_5_1_2():
    # Worked by hand: spots at 72 and 74, o = 10, f = 110 mm, each u = 0.29 mm: delta -0.02,
    # 0.0029 x sqrt(2 + 2 x 0.02^2) = 0.004102. As if on two papers: 0.005080.
    found = difference_on_one_paper(at(72), at(74), origin=at(10), front=at(110))
    assert (round(found.delta, 9), round(found.u, 6)) == (-0.02, 0.004102)
    assert found.told_apart
    assert found.z == pytest.approx(-4.876, abs=1e-3)
    both = [rf_uncertainty(at(mm), origin=at(10), front=at(110)) for mm in (72, 74)]
    apart = difference_between_papers(both[0].rf, both[1].rf, u_first=both[0].u, u_second=both[1].u)
    assert apart.u == pytest.approx(0.005080, abs=1e-6)
    assert "can be told apart" in found.words


def test_a_small_difference_is_said_not_to_tell_apart():
    assert (
        "cannot be told apart"
        in difference_on_one_paper(at(72), at("72.5"), origin=at(10), front=at(110)).words
    )


def test_ruler_in_whole_millimetres_jcgm_100_4_3_7():
    # a = 0.5 mm, u = a / sqrt 3 = 0.288675 mm.
    assert located(D(40), division_mm=D(1)).u_mm == pytest.approx(0.288675, abs=1e-6)


def test_stated_half_width_is_rectangular_jcgm_100_4_3_7():
    # Judged to +-1.5 mm: u = 1.5 / sqrt 3 = 0.8660 mm, the ruler's 0.2887 mm added in squares: 0.9129 mm.
    found = located(D(40), division_mm=D(1), judged_to_mm=D("1.5"))
    assert found.u_judged_mm == pytest.approx(0.8660, abs=1e-4)
    assert found.u_mm == pytest.approx(0.9129, abs=1e-4)


def test_edges_average_two_readings_and_leave_a_judgement():
    # 6 mm long: +-1.5 mm as above (common practice, no source); the ruler 0.2887 / sqrt 2 = 0.2041 mm.
    found = between_edges(D(43), D(37), division_mm=D(1))
    assert found.at_mm == 40
    assert found.u_ruler_mm == pytest.approx(0.2041, abs=1e-4)
    assert found.u_judged_mm == pytest.approx(0.8660, abs=1e-4)
    assert between_edges(D(43), D(37), division_mm=D(1), judged_to_mm=D(0)).u_mm == found.u_ruler_mm


def test_a_six_millimetre_spot_on_an_80_mm_run_is_good_to_two_hundredths():
    # u_s = sqrt(0.866^2 + 0.2041^2) = 0.8897; R_f 0.384; sqrt(0.8897^2 + (0.616 x 0.2887)^2
    # + (0.384 x 0.2887)^2) / 80 = 0.01143, twice that 0.0229; the judgement's share is 0.750 / 0.8355 (by
    # hand).
    spot = between_edges(D("43.72"), D("37.72"), division_mm=D(1))
    origin, front = (located(D(mm), division_mm=D(1)) for mm in (10, 90))
    found = rf_uncertainty(spot, origin=origin, front=front)
    assert found.expanded == pytest.approx(0.0229, abs=1e-4)
    assert found.reported.text == "0.38 ± 0.02 (k = 2)"
    assert found.dominant == "spot"
    assert "judging the centre of the spot (90 %" in found.words


def test_with_a_ruler_alone_the_ruler_dominates_and_the_reading_is_named():
    found = rf_uncertainty(at(52), origin=at(10), front=at(110))
    assert (found.dominant, found.causes[0].percent) == ("ruler", 100)
    # 1 / (1 + 0.58^2 + 0.42^2) = 0.661
    assert "the spot (66 %)" in found.words


@settings(deadline=None)
@given(readings)
def test_shares_add_up_to_the_whole(case):
    o, run, part, u_o, u_s, u_f = case
    found = rf_uncertainty(
        Located(D(str(round(o + run * part, 2))), u_s, u_o), origin=at(o, u_o), front=at(o + run, u_f, u_s)
    )
    for shares in (found.causes, found.readings):
        assert sum(share.part for share in shares) == pytest.approx(1)
        assert list(shares) == sorted(shares, key=lambda share: -share.part)


@pytest.mark.parametrize(
    ("value", "expanded", "text"),
    [
        ("0.3842", 0.023, "0.38 ± 0.02 (k = 2)"),
        ("0.42", 0.007134, "0.420 ± 0.007 (k = 2)"),
        ("0.4249", 0.0108, "0.425 ± 0.011 (k = 2)"),
        ("0.625", 0.02, "0.63 ± 0.02 (k = 2)"),  # half up: a binary float gives 0.62
        ("0.4249", 0.0149, "0.425 ± 0.015 (k = 2)"),
        ("0.4249", 0.0199, "0.425 ± 0.020 (k = 2)"),
        ("0.4249", 0.0096, "0.425 ± 0.010 (k = 2)"),
        ("0.4", 0.35, "0.4 ± 0.4 (k = 2)"),
        ("12", 25.0, "12 ± 25 (k = 2)"),
    ],
)
def test_at_most_two_figures_and_the_value_to_match_jcgm_100_7_2_6(value, expanded, text):
    # JCGM 100:2008, 7.2.6; which of one and two figures: common practice, no source. Rounded by hand.
    assert reported(D(value), expanded).text == text


@settings(deadline=None)
@given(st.decimals(0, 1, places=6), st.floats(1e-5, 0.9))
def test_what_is_reported_has_one_or_two_figures_and_equal_decimals(value, expanded):
    found = reported(value, expanded)
    assert 1 <= len(str(found.expanded).replace(".", "").lstrip("0")) <= 2
    assert found.value.as_tuple().exponent == found.expanded.as_tuple().exponent
    assert abs(found.value - value) <= D(10) ** found.value.as_tuple().exponent / 2
    assert abs(float(found.expanded) - expanded) <= 0.26 * expanded


@pytest.mark.parametrize("expanded", [0.0, -0.1, float("nan"), float("inf")])
def test_no_uncertainty_to_report_is_said(expanded):
    with pytest.raises(NoUncertaintyError, match="must be above 0"):
        reported(D("0.4"), expanded)


def test_shortest_run_worked_by_hand():
    # Ruler alone, worst place: 2 x sqrt 2 x 0.29 / 0.02 = 41.01 mm, so 42; at R_f 0.42: 2 x 0.3567 / 0.02 =
    # 35.67 mm, so 36.
    ruler = {"u_spot_mm": 0.29, "u_origin_mm": 0.29, "u_front_mm": 0.29}
    assert shortest_run_for(0.02, **ruler) == 42
    assert shortest_run_for(0.02, **ruler, rf=D("0.42")) == 36


@settings(deadline=None)
@given(st.floats(0.002, 0.2), st.floats(0.05, 2), st.floats(0, 1))
def test_the_shortest_run_reaches_what_was_wanted_and_one_less_does_not(wanted, u, part):
    run = int(shortest_run_for(wanted, u_spot_mm=u, u_origin_mm=u, u_front_mm=u, rf=D(repr(part))))

    def expanded(length):
        return 2 * u * sqrt(1 + (1 - part) ** 2 + part**2) / length

    assert expanded(run) <= wanted * (1 + 1e-6)
    assert run == 1 or expanded(run - 1) > wanted * (1 - 1e-6)


@pytest.mark.parametrize("wanted", [0, -1, float("nan"), float("inf")])
def test_a_wanted_uncertainty_that_cannot_be_is_refused(wanted):
    with pytest.raises(NoUncertaintyError, match="must be above 0"):
        shortest_run_for(wanted, u_spot_mm=0.3, u_origin_mm=0.3, u_front_mm=0.3)


def test_bad_input_is_said_in_sentences():
    with pytest.raises(NotAReadingError):
        located(D("NaN"), division_mm=D(1))
    with pytest.raises(NoUncertaintyError, match="cannot be judged"):
        located(D(3), division_mm=D(1), judged_to_mm=D(-1))
    with pytest.raises(NoUncertaintyError, match="leading edge"):
        between_edges(D(3), D(4), division_mm=D(1))
    with pytest.raises(NoRunError):
        rf_uncertainty(at(10), origin=at(10), front=at(10))
    with pytest.raises(NoUncertaintyError, match="No reading is exact"):
        rf_uncertainty(at(20, 0.0), origin=at(10, 0.0), front=at(90, 0.0))
    with pytest.raises(NoUncertaintyError, match="0 or more"):
        difference_between_papers(D(0), D(1), u_first=-1, u_second=0)
    with pytest.raises(NoUncertaintyError, match="0 mm or more"):
        shortest_run_for(0.02, u_spot_mm=-1, u_origin_mm=0, u_front_mm=0)
    with pytest.raises(NoUncertaintyError, match="not an ordinary number"):
        reported(D("NaN"), 0.1)


def test_two_exact_values_have_a_z_only_if_they_are_equal():
    assert difference_between_papers(D(1), D(1), u_first=0, u_second=0).z == 0
    assert difference_between_papers(D(1), D(0), u_first=0, u_second=0).z == float("inf")


def test_a_spot_is_taken_as_it_was_read():
    both = spot_as_read(centre_mm=D(40), leading_mm=D(43), trailing_mm=D(37), division_mm=D(1))
    assert (both.at_mm, round(both.u_ruler_mm, 4), round(both.u_judged_mm, 4)) == (40, 0.2887, 0.8660)
    edges = spot_as_read(centre_mm=None, leading_mm=D(43), trailing_mm=D(37), division_mm=D(1))
    assert edges == between_edges(D(43), D(37), division_mm=D(1))
    swapped = spot_as_read(centre_mm=None, leading_mm=D(37), trailing_mm=D(43), division_mm=D(1))
    assert swapped == edges
    stated = spot_as_read(centre_mm=D(40), division_mm=D(1), judged_to_mm=D("1.5"))
    assert stated.u_mm == pytest.approx(0.9129, abs=1e-4)
    alone = spot_as_read(centre_mm=D(40), leading_mm=D(43), division_mm=D(1))
    assert alone.u_judged_mm == 0
    assert spot_as_read(centre_mm=None, leading_mm=D(43), division_mm=D(1)) is None


def test_a_centre_whose_judgement_nobody_stated_is_said_to_lack_it():
    assert "was not stated" in rf_uncertainty(at(52), origin=at(10), front=at(110)).words
    assert "was not stated" not in rf_uncertainty(at(52, 0.29, 0.5), origin=at(10), front=at(110)).words


@pytest.mark.parametrize(
    ("run", "says"),
    [
        ("80", "This run of 80 mm is long enough for ± 0.02."),
        ("40", "For ± 0.02 the front must run 42 mm at least; it ran 40 mm."),
    ],
)
def test_whether_a_run_was_long_enough_is_said(run, says):
    assert run_words(0.02, shortest_mm=D(42), run_mm=D(run), paper_run_mm=D(100)) == says
    assert "too short" in run_words(0.02, shortest_mm=D(120), run_mm=D(run), paper_run_mm=D(100))
