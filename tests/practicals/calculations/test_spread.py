from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practicals.calculations.spread import NotANumberError, numbers, spread, t_quantile
from tests.practicals.calculations.statistics_cases import cases, near

readings = st.lists(st.integers(0, 100).map(lambda hundredths: Decimal(hundredths) / 100), max_size=60)


@pytest.mark.parametrize("case", cases("univariate_summary"))
def test_mean_and_standard_deviation_nist_univariate_sets(case):
    # NIST Statistical Reference Datasets, univariate summary statistics, certified values.
    found = spread(case["data"]["values"])
    assert found.n == case["expected"]["n"]
    assert found.mean == near(case, "mean")
    assert found.sd == near(case, "sd")


@pytest.mark.parametrize("case", cases("type_a_mean_interval"))
def test_interval_of_the_mean_nist_technical_note_1900_example_e2(case):
    # Possolo A., NIST TN 1900 (2015), example E2 (from memory; data and printed answers agree).
    found = spread(case["data"]["values"], level=case["data"]["coverage"])
    assert found.mean == near(case, "mean")
    assert found.u_mean == near(case, "u")
    assert found.interval is not None
    assert found.interval[0] == near(case, "lower")
    assert found.interval[1] == near(case, "upper")


def test_values_that_differ_in_their_last_digit_keep_their_spread_nist_numacc3():
    # NIST StRD NumAcc3: 1000000.2 once, then 1000000.1 and 1000000.3 in turn, 1001 in all; mean
    # 1000000.2 and standard deviation 0.1, certified exactly.
    found = spread([Decimal("1000000.2"), *[Decimal("1000000.1"), Decimal("1000000.3")] * 500])
    assert found.mean == pytest.approx(1000000.2, rel=1e-15)
    assert found.sd == pytest.approx(0.1, rel=1e-8)


@pytest.mark.parametrize(("df", "expected"), [(1, 12.71), (2, 4.30), (4, 2.78), (10, 2.23), (30, 2.04)])
def test_t_jcgm_100_table_g2(df, expected):
    # JCGM 100:2008, table G.2, column 95 %.
    assert t_quantile(0.95, df) == pytest.approx(expected, abs=0.005)


def test_median_and_mad_by_hand():
    # Worked by hand: median 2, deviations 1 1 0 0 2 4 7, median of these 1.
    found = spread([1, 1, 2, 2, 4, 6, 9])
    assert (found.median, found.mad) == (2, 1)
    assert found.scaled_mad == pytest.approx(1.4826, abs=1e-4)


def test_no_value_is_said_in_words():
    found = spread([])
    assert (found.n, found.mean, found.median, found.sd, found.interval) == (0, None, None, None, None)
    assert found.missing[0] == "There are no readings."


def test_one_learner_has_a_value_and_no_spread():
    found = spread([Decimal("0.61")])
    assert (found.mean, found.median) == (0.61, 0.61)
    assert (found.sd, found.mad, found.interval, found.u_mean, found.scaled_mad) == (None,) * 5
    assert found.missing == ("Not enough readings for a spread: 1, and it takes at least 2.",)


def test_two_values_have_a_very_wide_interval():
    # t with one degree of freedom is 12.71 (JCGM 100, table G.2): 0.62 +- 12.71 * 0.01.
    found = spread([Decimal("0.61"), Decimal("0.63")])
    assert found.interval == pytest.approx((0.62 - 0.1271, 0.62 + 0.1271), abs=1e-4)


def test_all_equal_is_no_certainty():
    found = spread([Decimal("0.61")] * 7)
    assert (found.sd, found.mad, found.all_equal) == (0, 0, True)
    assert "smaller than the ruler can show" in found.missing[0]


def test_five_hundred_learners():
    found = spread([Decimal(30 + place % 5) / 100 for place in range(500)])
    assert found.n == 500
    assert found.mean == pytest.approx(0.32)
    assert found.missing == ()


@pytest.mark.parametrize("wrong", [float("nan"), float("inf"), "zero point six", None, Decimal("NaN")])
def test_what_is_no_number_is_named(wrong):
    with pytest.raises(NotANumberError, match=r"Value 2 .* Correct it or leave it out"):
        numbers([0.5, wrong])


@pytest.mark.parametrize(("level", "df"), [(0.0, 3), (1.0, 3), (0.95, 0)])
def test_impossible_levels_and_degrees_of_freedom_are_refused(level, df):
    with pytest.raises(ValueError, match=r"between 0 and 1|degree of freedom"):
        t_quantile(level, df)


@given(readings)
def test_the_order_of_readings_does_not_matter(values):
    back = spread(list(reversed(values)))
    found = spread(values)
    assert (found.n, found.median, found.mad) == (back.n, back.median, back.mad)
    if found.sd is not None:
        assert found.sd == pytest.approx(back.sd, abs=1e-12)


@given(readings)
def test_mean_and_median_lie_among_the_readings(values):
    found = spread(values)
    if found.n:
        assert found.lowest - 1e-12 <= found.mean <= found.highest + 1e-12
        assert found.lowest <= found.median <= found.highest
    if found.interval:
        assert found.interval[0] <= found.mean <= found.interval[1]


@given(readings, st.integers(-1000, 1000))
def test_a_shift_moves_the_middle_and_leaves_the_spread(values, shift):
    found, moved = spread(values), spread([value + shift for value in values])
    if found.n >= 2:
        assert moved.mean == pytest.approx(found.mean + shift, abs=1e-9)
        assert moved.sd == pytest.approx(found.sd, abs=1e-9)
        assert moved.mad == pytest.approx(found.mad, abs=1e-9)
