from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessment.calculations.agreement import AgreementError, compare, compare_table, strength_word

from .published import case_id, stats_cases

CUBIC: Any = "cubic"
OUTCOMES = ("not yet met", "met")
GRADES = ("not yet achieved", "pass", "merit", "distinction")


@pytest.mark.parametrize("case", stats_cases("cohen_kappa"), ids=case_id)
def test_kappa_published_tables(case):
    # Sources by key in the published file: Feinstein and Cicchetti 1990, statsmodels, others.
    expected, tolerance = case["expected"], case["tolerance"]
    agreement = compare_table(case["data"]["table"])
    assert agreement.share == pytest.approx(expected["percent_agreement"], abs=tolerance["percent_agreement"])
    assert agreement.kappa == pytest.approx(expected["kappa"], abs=tolerance["kappa"])
    assert strength_word(agreement.kappa or 0) == expected["label"]


@pytest.mark.parametrize("case", stats_cases("weighted_kappa"), ids=case_id)
def test_weighted_kappa_published_tables(case):
    agreement = compare_table(case["data"]["table"], case["data"]["weights"])
    assert agreement.kappa == pytest.approx(case["expected"]["kappa"], abs=case["tolerance"]["abs"])


@pytest.mark.parametrize("case", stats_cases("weighted_kappa_ratings"), ids=case_id)
def test_kappa_of_ratings_irr_anxiety(case):
    # Data: irr 0.84.1, Gamer M. et al. 2019.
    data = case["data"]
    pairs = [(str(a), str(b)) for a, b in zip(data["rater_1"], data["rater_2"], strict=True)]
    agreement = compare(pairs, [str(c) for c in data["categories"]], data["weights"])
    assert agreement.kappa == pytest.approx(case["expected"]["kappa"], abs=case["tolerance"]["abs"])


@pytest.mark.parametrize("case", stats_cases("landis_koch_label"), ids=case_id)
def test_strength_words_landis_koch_1977(case):
    # Landis J. R., Koch G. G. (1977) Biometrics 33, 159-174; bands read on a public statistics wiki.
    assert strength_word(case["data"]["kappa"]) == case["expected"]["label"]


def test_the_same_agreement_can_have_another_kappa_feinstein_1990():
    # Feinstein A. R., Cicchetti D. V. (1990) J. Clin. Epidemiol. 43, 543-549 (from memory): 85 % in both.
    even, uneven = compare_table([[40, 9], [6, 45]]), compare_table([[80, 10], [5, 5]])
    assert even.share == uneven.share == 0.85
    assert even.sentence == "85 of 100 judgements agree (85 %); kappa 0.70 (substantial)."
    assert (uneven.kappa or 0) == pytest.approx(0.32, abs=0.005)


def test_undefined_kappa_is_said_to_be_undefined():
    agreement = compare([("met", "met")] * 5, OUTCOMES)
    assert (agreement.n, agreement.share, agreement.kappa) == (5, 1.0, None)
    assert agreement.sentence == (
        "5 of 5 judgements agree (100 %); kappa is not defined, because both used one and the same outcome "
        "throughout."
    )


def test_no_pair_is_said_to_be_none():
    agreement = compare([], OUTCOMES)
    assert (agreement.n, agreement.share, agreement.kappa) == (0, None, None)
    assert agreement.sentence.startswith("No pair of judgements yet")


def test_few_pairs_get_no_word_and_a_negative_kappa_a_minus():
    agreement = compare([("met", "not yet met"), ("not yet met", "met")], OUTCOMES)
    assert agreement.kappa == -1
    assert agreement.sentence == (
        "0 of 2 judgements agree (0 %); kappa −1.00, from too few pairs to put a word on it."
    )


def test_one_disagreement_in_many_is_not_printed_as_all():
    assert "(99 %)" in compare_table([[500, 1], [0, 499]]).sentence


@pytest.mark.parametrize(
    ("pairs", "categories", "message"),
    [
        ([("met", "perhaps")], OUTCOMES, "“perhaps” is not among"),
        ([], ("met", "met"), "listed twice"),
        ([], ("met",), "at least two categories"),
    ],
)
def test_judgements_that_cannot_be_compared_are_refused(pairs, categories, message):
    with pytest.raises(AgreementError, match=message):
        compare(pairs, categories)


def test_tables_and_weights_that_make_no_sense_are_refused():
    for table in ([[1, 2]], [[1, 2], [3]], [[1, -1], [0, 1]]):
        with pytest.raises(AgreementError):
            compare_table(table)
    with pytest.raises(AgreementError, match="no kind of weights"):
        compare_table([[1, 0], [0, 1]], CUBIC)
    with pytest.raises(AgreementError, match="between -1 and 1"):
        strength_word(1.5)


PAIRS = st.lists(st.tuples(st.sampled_from(GRADES), st.sampled_from(GRADES)), max_size=40)
WEIGHTS = st.sampled_from(["none", "linear", "quadratic"])


@given(PAIRS, WEIGHTS)
def test_it_does_not_matter_who_is_called_first(pairs, weights):
    swapped = [(second, first) for first, second in pairs]
    assert compare(pairs, GRADES, weights) == compare(swapped, GRADES, weights)


@given(PAIRS, WEIGHTS)
def test_kappa_is_one_exactly_when_all_agree(pairs, weights):
    agreement = compare(pairs, GRADES, weights)
    if agreement.kappa is None:
        assert len(set(pairs)) <= 1
    else:
        assert -1 <= agreement.kappa <= 1
        assert (agreement.kappa == 1) == (agreement.agreed == agreement.n)


@given(PAIRS)
def test_a_category_nobody_used_changes_nothing_in_plain_kappa(pairs):
    assert compare(pairs, GRADES) == compare(pairs, (*GRADES, "withdrawn"))
