"""How often a slip that was really made is found, counted on random valid papers."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from random import Random
from typing import Literal

from practicals.calculations.paper_slips import PaperExplanation, StatedSpot, explain_paper
from practicals.calculations.slip_making import WRITTEN, TrialPaper, random_paper
from practicals.calculations.slips import Explanation, Neighbour, explain

Outcome = Literal["found", "tied", "other", "none", "right"]
OUTCOMES: tuple[Outcome, ...] = ("found", "tied", "other", "none", "right")


@dataclass(frozen=True, slots=True)
class Row:
    """What became of one slip over all papers it was made on."""

    slip: str
    counts: Counter[Outcome]

    @property
    def made(self) -> int:
        """On how many papers it was made."""
        return sum(self.counts.values())


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
        "no slip" first, then each slip, last a wrong value drawn at random, which nothing should explain.
        "right" under a slip: what it gives rounds to the right value, so there is nothing to find.

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
    counts: dict[str, Counter[Outcome]] = _no_counts()
    for _ in range(papers):
        paper = random_paper(random)
        for slip, lane, stated in stated_on(paper, random):
            counts[slip][outcome(slip, explained(paper, lane, stated))] += 1
    return tuple(Row(slip, found) for slip, found in counts.items())


def paper_confusion(papers: int, *, seed: int) -> tuple[Row, ...]:
    """Make each slip in every lane of many random papers, and count what is said of the paper as a whole.

    Parameters
    ----------
    papers : int
        How many papers [-].
    seed : int
        Seed of the chance, so that the table can be made again [-].

    Returns
    -------
    tuple[Row, ...]
        As for `confusion`; "right" where the slip leaves fewer than two values wrong.

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
    counts = _no_counts()
    for _ in range(papers):
        paper = random_paper(random)
        for slip, make in WRITTEN.items():
            spots = [
                StatedSpot(lane + 1, f"lane {lane + 1}", explained(paper, lane, stated))
                for lane in range(len(paper.spots_mm))
                if (stated := make(paper, lane, random)) is not None
            ]
            counts[slip][_paper_outcome(slip, explain_paper(spots))] += 1
    return tuple(Row(slip, found) for slip, found in counts.items())


def _no_counts() -> dict[str, Counter[Outcome]]:
    return {slip: Counter() for slip in WRITTEN}


def _paper_outcome(slip: str, found: PaperExplanation) -> Outcome:
    leading = [one.slip for one in found.leading]
    if found.wrong < 2:
        return "right"
    if slip in leading:
        return "found" if len(leading) == 1 else "tied"
    return "other" if leading else "none"


def stated_on(paper: TrialPaper, random: Random) -> Iterator[tuple[str, int, str]]:
    """The right value, every slip that can be made, and any wrong value, each in a lane drawn at random.

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
    for slip, make in WRITTEN.items():
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
