"""Codes and sets of unknowns: drawn from a seed, balanced, without characters that look alike."""

from collections import Counter

import pytest

from practicals.calculations.unknown_sets import UnknownSetError, check_sets, draw_codes, draw_sets

POOL = ["w", "x", "y", "z"]
SEEDS = range(200)
# Pairs that transcribing guides keep apart, here by common practice, no source.
LOOK_ALIKE = set("0OQDI1LJ2Z5S6G8BUV") - {"L"}


def test_the_same_seed_draws_the_same_and_another_seed_another():
    assert draw_sets(POOL, 2, 9, 7) == draw_sets(list(reversed(POOL)), 2, 9, 7)
    assert len({draw_sets(POOL, 2, 9, seed) for seed in SEEDS}) > 190
    assert draw_codes(4, 7) == draw_codes(4, 7)
    assert len({draw_codes(4, seed) for seed in SEEDS}) > 190


@pytest.mark.parametrize(("size", "each"), [(2, 2), (3, 2), (4, 1), (4, 2), (4, 3), (5, 3), (7, 4)])
def test_each_unknown_is_used_about_equally_and_never_twice_in_a_group(size, each):
    pool = [f"u{number}" for number in range(size)]
    for seed in SEEDS:
        for groups in (1, 4, 7, 10):
            dealt = draw_sets(pool, each, groups, seed)
            assert all(len(set(hand)) == each for hand in dealt)
            uses = Counter(dict.fromkeys(pool, 0)) + Counter(one for hand in dealt for one in hand)
            used = [uses[one] for one in pool]
            assert max(used) - min(used) <= 1
            assert sum(used) == groups * each


def test_over_many_seeds_a_group_gets_each_unknown_equally_often():
    # Each of four unknowns is in half of the hands of two: 200 of 400. Six standard deviations of the
    # binomial distribution are 60.
    first = Counter(one for seed in range(400) for one in draw_sets(POOL, 2, 1, seed)[0])
    assert all(abs(first[one] - 200) <= 60 for one in POOL)


def test_a_group_added_later_changes_nothing_for_the_others():
    assert draw_sets(POOL, 2, 10, 3)[:4] == draw_sets(POOL, 2, 4, 3)


def test_codes_are_short_different_and_have_no_look_alikes():
    for seed in SEEDS:
        codes = draw_codes(8, seed)
        assert len(set(codes)) == 8
        assert all(len(code) == 2 and code[0].isalpha() and code[1].isdigit() for code in codes)
        assert not LOOK_ALIKE & set("".join(codes))


def test_a_code_in_use_elsewhere_is_not_drawn_and_more_are_made_where_they_run_out():
    taken = draw_codes(50, 1)
    more = draw_codes(30, 1, taken)
    assert len(set(more)) == 30
    assert not set(more) & set(taken)
    assert {len(code) for code in more} == {2, 3}


def test_sets_that_cannot_be_dealt_are_refused_with_a_sentence():
    with pytest.raises(UnknownSetError, match="Add unknowns"):
        draw_sets(["x"], 2, 3, 1)
    with pytest.raises(UnknownSetError, match="twice"):
        draw_sets(["x", "x"], 1, 3, 1)
    with pytest.raises(UnknownSetError, match="none or more"):
        draw_codes(-1, 1)
    assert draw_sets([], 0, 2, 1) == ((), ())


@pytest.mark.parametrize(
    ("chosen", "says"),
    [(["x"], "choose 2"), (["x", "q"], "choose 2"), (["x", "x"], "same unknown twice")],
)
def test_what_was_picked_by_hand_is_checked(chosen, says):
    with pytest.raises(UnknownSetError, match=says):
        check_sets([["x", "y"], chosen], POOL, 2)
    check_sets([["x", "y"], ["y", "z"]], POOL, 2)
