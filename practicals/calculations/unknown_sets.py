"""Coded unknowns: which group gets which of a pool, and the codes they go by, from a recorded seed."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from random import Random

#: Written by hand on paper and bottles. Left out: B 8, G 6, I J 1, O D Q 0, S 5, U V, Z 2 for one another.
CODE_LETTERS = "ACEFHKLMNPRTWXY"
CODE_DIGITS = "3479"
#: Longer ones are drawn only where the shorter run out; these suffice for half a million.
_LONGEST_CODE = 6


class UnknownSetError(ValueError):
    """Unknowns cannot be given out like this; the message says why."""


def draw_codes(count: int, seed: int, taken: Collection[str] = ()) -> tuple[str, ...]:
    """Draw short codes, a letter and a digit, without characters that look alike.

    Where the two-character codes run out, the codes become longer. The draw depends on nothing but its
    arguments, and says nothing about what a code will stand for.

    Parameters
    ----------
    count : int
        How many codes [-], 0 or more.
    seed : int
        Recorded with the codes [-].
    taken : Collection[str]
        Codes in use elsewhere at the same time, so that two bottles are never taken for each other [-].

    Returns
    -------
    tuple[str, ...]
        The codes, each once and none of `taken`.

    Raises
    ------
    UnknownSetError
        If the count is below 0.

    References
    ----------
    .. [1] Common practice, no source.
    """
    if count < 0:
        raise UnknownSetError(f"{count} codes cannot be drawn. Ask for none or more.")
    random = _random(seed, "codes")
    drawn: list[str] = []
    for length in range(2, _LONGEST_CODE + 1):
        free = [code for code in _codes_of(length) if code not in taken]
        drawn += _shuffled(free, random)[: count - len(drawn)]
        if len(drawn) == count:
            break
    return tuple(drawn)


def draw_sets(pool: Sequence[str], each: int, groups: int, seed: int) -> tuple[tuple[str, ...], ...]:
    """Deal each group its unknowns from a pool, so that each unknown is used about equally often.

    Dealt like cards: the pool is shuffled anew when it runs out, and a group never gets the same unknown
    twice. The numbers of uses differ by at most one. What a group gets depends on its place alone, not on
    how many follow, so a group added later changes nothing for the others.

    Parameters
    ----------
    pool : Sequence[str]
        The unknowns, each named once [-]; their order does not matter.
    each : int
        Different unknowns that a group gets [-].
    groups : int
        How many groups [-].
    seed : int
        Recorded with the session, so that anybody can draw the same again [-].

    Returns
    -------
    tuple[tuple[str, ...], ...]
        For each group its unknowns, in the order of the lanes that are for unknowns.

    Raises
    ------
    UnknownSetError
        If an unknown is named twice, or the pool is smaller than what each group gets.

    References
    ----------
    .. [1] Common practice, no source.
    """
    if len(set(pool)) < len(pool):
        raise UnknownSetError("An unknown is named twice in the pool. Name each once.")
    if not 0 <= each <= len(pool):
        raise UnknownSetError(
            f"A pool of {len(pool)} cannot give a group {each} different unknowns. "
            "Add unknowns to the practical."
        )
    random = _random(seed, "sets")
    deck: list[str] = []
    dealt = []
    for _ in range(groups):
        hand: list[str] = []
        while len(hand) < each:
            card = next((one for one in deck if one not in hand), None)
            if card is None:
                deck += _shuffled(sorted(pool), random)
                continue
            deck.remove(card)
            hand.append(card)
        dealt.append(tuple(hand))
    return tuple(dealt)


def check_sets(sets: Sequence[Sequence[str]], pool: Collection[str], each: int) -> None:
    """Check what was picked by hand.

    Parameters
    ----------
    sets : Sequence[Sequence[str]]
        For each group its unknowns [-].
    pool : Collection[str]
        What there is to choose from [-].
    each : int
        Different unknowns that a group gets [-].

    Raises
    ------
    UnknownSetError
        If a group has another number of unknowns, one twice, or one that is not in the pool.

    References
    ----------
    .. [1] Common practice, no source.
    """
    for number, chosen in enumerate(sets, start=1):
        if len(chosen) != each or any(one not in pool for one in chosen):
            raise UnknownSetError(f"Group {number}: choose {each} of the practical's unknowns.")
        if len(set(chosen)) < len(chosen):
            raise UnknownSetError(f"Group {number} has the same unknown twice. Choose another for one lane.")


def _codes_of(length: int) -> Iterator[str]:
    """Letter, digit, letter, digit ... of that length."""
    if length == 0:
        yield ""
        return
    for start in _codes_of(length - 1):
        for character in CODE_LETTERS if length % 2 else CODE_DIGITS:
            yield start + character


def _shuffled(cards: Sequence[str], random: Random) -> list[str]:
    """Only `Random.random` is drawn on: Python promises its sequence for a seed, and none for `shuffle`."""
    return [card for _, card in sorted([(random.random(), card) for card in cards])]


def _random(seed: int, what: str) -> Random:
    """Codes and sets are drawn apart, so that one says nothing about the other."""
    return Random(f"{what} {seed}")  # noqa: S311 - reproducible on purpose, guards no secret
