"""Sizes by each rule; detection sizes against the published hypergeometric cases."""

import pytest

from assessment.calculations.sample_size import SizeWanted, choose_size
from assessment.calculations.sampling import SamplingError

from .published import case_id, stats_cases


@pytest.mark.parametrize("case", stats_cases("sample_size_for_detection"), ids=case_id)
def test_a_wanted_chance_gives_the_published_size(case):
    # Hypergeometric distribution, computed with scipy 1.17.1; the published file names the source.
    data = case["data"]
    wanted = SizeWanted("detection", round(data["P"] * 100), wrong=data["wrong"])
    assert choose_size(data["N"], wanted).size == case["expected"]["n"]


@pytest.mark.parametrize(
    ("population", "expected"), [(1, 1), (9, 3), (10, 4), (24, 5), (40, 7), (60, 8), (100, 10)]
)
def test_square_root_is_rounded_up(population, expected):
    # Common practice, no source; the figures by hand.
    assert choose_size(population, SizeWanted("square root")).size == expected


def test_a_share_is_rounded_up():
    chosen = choose_size(24, SizeWanted("share", 15))
    assert (chosen.size, chosen.sentence) == (4, "15 % of 24, rounded up, is 4.")


def test_the_least_of_the_policy_holds_and_is_said():
    chosen = choose_size(4, SizeWanted("square root", at_least=3))
    assert chosen.size == 3
    assert chosen.sentence.endswith("The policy asks for at least 3.")
    small = choose_size(2, SizeWanted("share", 10, at_least=3))
    assert small.size == 2
    assert small.sentence.endswith("at least 3, so all are drawn.")


def test_a_number_that_was_chosen_is_not_raised():
    assert choose_size(9, SizeWanted("number", 1, at_least=3)).size == 1


def test_more_wrong_than_there_are_is_taken_as_all():
    assert choose_size(2, SizeWanted("detection", 95, wrong=5)).size == 1


@pytest.mark.parametrize(
    ("population", "wanted", "said"),
    [
        (0, SizeWanted("square root"), "no portfolio to draw from"),
        (5, SizeWanted("number", 6), "cannot be drawn from 5 portfolios"),
        (5, SizeWanted("number", 0), "at least 1 portfolio"),
        (5, SizeWanted("number", None), "Give how many"),
        (5, SizeWanted("share", 0), "from 1 to 100"),
        (5, SizeWanted("share", None), "from 1 to 100"),
        (5, SizeWanted("detection", 101), "from 1 to 100"),
        (5, SizeWanted("taste"), "Choose the size"),
    ],
)
def test_what_cannot_be_is_a_sentence(population, wanted, said):
    with pytest.raises(SamplingError, match=said):
        choose_size(population, wanted)


def test_certainty_needs_all_but_as_many_as_could_hide():
    # Pigeonhole: of 10 with 3 wrong, 7 could all be sound, 8 could not.
    assert choose_size(10, SizeWanted("detection", 100, wrong=3)).size == 8
