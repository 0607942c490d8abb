from decimal import Decimal
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practicals.calculations.cochran import cochran
from practicals.calculations.precision import mandel, one_way_anova, precision
from practicals.calculations.spread import spread
from tests.practicals.calculations.statistics_cases import cases, near, scipy_reference

grouped = st.lists(st.lists(st.integers(0, 100), min_size=0, max_size=5), min_size=0, max_size=9)
balanced = st.integers(2, 4).flatmap(
    lambda n: st.lists(st.lists(st.integers(0, 100), min_size=n, max_size=n), min_size=5, max_size=9)
)


@pytest.mark.parametrize("case", cases("iso5725_one_level"))
def test_repeatability_and_reproducibility_astm_e691_and_a_collaborative_study(case):
    # ASTM E691 glucose in serum (s_r, s_R as printed) and pentosans; Li and Cardozo, J. AOAC Int. 77
    # (1994) 687-689, apricot.
    found = precision(case["data"]["groups"])
    assert found.mean == near(case, "mean")
    assert found.s_r == near(case, "s_r")
    assert found.s_reproducibility == near(case, "s_R")
    assert found.clamped is case["expected"]["between_variance_clamped"]


@pytest.mark.parametrize("case", cases("one_way_anova"))
def test_analysis_of_variance_nist_reference_sets(case):
    # NIST Statistical Reference Datasets, analysis of variance; certified values.
    groups: dict[float, list[float]] = {}
    for group, value in scipy_reference(case):
        groups.setdefault(group, []).append(value)
    found = one_way_anova(list(groups.values()))
    expected = case["expected"]
    assert (found.df_between, found.df_within) == (expected["df_between"], expected["df_within"])
    assert found.ss_between == near(case, "ss_between")
    assert found.ss_within == near(case, "ss_within")
    assert found.f == near(case, "F")
    assert sqrt(found.ms_within) == near(case, "residual_sd")
    r_squared = found.ss_between / (found.ss_between + found.ss_within)
    assert r_squared == near(case, "r_squared")


def test_a_negative_between_group_variance_is_set_to_zero_iso_5725_2():
    # ISO 5725-2: s_L^2 below zero counts as zero, so s_R = s_r. Group means equal, readings far apart.
    found = precision([[0.3, 0.5], [0.5, 0.3], [0.3, 0.5], [0.31, 0.49], [0.3, 0.5]])
    assert found.clamped
    assert found.s_l == 0
    assert found.s_reproducibility == found.s_r


def test_unbalanced_groups_by_hand():
    # Worked by hand with the formulas of ISO 5725-2 (from memory). Groups (1 3), (5), (2 4 6), (4), (8 8):
    # sum n 9, sum n^2 19, n_bar = (9 - 19/9) / 4 = 31/18; SS within 2 + 8 = 10 on 4 degrees of freedom,
    # s_r^2 = 2.5; mean 41/9, SS between 8 + 25 + 48 + 16 + 128 - 41^2/9 = 38.2222, MS between 9.5556,
    # s_L^2 = 7.0556 * 18/31 = 4.0968.
    found = precision([[1, 3], [5], [2, 4, 6], [4], [8, 8]])
    assert found.n_bar == pytest.approx(31 / 18)
    assert found.mean == pytest.approx(41 / 9)
    assert found.s_r == pytest.approx(sqrt(2.5))
    assert found.s_l == pytest.approx(sqrt(4.096774), abs=1e-6)
    assert found.s_reproducibility == pytest.approx(sqrt(6.596774), abs=1e-6)


def test_limits_are_2_8_standard_deviations_iso_5725_6():
    # ISO 5725-6: the limit for two single results at 95 % is 2.8 s (from memory).
    found = precision([[0.3, 0.32], [0.35, 0.34], [0.29, 0.3], [0.31, 0.33], [0.36, 0.35]])
    assert found.limit_r == pytest.approx(2.8 * found.s_r)
    assert found.limit_reproducibility == pytest.approx(2.8 * found.s_reproducibility)


