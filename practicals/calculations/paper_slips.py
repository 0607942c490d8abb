"""One slip across a whole paper: several spots say more than one can.

Each stated R_f is explained on its own by `slips.py`. Here the explanations are laid side by side: a slip
that accounts for every spot is far likelier than a different one for each, and a shift or a factor that all
share points at a cause even where no known length gives it.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import combinations
from typing import Literal

from practicals.calculations.hypotheses import SLIPS
from practicals.calculations.paper_patterns import Pair, Pattern, patterns_in
from practicals.calculations.rf import rounded
from practicals.calculations.slips import Explanation

Verdict = Literal["nothing", "right", "single", "one", "most", "tie", "pattern", "several", "none"]
Order = Literal["as expected", "reversed", "otherwise", "too few"]

#: Happens here and there, not in every lane: behind a slip that explains as many values in one go.
ACCIDENTS = frozenset({"digits-swapped"})
#: Standards closer than this say nothing of the order: two readings of one spot may swap them (STU_AA9).
SURE_ORDER = Decimal("0.04")


@dataclass(frozen=True, slots=True)
class StatedSpot:
    """A spot's stated R_f as explained on its own; `lane` counts from the left."""

    lane: int
    label: str
    explanation: Explanation

    @property
    def wrong(self) -> bool:
        """The stated value is not the right one."""
        return self.explanation.verdict != "right"

    @property
    def pair(self) -> Pair:
        """The right and the stated value with half a unit of the last decimal stated [-]."""
        exponent = self.explanation.stated.as_tuple().exponent
        step = Decimal(1).scaleb(exponent if isinstance(exponent, int) else 0)
        return Pair(self.lane, self.explanation.exact, self.explanation.stated, step / 2)


@dataclass(frozen=True, slots=True)
class PaperSlip:
    """A slip and how many of the paper's wrong values it explains."""

    slip: str
    name: str
    explains: int
    of: int
    hint: str

    @property
    def sentence(self) -> str:
        """How many it explains, in words."""
        how = SLIPS[self.slip].how
        if self.explains == self.of:
            return f"All {self.of} values that are not right come out if {how}."
        return f"{self.explains} of the {self.of} values that are not right come out if {how}."


@dataclass(frozen=True, slots=True)
class PaperExplanation:
    """What explains the stated R_f of one paper together.

    `verdict` is "nothing" (none stated), "right", "single" (one is wrong: see its own explanation), "one"
    (one slip explains all that are wrong), "most" (one explains more than half), "tie" (several do so
    equally), "pattern" (no known slip, but all are shifted or stretched alike), "several" (each its own) or
    "none".
    """

    verdict: Verdict
    stated: int
    wrong: int
    slips: tuple[PaperSlip, ...]
    patterns: tuple[Pattern, ...]
    summary: str

    @property
    def leading(self) -> tuple[PaperSlip, ...]:
        """The slip, or the tied ones, that the verdict rests on."""
        if self.verdict not in {"one", "most", "tie"}:
            return ()
        return _best(self.slips)

    @property
    def hint(self) -> str:
        """Pointers that do not give the answer, empty if nothing is amiss."""
        hints = dict.fromkeys(slip.hint for slip in self.leading)
        if hints:
            return " ".join(hints)
        if self.patterns:
            return " ".join(dict.fromkeys(pattern.hint for pattern in self.patterns))
        return ""


def explain_paper(spots: Sequence[StatedSpot], *, run_mm: Decimal | None = None) -> PaperExplanation:
    """Which single slip explains the stated R_f of a whole paper.

    Parameters
    ----------
    spots : Sequence[StatedSpot]
        Every spot with a stated R_f, each explained on its own [-].
    run_mm : Decimal, optional
        The paper's run, to tell a constant shift in millimetres [mm].

    Returns
    -------
    PaperExplanation
        Verdict, slips with the number of values that each explains, patterns, and a summary. Digits swapped
        in every lane are no match for one slip that explains as many.

    References
    ----------
    .. [1] Effects of the slips on low and high spots: derived from the definition of R_f, IUPAC Gold Book,
       doi:10.1351/goldbook.R05353.
    """
    wrong = [spot for spot in spots if spot.wrong]
    slips = _counted(wrong)
    patterns = patterns_in([spot.pair for spot in spots], run_mm=run_mm) if len(wrong) > 1 else ()
    verdict = _verdict(spots, wrong, slips, patterns)
    return PaperExplanation(
        verdict, len(spots), len(wrong), slips, patterns, _summary(verdict, spots, wrong, slips, patterns)
    )


