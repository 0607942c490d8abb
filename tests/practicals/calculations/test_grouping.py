"""Groups by size: everyone once, sizes even, the same again for the same seed."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practicals.calculations.grouping import GroupingError, groups_by_size

names = st.lists(st.text(min_size=1, max_size=8), min_size=1, max_size=60, unique=True)
sizes = st.integers(min_value=1, max_value=12)
seeds = st.integers(min_value=0, max_value=2**32)


@given(names, sizes, seeds)
def test_everyone_is_in_exactly_one_group(members, size, seed):
    groups = groups_by_size(members, size, seed)
    assert sorted(member for group in groups for member in group) == sorted(members)


@given(names, sizes, seeds)
def test_no_group_is_too_large_and_sizes_differ_by_at_most_one(members, size, seed):
    lengths = [len(group) for group in groups_by_size(members, size, seed)]
    assert max(lengths) <= size
    assert max(lengths) - min(lengths) <= 1
    assert len(lengths) == -(-len(members) // size)


@given(names, sizes, seeds)
def test_the_same_seed_gives_the_same_groups_in_whatever_order_the_class_is_listed(members, size, seed):
    assert groups_by_size(members, size, seed) == groups_by_size(members[::-1], size, seed)


def test_another_seed_gives_other_groups():
    members = [f"learner {number}" for number in range(30)]
    assert groups_by_size(members, 4, 1) != groups_by_size(members, 4, 2)


def test_thirty_in_fours_make_six_of_four_and_two_of_three():
    # By hand: 30 = 6 x 4 + 2 x 3.
    lengths = [len(group) for group in groups_by_size([str(n) for n in range(30)], 4, 7)]
    assert lengths == [4, 4, 4, 4, 4, 4, 3, 3]


def test_every_learner_is_as_likely_to_come_first():
    # 4 learners, 4000 seeds: 1000 each expected, standard deviation 27; 150 is more than five of them.
    first = [groups_by_size(list("abcd"), 1, seed)[0][0] for seed in range(4000)]
    assert all(abs(first.count(name) - 1000) < 150 for name in "abcd")


@pytest.mark.parametrize(
    ("members", "size", "sentence"),
    [([], 3, "nobody to group"), (["a"], 0, "at least 1 learner"), (["a", "b", "a"], 2, "more than once: a")],
)
def test_what_cannot_be_grouped_is_said_in_a_sentence(members, size, sentence):
    with pytest.raises(GroupingError, match=sentence):
        groups_by_size(members, size, 1)
