"""Intervals of kappa and agreement of many judges."""

from itertools import product
from math import sqrt

import pytest

from assessment.calculations.agreement import AgreementError, compare_table
from assessment.calculations.agreement_interval import kappa_interval
from assessment.calculations.many_judges import compare_many, fleiss_kappa

OUTCOMES = ("not yet met", "met")
#: The tables of the published cases KAPPA-3X3-SAS and KAPPA-SKIN-4X4.
PRINTED = [[0, 4, 1], [0, 8, 0], [0, 1, 5]]
SKIN = [[10, 4, 1, 0], [5, 10, 12, 2], [2, 4, 12, 5], [0, 2, 6, 13]]


@pytest.mark.parametrize(
    ("table", "weights", "lower", "upper"),
    [
        (PRINTED, "none", 0.2136612531, 0.7546645388),
        (PRINTED, "linear", 0.1844625225, 0.7557765213),
        (PRINTED, "quadratic", 0.0733916749, 0.8269298685),
        (SKIN, "none", 0.2029804464, 0.4867702461),
        (SKIN, "linear", 0.3797660040, 0.6365541391),
        (SKIN, "quadratic", 0.5399051601, 0.7815406230),
        ([[20, 5], [10, 15]], "none", 0.1510922905, 0.6489077095),
    ],
)
def test_intervals_are_those_of_an_independent_program(table, weights, lower, upper):
    # Computed with statsmodels 0.15.0, inter_rater.cohens_kappa (kappa_low, kappa_upp), recorded here.
    assert kappa_interval(table, weights) == pytest.approx((lower, upper), abs=1e-9)


@pytest.mark.parametrize("weights", ["none", "linear", "quadratic"])
@pytest.mark.parametrize("table", [PRINTED, SKIN, [[20, 5], [10, 15]]])
def test_the_standard_error_is_that_of_the_delta_method(table, weights):
    """Another route: the multinomial covariance of the shares through the numerical slope of kappa."""
    size, n = len(table), sum(map(sum, table))
    cells = list(product(range(size), repeat=2))
    shares = {cell: table[cell[0]][cell[1]] / n for cell in cells}

    def kappa(p):
        total = sum(p.values())
        p = {cell: share / total for cell, share in p.items()}
        rows = [sum(p[i, j] for j in range(size)) for i in range(size)]
        columns = [sum(p[i, j] for i in range(size)) for j in range(size)]
        far = {
            (i, j): float(i != j) if weights == "none" else abs(i - j) ** (2 if weights == "quadratic" else 1)
            for i, j in cells
        }
        seen = sum(far[c] * p[c] for c in cells)
        return 1 - seen / sum(far[i, j] * rows[i] * columns[j] for i, j in cells)

    step = 1e-6
    slope = {
        c: (kappa(shares | {c: shares[c] + step}) - kappa(shares | {c: shares[c] - step})) / (2 * step)
        for c in cells
    }
    mean = sum(shares[c] * slope[c] for c in cells)
    error = sqrt((sum(shares[c] * slope[c] ** 2 for c in cells) - mean**2) / n)
    lower, upper = kappa_interval(table, weights, level=0.5)
    # Half the width at 50 % is 0.67449 standard errors (table of the normal distribution).
    assert (upper - lower) / 2 == pytest.approx(0.67449 * error, rel=1e-4)
    assert (upper + lower) / 2 == pytest.approx(compare_table(table, weights).kappa, abs=1e-9)


@pytest.mark.parametrize("table", [[[5, 0], [0, 0]], [[5, 0], [0, 5]], [[0, 0], [0, 0]]])
def test_no_interval_where_kappa_or_its_error_has_none(table):
    assert kappa_interval(table) is None


def test_an_interval_stays_on_the_scale():
    lower, upper = kappa_interval([[5, 1], [0, 4]])
    assert -1 <= lower < upper <= 1


