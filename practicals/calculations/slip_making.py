"""Slips as a learner makes them, on random valid papers: what is written down in the end.

They are made from their description alone, apart from the formulas of `hypotheses.py`, so that counting how
often they are found says something about those.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from decimal import Decimal
from math import ceil
from random import Random

from practicals.calculations.rf import rounded

NO_SLIP = "no slip"
#: A wrong value between 0 and 1 that no slip made: whatever is named under it is a false accusation.
ANY_VALUE = "any wrong value"


@dataclass(frozen=True, slots=True)
class TrialPaper:
    """A valid paper [mm]: all heights above its lower edge; one spot a lane, each 2 `radius_mm` long."""

    height_mm: Decimal
    origin_mm: Decimal
    front_mm: Decimal
    spots_mm: tuple[Decimal, ...]
    radius_mm: Decimal
    zero_at_edge: bool


def random_paper(random: Random) -> TrialPaper:
    """A paper that could stand in a class: read to half a millimetre, spots between R_f 0.04 and 0.96.

    Parameters
    ----------
    random : Random
        Where chance comes from [-].

    Returns
    -------
    TrialPaper
        Height 100 to 250 mm, origin line 10 to 30 mm up, 4 to 8 lanes [mm].

    References
    ----------
    .. [1] Heights of the origin line: WHO_TLC (10 mm) to BP_IIIE (30 mm) in SOURCES.csv; the rest common
       practice, no source.
    """
    height, origin = random.randrange(100, 251), random.randrange(10, 31)
    front = random.randrange(origin + 50, height - 4)
    run = front - origin
    spots = tuple(
        origin + Decimal(random.randrange(round(run * 0.08), round(run * 1.92) + 1)) / 2
        for _ in range(random.randrange(4, 9))
    )
    radius = Decimal(random.randrange(3, 9)) / 2
    return TrialPaper(Decimal(height), Decimal(origin), Decimal(front), spots, radius, random.random() < 0.5)


def _lengths(paper: TrialPaper, lane: int) -> tuple[Decimal, Decimal]:
    return paper.spots_mm[lane] - paper.origin_mm, paper.front_mm - paper.origin_mm


def _right(paper: TrialPaper, lane: int, _random: Random) -> str:
    spot, front = _lengths(paper, lane)
    return f"{rounded(spot / front)}"


def _ratio(of: Callable[[TrialPaper, Decimal, Decimal], tuple[Decimal, Decimal]]) -> _Slip:
    """A slip that divides other lengths: given paper, spot and front (from the origin line) [mm]."""

    def make(paper: TrialPaper, lane: int, _random: Random) -> str | None:
        upper, lower = of(paper, *_lengths(paper, lane))
        return f"{rounded(upper / lower)}" if lower > 0 else None

    return make


def _any_value(paper: TrialPaper, lane: int, random: Random) -> str:
    right = _right(paper, lane, random)
    wrong = right
    while wrong == right:
        wrong = f"{Decimal(random.randrange(101)) / 100:.2f}"
    return wrong


def _percentage(paper: TrialPaper, lane: int, _random: Random) -> str:
    spot, front = _lengths(paper, lane)
    return f"{rounded(100 * spot / front, 0)}"


def _neighbour(paper: TrialPaper, lane: int, _random: Random) -> str:
    other = lane + 1 if lane + 1 < len(paper.spots_mm) else lane - 1
    return _right(paper, other, _random)


def _swapped(paper: TrialPaper, lane: int, random: Random) -> str | None:
    """Two neighbouring digits of the result, the spot's or the front's distance change places."""
    spot, front = _lengths(paper, lane)
    what = random.randrange(3)
    if what == 0:
        right = _right(paper, lane, random)
        return right[:2] + right[3] + right[2] if right[2] != right[3] else None
    digits = str(int(spot if what == 1 else front))
    rest = (spot if what == 1 else front) % 1
    at = random.randrange(max(1, len(digits) - 1))
    turned = digits[:at] + digits[at : at + 2][::-1] + digits[at + 2 :]
    if turned == digits or turned.startswith("0"):
        return None
    length = int(turned) + rest
    return f"{rounded(length / front if what == 1 else spot / length)}"


def _cut_off(paper: TrialPaper, lane: int, _random: Random) -> str:
    spot, front = _lengths(paper, lane)
    return f"{Decimal(int(100 * spot / front)) / 100:.2f}"


def _up(paper: TrialPaper, lane: int, _random: Random) -> str:
    spot, front = _lengths(paper, lane)
    return f"{Decimal(ceil(100 * spot / front)) / 100:.2f}"


def _one_decimal_written_as_two(paper: TrialPaper, lane: int, _random: Random) -> str:
    spot, front = _lengths(paper, lane)
    return f"{rounded(spot / front, 1)}0"


_Slip = Callable[[TrialPaper, int, Random], str | None]
#: Each slip as a learner makes it. Given a paper, a lane and chance, the value that is written down.
MADE: dict[str, _Slip] = {
    "inverted": _ratio(lambda _, spot, front: (front, spot)),
    "from-the-front": _ratio(lambda _, spot, front: (front - spot, front)),
    "both-from-edge": _ratio(lambda p, spot, front: (spot + p.origin_mm, front + p.origin_mm)),
    "spot-from-edge": _ratio(lambda p, spot, front: (spot + p.origin_mm, front)),
    "front-from-edge": _ratio(lambda p, spot, front: (spot, front + p.origin_mm)),
    "spot-in-cm": _ratio(lambda _, spot, front: (spot / 10, front)),
    "front-in-cm": _ratio(lambda _, spot, front: (spot, front / 10)),
    "paper-height-as-front": _ratio(lambda p, spot, _: (spot, p.height_mm)),
    "leading-edge": _ratio(lambda p, spot, front: (spot + p.radius_mm, front)),
    "percentage": _percentage,
    "digits-swapped": _swapped,
    "neighbour-spot": _neighbour,
    "truncated": _cut_off,
    "rounded-up": _up,
    "over-rounded": _one_decimal_written_as_two,
}
#: The same, with the right value before them and a wrong value that no slip made after.
WRITTEN: dict[str, _Slip] = {NO_SLIP: _right, **MADE, ANY_VALUE: _any_value}
