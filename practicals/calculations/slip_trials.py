"""How often a slip that was really made is found: random valid papers, one slip made on each.

The slips are made here from their description alone, apart from the formulas of `hypotheses.py`, so that the
table says something about those.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from math import ceil
from random import Random
from typing import Literal

from practicals.calculations.rf import rounded
from practicals.calculations.slips import Explanation, Neighbour, explain

Outcome = Literal["found", "tied", "other", "none", "right"]
OUTCOMES: tuple[Outcome, ...] = ("found", "tied", "other", "none", "right")
NO_SLIP = "no slip"


@dataclass(frozen=True, slots=True)
class TrialPaper:
    """A valid paper [mm]: all heights above its lower edge; one spot a lane, each 2 `radius_mm` long."""

    height_mm: Decimal
    origin_mm: Decimal
    front_mm: Decimal
    spots_mm: tuple[Decimal, ...]
    radius_mm: Decimal
    zero_at_edge: bool


@dataclass(frozen=True, slots=True)
class Row:
    """What became of one slip over all papers it was made on."""

    slip: str
    counts: Counter[Outcome]

    @property
    def made(self) -> int:
        """On how many papers it was made."""
        return sum(self.counts.values())


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


def confusion(papers: int, *, seed: int) -> tuple[Row, ...]:
    """Make every slip once on each of many random papers, and count what is said of it.

    Parameters
    ----------
    papers : int
        How many papers [-].
    seed : int
        Seed of the chance, so that the table can be made again [-].

    Returns
    -------
    tuple[Row, ...]
        "no slip" first, then each slip. "right" under a slip: what it gives rounds to the right value, so
        there is nothing to find.

    Raises
    ------
    ValueError
        If there are no papers.

    References
    ----------
    .. [1] Own simulation.
    """
    if papers < 1:
        raise ValueError("State how many papers, one or more.")
    random = Random(seed)  # noqa: S311 - reproducible on purpose, guards no secret
    counts: dict[str, Counter[Outcome]] = {NO_SLIP: Counter(), **{slip: Counter() for slip in MADE}}
    for _ in range(papers):
        paper = random_paper(random)
        for slip, lane, stated in stated_on(paper, random):
            counts[slip][outcome(slip, explained(paper, lane, stated))] += 1
    return tuple(Row(slip, found) for slip, found in counts.items())


def stated_on(paper: TrialPaper, random: Random) -> Iterator[tuple[str, int, str]]:
    """The right value and every slip that can be made on this paper, each in a lane drawn at random.

    Parameters
    ----------
    paper : TrialPaper
        The paper [mm].
    random : Random
        Where chance comes from [-].

    Yields
    ------
    tuple
        Slip, lane, and the value as a learner writes it, with two decimals (no decimals for a percentage).

    Returns
    -------
    Iterator
        Of those.

    References
    ----------
    .. [1] Own simulation.
    """
    for slip, make in {NO_SLIP: _right, **MADE}.items():
        lane = random.randrange(len(paper.spots_mm))
        stated = make(paper, lane, random)
        if stated is not None:
            yield slip, lane, stated


def explained(paper: TrialPaper, lane: int, stated: str) -> Explanation:
    """What is said of a stated value, with everything that a page would know.

    Parameters
    ----------
    paper : TrialPaper
        The paper [mm].
    lane : int
        The lane, from 0 [-].
    stated : str
        The value as written [-].

    Returns
    -------
    Explanation
        Of `practicals.calculations.slips.explain`.

    References
    ----------
    .. [1] Own simulation.
    """
    zero = Decimal(0) if paper.zero_at_edge else paper.origin_mm
    return explain(
        stated,
        spot_mm=paper.spots_mm[lane] - zero,
        origin_mm=paper.origin_mm - zero,
        front_mm=paper.front_mm - zero,
        origin_height_mm=paper.origin_mm,
        paper_height_mm=paper.height_mm,
        leading_mm=paper.spots_mm[lane] + paper.radius_mm - zero,
        neighbours=[
            Neighbour(str(other + 1), spot - zero)
            for other, spot in enumerate(paper.spots_mm)
            if other != lane
        ],
    )


def outcome(slip: str, explanation: Explanation) -> Outcome:
    """Whether the slip that was made is what the explanation says.

    Parameters
    ----------
    slip : str
        The slip that was made [-].
    explanation : Explanation
        What is said of it [-].

    Returns
    -------
    {"found", "tied", "other", "none", "right"}
        Found alone, among several, another one named, nothing named, or the value is right.

    References
    ----------
    .. [1] Own simulation.
    """
    named = [match.slip for match in explanation.matches]
    if explanation.verdict == "right":
        return "right"
    if slip in named:
        return "found" if len(named) == 1 else "tied"
    return "other" if named else "none"


def table(rows: tuple[Row, ...]) -> str:
    """The confusion table as plain text, in per cent of the papers where the slip was made.

    Parameters
    ----------
    rows : tuple[Row, ...]
        From `confusion` [-].

    Returns
    -------
    str
        One line for each slip.

    References
    ----------
    .. [1] Own simulation.
    """
    lines = [f"{'slip made':<24}{'papers':>8}" + "".join(f"{name:>9}" for name in OUTCOMES)]
    for row in rows:
        parts = "".join(f"{100 * row.counts[name] / max(1, row.made):>8.2f}%" for name in OUTCOMES)
        lines.append(f"{row.slip:<24}{row.made:>8}{parts}")
    return "\n".join(lines)


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