@pytest.mark.parametrize("level", [0, 1, 95])
def test_a_level_lies_between_nothing_and_certainty(level):
    with pytest.raises(AgreementError, match="between 0 and 1"):
        kappa_interval(PRINTED, level=level)


#: Fleiss J. L. (1971) Psychol. Bull. 76, 378-382: 30 patients, 6 psychiatrists, 5 diagnoses.
DIAGNOSES = [
    [0, 0, 0, 6, 0], [0, 3, 0, 0, 3], [0, 1, 4, 0, 1], [0, 0, 0, 0, 6], [0, 3, 0, 3, 0], [2, 0, 4, 0, 0],
    [0, 0, 4, 0, 2], [2, 0, 3, 1, 0], [2, 0, 0, 4, 0], [0, 0, 0, 0, 6], [1, 0, 0, 5, 0], [1, 1, 0, 4, 0],
    [0, 3, 3, 0, 0], [1, 0, 0, 5, 0], [0, 2, 0, 3, 1], [0, 0, 5, 0, 1], [3, 0, 0, 1, 2], [5, 1, 0, 0, 0],
    [0, 2, 0, 4, 0], [1, 0, 2, 0, 3], [0, 0, 0, 0, 6], [0, 1, 0, 5, 0], [0, 2, 0, 1, 3], [2, 0, 0, 4, 0],
    [1, 0, 0, 4, 1], [0, 5, 0, 1, 0], [4, 0, 0, 0, 2], [0, 2, 0, 4, 0], [1, 0, 5, 0, 0], [0, 0, 0, 0, 6],
]  # fmt: skip


def test_fleiss_kappa_of_the_published_diagnoses():
    assert fleiss_kappa(DIAGNOSES) == pytest.approx(0.4302445, abs=6e-7)


def test_many_judges_in_words():
    found = compare_many([("met", "met", "not yet met"), ("met", "met", "met")], OUTCOMES)
    # By hand: pairs agreeing 1/3 and 3/3, mean 2/3; p_e = (5/6)² + (1/6)² = 26/36; kappa = −0.2.
    assert found.unanimous == 1
    assert found.share == pytest.approx(2 / 3)
    assert found.kappa == pytest.approx(-0.2)
    assert found.sentence == (
        "3 judges agree on 1 of 2 criteria; of all pairs of judgements 67 % agree; Fleiss’ kappa −0.20, "
        "from too few judgements to put a word on it."
    )


def test_two_judges_are_compared_by_cohens_kappa():
    rows = [("met", "met")] * 20 + [("met", "not yet met")] * 5
    rows += [("not yet met", "met")] * 10 + [("not yet met", "not yet met")] * 15
    found = compare_many(rows, OUTCOMES)
    # The published table 20, 5 / 10, 15: agreement 0.70, kappa 0.40.
    assert found.share == 0.7
    assert found.kappa == pytest.approx(0.4)
    assert found.sentence.endswith("70 % agree; Cohen’s kappa 0.40 (fair).")


def test_all_the_same_outcome_leaves_kappa_undefined():
    found = compare_many([("met",) * 4] * 3, OUTCOMES)
    assert (found.share, found.kappa) == (1, None)
    assert "not defined" in found.sentence


def test_one_judge_agrees_with_nobody():
    assert compare_many([("met",)], OUTCOMES).sentence == "Agreement needs at least two judges."


@pytest.mark.parametrize("rows", [[("met", "met"), ("met",)], [("met", "perhaps")]])
def test_a_missing_or_unknown_judgement_is_refused(rows):
    with pytest.raises(AgreementError, match="Every judge needs"):
        compare_many(rows, OUTCOMES)


@pytest.mark.parametrize("counts", [[], [[1, 0]], [[2, 0], [2, 1]], [[3, -1]]])
def test_counts_that_cannot_be_compared_are_refused(counts):
    with pytest.raises(AgreementError):
        fleiss_kappa(counts)