def test_below_five_groups_reproducibility_is_not_printed():
    found = precision([[0.3, 0.32], [0.35, 0.34], [0.29, 0.3], [0.31, 0.33]], of="papers")
    assert found.s_r is not None
    assert (found.s_reproducibility, found.s_l, found.limit_reproducibility) == (None, None, None)
    assert found.missing == ("Not enough papers for reproducibility: 4, and it takes at least 5.",)


def test_one_reading_per_group_gives_neither():
    found = precision([[0.3], [0.35], [0.29], [0.31], [0.33], [0.4]])
    assert (found.s_r, found.s_reproducibility, found.limit_r) == (None, None, None)
    assert "repeatability" in found.missing[0]


@pytest.mark.parametrize("groups", [[], [[]], [[], []]])
def test_no_readings_is_a_sentence(groups):
    assert precision(groups).missing == ("There are no readings.",)
    assert one_way_anova(groups) is None


def test_one_learner_alone():
    found = precision([[Decimal("0.61")]])
    assert (found.mean, found.s_r, found.n_bar) == (0.61, None, None)
    assert len(found.missing) == 2


def test_all_equal_readings_have_no_spread_and_no_f():
    groups = [[Decimal("0.61")] * 3] * 6
    assert one_way_anova(groups).f is None
    found = precision(groups)
    assert (found.s_r, found.s_reproducibility, found.clamped) == (0, 0, False)


def test_mandel_h_and_k_critical_values_astm_e691():
    # ASTM E691, critical values at 0.5 %: 8 laboratories h 2.15, with 3 results k 2.06 (from memory).
    groups = cases("iso5725_one_level")[0].values[0]["data"]["groups"]
    found = mandel(groups, alpha=0.005)
    assert found.h_critical == pytest.approx(2.15, abs=0.005)
    assert found.k_critical == pytest.approx(2.06, abs=0.005)


def test_mandel_k_points_at_laboratory_4_astm_e691_glucose_c():
    # ASTM E691, glucose level C: laboratory 4; and k^2 = p C with Cochran's C, by their definitions.
    groups = cases("iso5725_one_level")[0].values[0]["data"]["groups"]
    found = mandel(groups)
    assert max(range(8), key=found.k.__getitem__) == 3
    assert found.k[3] ** 2 == pytest.approx(8 * cochran(groups).statistic)


@pytest.mark.parametrize("groups", [[], [[1, 2]] * 4, [[0.5, 0.5]] * 6, [[1, 2]] * 5 + [[]]])
def test_mandel_gives_nothing_where_it_says_nothing(groups):
    assert mandel(groups) is None


def test_mandel_k_needs_groups_of_one_size():
    found = mandel([[1, 2], [2, 3], [1, 1, 4], [2, 2], [5, 6]])
    assert found.k is None
    assert len(found.h) == 5


@given(grouped)
def test_reproducibility_is_never_below_repeatability(groups):
    found = precision(groups)
    if found.s_reproducibility is not None:
        assert found.s_reproducibility >= found.s_r >= 0
    else:
        assert found.missing


@given(grouped)
def test_sums_of_squares_add_up(groups):
    # Within and between make up the total: the identity of the analysis of variance.
    found = one_way_anova(groups)
    values = [value for group in groups for value in group]
    if found is not None and len(values) > 1:
        total = spread(values).sd ** 2 * (len(values) - 1)
        assert found.ss_between + found.ss_within == pytest.approx(total, abs=1e-7)


@given(balanced)
def test_mandel_h_and_k_have_their_squares_sums(groups):
    # Sum of h^2 is p - 1 and sum of k^2 is p, by definition.
    found = mandel(groups)
    if found is not None:
        assert sum(h * h for h in found.h) == pytest.approx(len(groups) - 1)
        if found.k is not None:
            assert sum(k * k for k in found.k) == pytest.approx(len(groups))
