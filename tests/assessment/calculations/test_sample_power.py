from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.stats import hypergeom

from assessment.calculations.sample_power import (
    detection_probability,
    no_fault_sentence,
    power_sentence,
    share_size,
    size_for_detection,
    square_root_size,
    wrong_still_possible,
)
from assessment.calculations.sampling import SamplingError

from .published import case_id, stats_cases


@pytest.mark.parametrize("case", stats_cases("detection_probability"), ids=case_id)
def test_detection_probability_hypergeometric(case):
    # Hypergeometric distribution, a standard result; computed by two routes.
    data = case["data"]
    chance = detection_probability(data["N"], data["sample"], data["wrong"])
    assert chance == pytest.approx(case["expected"]["P"], abs=case["tolerance"]["abs"])


@pytest.mark.parametrize("case", stats_cases("sample_size_for_detection"), ids=case_id)
def test_size_for_detection_hypergeometric(case):
    data, expected = case["data"], case["expected"]
    size = size_for_detection(data["N"], data["wrong"], data["P"])
    assert size == expected["n"]
    reached = detection_probability(data["N"], size, data["wrong"])
    assert reached == pytest.approx(expected["reached"], abs=case["tolerance"]["reached"])


@pytest.mark.parametrize("case", stats_cases("sample_size_rules"), ids=case_id)
def test_size_rules_common_practice(case):
    # Square root and "10 %, at least three": common practice, from memory; the numbers are derived.
    population, expected = case["data"]["N"], case["expected"]
    assert square_root_size(population) == expected["square_root_up"]
    assert share_size(population, 10) == expected["ten_percent_up"]
    assert share_size(population, 10, at_least=3) == expected["ten_percent_min_3"]


@pytest.mark.parametrize("confidence", [0.9, "0.9", Decimal("0.9")])
def test_nine_tenths_is_exactly_nine_tenths(confidence):
    # 9 of 10 meet the one wrong decision with probability 9/10; the binary 0.9 is a hair larger.
    assert size_for_detection(10, 1, confidence) == 9


def test_seven_sound_of_forty_leave_twelve_possible_hypergeometric():
    # 1 - C(28, 7)/C(40, 7) = 0.936 and 1 - C(27, 7)/C(40, 7) = 0.952, by hand.
    assert wrong_still_possible(40, 7, 0.95) == 12


@given(st.integers(1, 120), st.data())
def test_detection_agrees_with_scipy(population, data):
    # scipy.stats.hypergeom, an independent implementation.
    sample, wrong = data.draw(st.integers(0, population)), data.draw(st.integers(0, population))
    expected = 1 - hypergeom.pmf(0, population, wrong, sample)
    assert detection_probability(population, sample, wrong) == pytest.approx(expected, abs=1e-9)


@given(st.integers(1, 80), st.data(), st.sampled_from([0.8, 0.9, 0.95, 0.99]))
def test_size_and_what_is_still_possible_are_two_sides_of_one_coin(population, data, confidence):
    sample = data.draw(st.integers(0, population))
    possible = wrong_still_possible(population, sample, confidence)
    assert possible <= population - sample
    if possible:
        assert size_for_detection(population, possible, confidence) > sample
    if possible < population:
        assert size_for_detection(population, possible + 1, confidence) <= sample


def test_power_in_words():
    # 1 - C(37, 10)/C(40, 10) = 1 - (30 * 29 * 28)/(40 * 39 * 38) = 0.589, by hand.
    assert power_sentence(40, 10, 3) == (
        "If 3 of the 40 portfolios held a wrong decision that the verifier would notice, "
        "these 10 would include at least one with 59 % probability."
    )


@pytest.mark.parametrize(
    ("population", "sample", "wrong", "ending"),
    [
        (40, 1, 10, "this 1 would be one of them with 25 % probability."),
        (10, 10, 1, "these 10 would include at least one with certainty."),
        (500, 1, 1, "this 1 would be one of them with less than 1 % probability."),
        (40, 30, 15, "these 30 would include at least one with certainty."),
        (40, 20, 12, "these 20 would include at least one with more than 99 % probability."),
    ],
)
def test_a_chance_is_never_rounded_into_certainty(population, sample, wrong, ending):
    assert power_sentence(population, sample, wrong).endswith(ending)


def test_no_fault_found_in_words():
    assert no_fault_sentence(40, 7) == (
        "No fault found is not no fault: with 7 of 40 found sound, up to 12 wrong decisions would still be "
        "compatible with it at the 95 % level."
    )
    assert no_fault_sentence(10, 10) == "All 10 were seen, so no portfolio is left unchecked."
    assert "one wrong decision would hardly have been missed" in no_fault_sentence(20, 19)


@pytest.mark.parametrize(
    "call",
    [
        lambda: detection_probability(10, 11, 1),
        lambda: detection_probability(10, 5, 11),
        lambda: detection_probability(10, -1, 1),
        lambda: detection_probability(-10, 1, 1),
        lambda: detection_probability(0, 0, 0),
        lambda: wrong_still_possible(10, 11),
        lambda: wrong_still_possible(10, 5, 1.0),
        lambda: wrong_still_possible(10, 5, float("nan")),
        lambda: size_for_detection(10, 0),
        lambda: size_for_detection(10, 3, 0),
        lambda: square_root_size(-1),
        lambda: share_size(10, 101),
        lambda: power_sentence(10, 0, 1),
        lambda: power_sentence(10, 3, 0),
    ],
)
def test_numbers_that_cannot_be_are_refused_in_a_sentence(call):
    with pytest.raises(SamplingError, match=r"\.$"):
        call()


@given(st.integers(0, 10**12))
def test_the_square_root_is_rounded_up_exactly(population):
    root = square_root_size(population)
    assert root**2 >= population
    assert population == 0 or (root - 1) ** 2 < population
