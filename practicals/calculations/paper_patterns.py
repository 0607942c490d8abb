"""Shifts and factors that all values of a paper share, whatever their cause.

Values are compared pair by pair: what should have come out, and what did. The same serves for stated R_f
against the readings, and for one person's R_f against another's of the same paper.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Literal

from practicals.calculations.rf import rounded

Kind = Literal["plus", "factor", "factor from the front", "lanes reversed", "lanes shifted"]

#: Fewer values than this share anything by chance.
FEWEST = 3
#: Values must differ by this much among themselves, or a plus and a factor look alike [-].
LEAST_RANGE = Decimal("0.1")


@dataclass(frozen=True, slots=True)
class Pair:
    """A lane's right value, the value found, and how far off it may be by rounding or reading [-]."""

    lane: int
    right: Decimal
    found: Decimal
    within: Decimal


@dataclass(frozen=True, slots=True)
class Pattern:
    """Something that all values of a paper share: the kind, its size [-], a sentence and a hint."""

    kind: Kind
    size: Decimal
    sentence: str
    hint: str


def patterns_in(pairs: Sequence[Pair], *, run_mm: Decimal | None = None) -> tuple[Pattern, ...]:
    """Every shift, factor or exchange of lanes that all pairs share within their allowance.

    Parameters
    ----------
    pairs : Sequence[Pair]
        Right and found values [-].
    run_mm : Decimal, optional
        The paper's run, to tell a shift in millimetres [mm].

    Returns
    -------
    tuple[Pattern, ...]
        Empty if fewer than three pairs, if they hardly differ among themselves, or if all are right. More
        than one where the pairs cannot tell.

    References
    ----------
    .. [1] Derived from R_f = s / f: a longer s adds the same to every value, a longer f divides each by the
       same, both from a lower line shrinks 1 - R_f by the same factor.
    """
    rights = [pair.right for pair in pairs]
    if len(pairs) < FEWEST or max(rights) - min(rights) < LEAST_RANGE:
        return ()
    if all(abs(pair.found - pair.right) <= pair.within for pair in pairs):
        return ()
    return tuple(_all(pairs, run_mm))


def _all(pairs: Sequence[Pair], run_mm: Decimal | None) -> Iterator[Pattern]:
    plus = _common([(p.found - p.right - p.within, p.found - p.right + p.within) for p in pairs])
    if plus is not None:
        yield _plus(plus, run_mm)
    factor = _common(_ratios([(p.right, p.found, p.within) for p in pairs]))
    if factor is not None:
        yield _factor(factor)
    from_front = _common(_ratios([(1 - p.right, 1 - p.found, p.within) for p in pairs]))
    if from_front is not None and from_front > 0:
        yield _from_front(from_front)
    yield from _lanes(pairs)


def _common(intervals: Sequence[tuple[Decimal, Decimal]]) -> Decimal | None:
    """The middle of what all intervals share."""
    if not intervals:
        return None
    low, high = max(low for low, _ in intervals), min(high for _, high in intervals)
    return (low + high) / 2 if low <= high else None


def _ratios(triples: Sequence[tuple[Decimal, Decimal, Decimal]]) -> list[tuple[Decimal, Decimal]]:
    if any(right <= 0 for right, _, _ in triples):
        return []
    return [((found - within) / right, (found + within) / right) for right, found, within in triples]


def _plus(size: Decimal, run_mm: Decimal | None) -> Pattern:
    way = "high" if size > 0 else "low"
    length = "" if run_mm is None else f", that is {rounded(abs(size) * run_mm, 1)} mm of the run"
    cause = (
        "as when every spot is measured to its leading edge, or from a line below the origin line"
        if size > 0
        else "as when every spot is measured to its trailing edge, or from a line above the origin line"
    )
    return Pattern(
        "plus",
        size,
        f"Every value is too {way} by the same {rounded(abs(size))}{length}: {cause}.",
        "Compare where each distance to a spot begins and ends.",
    )


def _factor(size: Decimal) -> Pattern:
    way, front = ("low", "too long") if size < 1 else ("high", "too short")
    return Pattern(
        "factor",
        size,
        f"Every value is too {way} by the same factor, {rounded(size)}: the distance of the solvent front was"
        f" taken {front} for all of them.",
        "Measure the distance of the solvent front again: between which two lines?",
    )


def _from_front(size: Decimal) -> Pattern:
    way = "too high, low spots most" if size < 1 else "too low, low spots most"
    return Pattern(
        "factor from the front",
        size,
        f"Every value is {way}, as when spots and solvent front are all measured from one line that is not"
        " the origin line.",
        "From which line were all distances measured?",
    )


_REVERSED = (
    "The values are right, but in the reverse order of the lanes: they were counted from the other side of"
    " the paper."
)
_SHIFTED = "Each value is that of the lane to its {}: the lanes were counted from the wrong one."


def _lanes(pairs: Sequence[Pair]) -> Iterator[Pattern]:
    """Values that are another lane's right ones, the lanes counted backwards or one further."""
    by_lane = {pair.lane: pair for pair in pairs}
    if len(by_lane) != len(pairs):
        return
    lanes = sorted(by_lane)
    ways: tuple[tuple[Kind, dict[int, int], str], ...] = (
        ("lanes reversed", dict(zip(lanes, reversed(lanes), strict=True)), _REVERSED),
        ("lanes shifted", dict(pairwise(lanes)), _SHIFTED.format("right")),
        ("lanes shifted", {right: left for left, right in pairwise(lanes)}, _SHIFTED.format("left")),
    )
    for kind, order, sentence in ways:
        if len(order) >= FEWEST and all(
            abs(by_lane[lane].found - by_lane[other].right) <= by_lane[lane].within
            for lane, other in order.items()
        ):
            yield Pattern(kind, Decimal(0), sentence, "Which lane is the first, seen from the marks?")
