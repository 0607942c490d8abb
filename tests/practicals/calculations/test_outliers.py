from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practicals.calculations.outliers import (
    esd_critical,
    generalised_esd,
    grubbs,
    grubbs_critical,
    grubbs_from_summary,
    straggler_or_outlier,
    with_and_without,
)
from practicals.calculations.spread import NotANumberError
from tests.practicals.calculations.statistics_cases import cases, near, table

CLASS = [
    Decimal(text) for text in ["0.36", "0.37", "0.38", "0.38", "0.39", "0.37", "0.38", "0.40", "0.36", "0.38"]
]
hundredths = st.lists(st.integers(0, 100).map(lambda whole: Decimal(whole) / 100), min_size=0, max_size=40)


@pytest.mark.parametrize("row", table("statistics_grubbs_critical.csv"), ids=lambda row: row["n"])
def test_grubbs_critical_values_grubbs_beck_1972(row):
    # Grubbs F. E., Beck G., Technometrics 14(4) (1972) 847-854.
    for sides, word in ((1, "one"), (2, "two")):
        for percent in (5, 1):
            found = grubbs_critical(int(row["n"]), alpha=percent / 100, sides=sides)
            assert found == pytest.approx(float(row[f"{word}_sided_{percent}"]), abs=5.1e-5)


@pytest.mark.parametrize("case", cases("grubbs_critical"))
def test_grubbs_critical_values_grubbs_beck_1972_four_columns(case):
    for key in case["expected"]:
        sides, percent = (1 if key.startswith("one") else 2), int(key[-1])
        assert grubbs_critical(case["data"]["n"], alpha=percent / 100, sides=sides) == near(case, key)


@pytest.mark.parametrize("case", cases("grubbs_single"))
def test_grubbs_worked_examples(case):
    # Uranium isotope (NIST e-Handbook 1.3.5.17.1), Miller and Miller's six values, river-water nitrite,
    # Venus semi-diameters (Tietjen and Moore 1972); sources in the file of cases.
    data, expected = case["data"], case["expected"]
    side = data.get("side", "") if data["sides"] == 1 else ""
    found = grubbs(data["values"], alpha=data["alpha"], side=side, from_values=3)
    assert found.outlier is expected["outlier"]
    if expected["outlier"] is None:
        assert "at least 3" in found.reason
        return
    assert (found.index, found.value) == (expected["index"], expected["value"])
    assert found.statistic == near(case, "G")
    assert found.critical == near(case, "critical")


@pytest.mark.parametrize("case", cases("grubbs_from_summary"))
def test_grubbs_from_a_printed_summary_harvey(case):
    # Harvey D., Analytical Chemistry 2.1, solutions manual (2016).
    found = grubbs_from_summary(**case["data"])
    assert found.statistic == near(case, "G")
    assert found.critical == near(case, "critical")
    assert found.outlier is case["expected"]["outlier"]


@pytest.mark.parametrize("case", cases("generalised_esd"))
def test_generalised_esd_rosner_1983(case):
    # Rosner B., Technometrics 25 (1983) 165-172, as printed in the NIST e-Handbook 1.3.5.17.3: the first
    # two steps pass, the third does not, and so three values stand out.
    data, expected = case["data"], case["expected"]
    found = generalised_esd(data["values"], at_most=data["at_most"], alpha=data["alpha"])
    assert [step.statistic for step in found.steps] == pytest.approx(expected["statistics"], abs=0.0011)
    assert [step.critical for step in found.steps] == pytest.approx(expected["criticals"], abs=0.0011)
    assert [data["values"][place] for place in found.outliers] == expected["outliers"]
    assert not found.approximate


def test_the_first_step_is_grubbs_two_sided():
    # The two sources give the same formula for one suspect.
    for n in (6, 10, 25, 40):
        assert esd_critical(n, 1) == pytest.approx(grubbs_critical(n, sides=2), rel=1e-12)


def test_two_outliers_hide_each_other_from_grubbs_and_not_from_esd():
    # The reason for the step-wise procedure: Rosner 1983. Class values with two measured down from the front.
    values = [*CLASS, Decimal("0.62"), Decimal("0.63")]
    assert grubbs(values).outlier is False
    assert set(generalised_esd(values, at_most=3).outliers) == {10, 11}


@pytest.mark.parametrize(("suspect", "word"), [(14.4, ""), (14.56, "straggler"), (14.8, "outlier")])
def test_straggler_and_outlier_iso_5725_2(suspect, word):
    # Levels of ISO 5725-2: 5 % and 1 % (from memory). Grubbs and Beck, n = 10: 2.290 and 2.482 two-sided;
    # with mean 13.67 and s 0.36 the suspects give G = 2.03, 2.47 and 3.14.
    found = grubbs_from_summary(n=10, mean=13.67, sd=0.36, suspect=suspect)
    assert straggler_or_outlier(found) == word


