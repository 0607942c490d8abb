"""Groups by size, at random, reproducible from a recorded seed."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from random import Random


class GroupingError(ValueError):
    """Groups cannot be made from this; the message says why."""


def groups_by_size(members: Sequence[str], size: int, seed: int) -> list[list[str]]:
    """Draw groups of at most `size`, whose sizes differ by at most one.

    The number of groups is the smallest that keeps every group within `size`: 30 in fours makes
    eight groups, six of four and two of three. The larger groups come first.
    The order of `members` does not matter, so a class list sorted otherwise gives the same groups.
    Only `Random.random` is drawn on, because Python promises its sequence for a seed in every
    version, and promises no such thing for `shuffle`.

    Parameters
    ----------
    members : Sequence[str]
        Who is to be grouped, each named once [-].
    size : int
        Largest group wanted [-], 1 or more.
    seed : int
        Recorded with the groups, so that they can be drawn again [-].

    Returns
    -------
    list[list[str]]
        The groups, in order; everyone is in exactly one.

    Raises
    ------
    GroupingError
        If nobody is named, somebody is named twice, or the size is below 1.

    References
    ----------
    .. [1] Common practice, no source.
    """
    _check(members, size)
    random = Random(seed)  # noqa: S311 - reproducible on purpose, guards no secret
    draws = [(random.random(), member) for member in sorted(members)]
    drawn = [member for _, member in sorted(draws)]
    count = -(-len(drawn) // size)
    smaller, larger_groups = divmod(len(drawn), count)
    groups, start = [], 0
    for index in range(count):
        end = start + smaller + (1 if index < larger_groups else 0)
        groups.append(drawn[start:end])
        start = end
    return groups


def _check(members: Sequence[str], size: int) -> None:
    if not members:
        raise GroupingError("There is nobody to group. Add learners to the class first.")
    if size < 1:
        raise GroupingError(f"A group needs at least 1 learner, not {size}. Choose a larger size.")
    twice = sorted(member for member, times in Counter(members).items() if times > 1)
    if twice:
        raise GroupingError(
            f"Named more than once: {', '.join(twice)}. Each learner can be in one group only."
        )
