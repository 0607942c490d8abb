"""Outcomes by option: exact where two are compared, silent where the numbers do not allow."""

import pytest
from scipy import stats

from assessment.calculations.fair_options import OptionCount, chi_square, compare_options, fisher_exact


def counts(*pairs):
    return [OptionCount(f"option {number}", met, n) for number, (met, n) in enumerate(pairs, start=1)]


def test_fisher_exact_tea_tasting():
    # R. A. Fisher, The Design of Experiments (1935), chapter II: eight cups, three of four told right.
    # One-sided 17/70; two-sided 34/70, printed as 0.4857 in the help of R's fisher.test (value from memory).
    assert fisher_exact(3, 4, 1, 4) == pytest.approx(34 / 70)


def test_fisher_exact_convictions_of_twins():
    # Convictions of like-sex twins of criminals, 10 of 13 against 2 of 17: R. A. Fisher (1935), J. R. Stat.
    # Soc. 98, 39-82, two-sided 0.0005367 as in the help of R's fisher.test (from memory).
    assert fisher_exact(10, 13, 2, 17) == pytest.approx(0.0005367, abs=5e-8)


def test_chi_square_three_options_agresti():
    # A. Agresti, An Introduction to Categorical Data Analysis (2007), table 2.5: party by gender,
    # 762 of 1246, 327 of 566 and 468 of 945; X^2 = 30.07 on 2 degrees of freedom, p = 2.95e-07 (from memory).
    assert chi_square(counts((762, 1246), (327, 566), (468, 945))) == pytest.approx(2.954e-07, rel=1e-3)


@pytest.mark.parametrize("a", [0, 1, 5, 9, 12])
@pytest.mark.parametrize("b", [0, 3, 6, 10])
def test_fisher_exact_agrees_with_scipy(a, b):
    expected = stats.fisher_exact([[a, 12 - a], [b, 10 - b]]).pvalue
    assert fisher_exact(a, 12, b, 10) == pytest.approx(expected)


def test_chi_square_agrees_with_scipy():
    table = [[12, 8], [9, 14], [16, 5]]
    expected = stats.chi2_contingency(table, correction=False).pvalue
    assert chi_square(counts((12, 20), (9, 23), (16, 21))) == pytest.approx(expected)


def test_two_options_are_compared_exactly():
    found = compare_options(counts((11, 12), (3, 12)))
    assert found.test == "Fisher's exact test"
    assert found.p == pytest.approx(stats.fisher_exact([[11, 1], [3, 9]]).pvalue)
    assert "before grades go out" in found.sentence


def test_three_options_need_five_expected_in_every_cell():
    # Cochran, W. G. (1954). Biometrics 10, 417-451: the usual minimum.
    assert compare_options(counts((10, 20), (12, 20), (8, 20))).test == "chi-square test"
    few = compare_options(counts((19, 20), (18, 20), (20, 20)))
    assert few.p is None
    assert few.sentence.startswith("Too few to compare")


def test_few_learners_with_an_option_are_named_and_not_compared():
    found = compare_options(counts((3, 3), (0, 12)))
    assert found.p is None
    assert found.sentence == "Too few to compare: fewer than 5 learners with option 1 (3)."


def test_how_few_is_a_setting():
    assert compare_options(counts((3, 4), (1, 4)), fewest=4).p == pytest.approx(34 / 70)


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ([(5, 9)], "Everybody had the same option; there is nothing to compare."),
        ([], "Everybody had the same option; there is nothing to compare."),
        ([(9, 9), (8, 8)], "Everybody met it, whatever the option."),
        ([(0, 9), (0, 8)], "Nobody met it, whatever the option."),
    ],
)
def test_where_there_is_nothing_to_compare_it_says_so(given, sentence):
    found = compare_options(counts(*given))
    assert (found.p, found.test, found.sentence) == (None, "", sentence)


@pytest.mark.parametrize("pair", [(5, 4), (-1, 4)])
def test_impossible_counts_are_refused(pair):
    with pytest.raises(ValueError, match="cannot have met it"):
        compare_options(counts(pair, (1, 6)))


def test_no_difference_is_no_proof_of_fairness():
    found = compare_options(counts((6, 12), (6, 12)))
    assert found.p == pytest.approx(1)
    assert "no proof" in found.sentence


def test_the_share_is_a_whole_per_cent_and_none_without_learners():
    assert [OptionCount("X", 2, 3).percent, OptionCount("X", 0, 0).percent] == [67, None]