def test_side_and_level_stand_in_the_sentence():
    values = [*CLASS, Decimal("0.62")]
    assert "(two-sided, 5 %)" in grubbs(values).sentence
    assert "(one-sided, 1 %)" in grubbs(values, alpha=0.01, side="high").sentence
    assert "(generalised ESD, at most 2 looked for, two-sided, 5 %)" in (
        generalised_esd(values, at_most=2).sentence
    )


def test_few_values_make_the_esd_values_rough():
    assert "rough" in generalised_esd(CLASS, at_most=2).sentence


def test_a_one_sided_test_looks_at_its_side_only():
    values = [*CLASS, Decimal("0.62")]
    assert grubbs(values, side="high").outlier is True
    assert grubbs(values, side="low").outlier is False


@pytest.mark.parametrize("values", [[], CLASS[:1], CLASS[:2], CLASS[:5]])
def test_below_six_values_there_is_no_test(values):
    for found in (grubbs(values), generalised_esd(values)):
        assert f"{len(values)}, and it takes at least 6" in found.sentence
    assert grubbs(values).outlier is None
    assert straggler_or_outlier(grubbs(values)) == ""
    assert generalised_esd(values).outliers == ()


@pytest.mark.parametrize("count", [6, 500])
def test_all_equal_none_can_stand_out(count):
    values = [Decimal("0.61")] * count
    assert "equal" in grubbs(values).sentence
    assert "equal" in generalised_esd(values).sentence
    assert with_and_without(values).without is None


def test_a_mad_of_zero_does_not_matter():
    # More than half the values equal, one far off: the median absolute deviation is zero.
    found = with_and_without([Decimal("0.38")] * 8 + [Decimal("0.62")])
    assert found.every.mad == 0
    assert found.flagged == (8,)


def test_an_outlier_is_shown_and_never_removed():
    values = [*CLASS, Decimal("0.62")]
    found = with_and_without(values)
    assert found.every.n == 11
    assert found.without is not None
    assert found.without.n == 10
    assert found.every.highest == 0.62
    assert found.without.highest == 0.40
    assert "Nothing was removed" in found.sentence


def test_nothing_flagged_needs_no_second_summary():
    found = with_and_without(CLASS, suspected=2)
    assert (found.without, found.flagged) == (None, ())
    assert found.sentence.startswith("No value stands out")


def test_with_several_suspected_all_of_them_are_left_out_of_the_second_summary():
    found = with_and_without([*CLASS, Decimal("0.62"), Decimal("0.63")], suspected=3)
    assert found.without is not None
    assert (found.every.n, found.without.n) == (12, 10)
    assert "2 values stand out" in found.sentence


@pytest.mark.parametrize(
    "call",
    [
        lambda: grubbs_critical(2),
        lambda: grubbs_critical(6, alpha=0),
        lambda: grubbs_critical(6, sides=3),
        lambda: esd_critical(6, 5),
        lambda: generalised_esd(CLASS, at_most=0),
        lambda: with_and_without(CLASS, suspected=0),
        lambda: grubbs_from_summary(n=6, mean=0.4, sd=0, suspect=0.5),
    ],
)
def test_impossible_tests_are_refused(call):
    with pytest.raises(ValueError, match=r"not|no step"):
        call()


def test_a_value_that_is_no_number_is_refused():
    with pytest.raises(NotANumberError):
        grubbs([*CLASS, float("nan")])


@given(hundredths)
def test_grubbs_never_exceeds_its_bounds(values):
    found = grubbs(values)
    if found.outlier is None:
        assert found.reason
        return
    n = len(values)
    assert 0 < found.statistic <= (n - 1) / n**0.5 + 1e-9
    assert 0 <= found.p_bound <= 1


@given(hundredths)
def test_verdict_and_bound_agree(values):
    # G above its critical value is the same statement as Bonferroni's bound below the level.
    found = grubbs(values)
    if found.outlier is not None and abs(found.statistic - found.critical) > 1e-9:
        assert found.outlier == (found.p_bound < found.alpha)


@given(hundredths, st.integers(1, 12))
def test_esd_never_goes_beyond_its_limit(values, at_most):
    found = generalised_esd(values, at_most=at_most)
    assert len(found.outliers) <= min(at_most, max(1, (len(values) - 1) // 2))
    assert len(set(found.outliers)) == len(found.outliers)


@given(hundredths)
def test_every_reading_stays_in_the_summary(values):
    found = with_and_without(values, suspected=3)
    assert found.every.n == len(values)
    if found.without is not None:
        assert found.without.n == len(values) - len(found.flagged)