def standards_order(expected: Mapping[str, Decimal], found: Mapping[str, Decimal]) -> tuple[Order, str]:
    """Whether standards stand in the order that is expected of them, from the origin line up.

    Parameters
    ----------
    expected : Mapping[str, Decimal]
        R_f expected of each standard, of which only the order counts [-].
    found : Mapping[str, Decimal]
        R_f found [-].

    Returns
    -------
    tuple
        "as expected", "reversed", "otherwise" or "too few", and a sentence.

    References
    ----------
    .. [1] Published tables agree well in order, though not in value: ABO71, TB1; what turns the order
       round is measuring downwards from the front (derived).
    """
    both = [name for name in expected if name in found]
    sure = [
        (expected[one] - expected[other]) * (found[one] - found[other]) > 0
        for one, other in combinations(both, 2)
        if abs(expected[one] - expected[other]) >= SURE_ORDER and abs(found[one] - found[other]) >= SURE_ORDER
    ]
    # Three standards give three pairs; one pair alone is turned round by a single exchanged lane.
    if len(sure) < 3:
        return "too few", "Too few standards stand far enough apart to say anything of their order."
    if all(sure):
        return "as expected", "The standards stand in the order expected."
    if not any(sure):
        return "reversed", _REVERSED
    turned = len(sure) - sum(sure)
    return "otherwise", _OTHERWISE.format(turned, len(sure))


_REVERSED = (
    "The standards stand in the reverse of the order expected, as when spots are measured downwards from the"
    " solvent front, or the lanes were counted from the other side."
)
_OTHERWISE = (
    "The standards do not stand in the order expected: {} of {} pairs are the other way round. Two lanes may"
    " have been exchanged."
)


def _counted(wrong: Sequence[StatedSpot]) -> tuple[PaperSlip, ...]:
    counts = Counter(match.slip for spot in wrong for match in spot.explanation.matches)
    known = list(SLIPS)
    ordered = sorted(counts.items(), key=lambda item: (-item[1], item[0] in ACCIDENTS, known.index(item[0])))
    return tuple(
        PaperSlip(slug, SLIPS[slug].name, count, len(wrong), SLIPS[slug].hint) for slug, count in ordered
    )


def _best(slips: tuple[PaperSlip, ...]) -> tuple[PaperSlip, ...]:
    """The slip, or the tied ones, that explain most; an accident only if it is alone."""
    best = tuple(slip for slip in slips if slip.explains == slips[0].explains)
    return tuple(slip for slip in best if slip.slip not in ACCIDENTS) or best


def _verdict(
    spots: Sequence[StatedSpot],
    wrong: Sequence[StatedSpot],
    slips: tuple[PaperSlip, ...],
    patterns: tuple[Pattern, ...],
) -> Verdict:
    if len(wrong) < 2:
        return "nothing" if not spots else "single" if wrong else "right"
    best = slips[0].explains if slips else 0
    if 2 * best > len(wrong) and best > 1:
        if len(_best(slips)) > 1:
            return "tie"
        return "one" if best == len(wrong) else "most"
    if patterns:
        return "pattern"
    return "several" if slips else "none"


def _summary(
    verdict: Verdict,
    spots: Sequence[StatedSpot],
    wrong: Sequence[StatedSpot],
    slips: tuple[PaperSlip, ...],
    patterns: tuple[Pattern, ...],
) -> str:
    if verdict == "nothing":
        return "No R_f has been stated."
    if verdict == "right":
        return "Every R_f stated on this paper is right." if len(spots) > 1 else "The R_f stated is right."
    if verdict == "single":
        return f"{wrong[0].label}: {wrong[0].explanation.summary}"
    return " ".join(_sentences(verdict, spots, wrong, slips, patterns))


def _sentences(
    verdict: Verdict,
    spots: Sequence[StatedSpot],
    wrong: Sequence[StatedSpot],
    slips: tuple[PaperSlip, ...],
    patterns: tuple[Pattern, ...],
) -> Iterator[str]:
    right = len(spots) - len(wrong)
    if right:
        yield f"{right} of the {len(spots)} R_f stated {'is' if right == 1 else 'are'} right."
    if verdict in {"one", "most"}:
        yield slips[0].sentence
        yield from _left_over(slips[0], wrong)
    elif verdict == "tie":
        names = ", or ".join(slip.name for slip in _best(slips))
        yield f"Several slips explain {slips[0].explains} of {len(wrong)} equally well: {names}."
    elif verdict == "several":
        yield "No single slip explains more than half of the values that are not right; look at each."
    elif verdict == "none":
        yield "None of the usual slips explains the values that are not right."
    if 2 * len(wrong) > len(spots):
        # Where most values are right, what all of them share is within rounding.
        yield from (pattern.sentence for pattern in patterns)


def _left_over(slip: PaperSlip, wrong: Sequence[StatedSpot]) -> Iterator[str]:
    others = [
        f"{spot.label} ({rounded(spot.explanation.exact)} is right, {spot.explanation.stated} is stated)"
        for spot in wrong
        if slip.slip not in {match.slip for match in spot.explanation.matches}
    ]
    if others:
        yield f"Not explained by it: {', '.join(others)}."
