"""Solvent check: standards shifted on most papers (mobile phase) or on one (its front or origin line).

The rule, with its thresholds, is `Thresholds` and is put in words by `rule_in_words`. How often it
gives a false alarm and how often it notices is measured by `practicals.calculations.mobile_phase_rates`.
"""

from __future__ import annotations

from bisect import bisect_left
from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from statistics import median
from typing import Literal

# Published values for "the same" mixture differ by up to 0.6, so a difference from them says nothing
# about today's batch.
Basis = Literal["past sessions", "practical", "published"]
Kind = Literal["mobile phase", "paper", "too early"]

_OUTSTANDING = 1.5
_FRONT, _ORIGIN = "front", "origin line"


@dataclass(frozen=True, slots=True)
class StandardReading:
    """R_f [-] of one standard on one paper: the median over those who read it."""

    paper: str
    standard: str
    rf: float


@dataclass(frozen=True, slots=True)
class Expected:
    """What a standard is expected to give [-], whence, and how far past sessions spread (s) [-]."""

    rf: float
    basis: Basis = "practical"
    sessions_sd: float = 0.0


@dataclass(frozen=True, slots=True)
class Thresholds:
    """When a shift counts; the choice of this project, judged by simulation.

    `shift` [-]: one paper carries spots of one substance within about 0.04. `leaning` [-]: a single
    paper counts towards "most" from this shift on. `standards` and `papers`: fewer are not judged.
    `most`: share of papers, `agreeing`: share of a paper's standards, that lie on the same side.
    """

    shift: float = 0.04
    leaning: float = 0.02
    standards: int = 2
    papers: int = 3
    most: float = 2 / 3
    agreeing: float = 3 / 4


DEFAULT = Thresholds()


@dataclass(frozen=True, slots=True)
class PaperShift:
    """One paper: how many standards were compared, their median shift [-] and the share on its side."""

    paper: str
    batch: str
    standards: int
    shift: float
    agreeing: float

    @property
    def direction(self) -> Literal["higher", "lower"]:
        """Which way its standards lie."""
        return "higher" if self.shift > 0 else "lower"


@dataclass(frozen=True, slots=True)
class Finding:
    """Something to look into, for the board; `points_to` is "front", "origin line" or empty."""

    kind: Kind
    batch: str
    papers: tuple[str, ...]
    shift: float
    sentence: str
    points_to: str = ""


@dataclass(frozen=True, slots=True)
class SolventCheck:
    """Every paper that could be compared, what was found, and why something could not be judged."""

    papers: tuple[PaperShift, ...]
    findings: tuple[Finding, ...]
    missing: tuple[str, ...]


def rule_in_words(thresholds: Thresholds = DEFAULT) -> str:
    """The rule as a person may read it beside its result.

    Parameters
    ----------
    thresholds : Thresholds
        When a shift counts.

    Returns
    -------
    str
        Two sentences.

    References
    ----------
    .. [1] Thresholds: common practice, no source; a window of 0.04 within one paper follows from class
       values in which two runs of one substance on one paper lay up to 0.035 apart.
    """
    return (
        f"The mobile phase of a batch is suspect when, on at least {thresholds.papers} papers with at least"
        f" {thresholds.standards} standards each, the standards lie {thresholds.shift:.2f} or more from what"
        f" past sessions lead one to expect (median over papers), and at least"
        f" {thresholds.most:.0%} of the papers lean that way by {thresholds.leaning:.2f} or more."
        f" A single paper is suspect when its standards lie {thresholds.shift:.2f} or more from the same"
        f" standards on the other papers of its batch, {thresholds.agreeing:.0%} of them on the same side."
    )


def solvent_check(
    readings: Iterable[StandardReading],
    expected: Mapping[str, Expected],
    batches: Mapping[str, str],
    *,
    thresholds: Thresholds = DEFAULT,
) -> SolventCheck:
    """Judge every batch of mobile phase, and every paper, from the standards that ran.

    Parameters
    ----------
    readings : Iterable[StandardReading]
        R_f of the standards, paper by paper.
    expected : Mapping[str, Expected]
        By standard. Without it, or with published values only, papers are compared with one another
        and the mobile phase cannot be judged.
    batches : Mapping[str, str]
        By paper, the name of its batch; papers not named share one unnamed batch.
    thresholds : Thresholds
        When a shift counts.

    Returns
    -------
    SolventCheck
        Findings of each batch: mobile phase first, then single papers.

    References
    ----------
    .. [1] `rule_in_words` states the rule: common practice, no source.
    """
    values: dict[str, dict[str, dict[str, float]]] = defaultdict(lambda: defaultdict(dict))
    for reading in readings:
        values[batches.get(reading.paper, "")][reading.paper][reading.standard] = reading.rf
    papers: list[PaperShift] = []
    findings: list[Finding] = []
    missing: list[str] = []
    for batch, by_paper in values.items():
        shifts, why_not = _against_expected(batch, by_paper, expected, thresholds)
        papers += shifts
        missing += why_not
        findings += _mobile_phase(batch, shifts, _shift_needed(by_paper, expected, thresholds), thresholds)
        findings += _single_papers(batch, by_paper, thresholds)
    if not values:
        missing.append("No standard has been read yet.")
    return SolventCheck(tuple(papers), tuple(findings), tuple(missing))


def _usable(expected: Mapping[str, Expected], standard: str) -> bool:
    return standard in expected and expected[standard].basis != "published"


def _shift_needed(
    by_paper: Mapping[str, Mapping[str, float]], expected: Mapping[str, Expected], thresholds: Thresholds
) -> float:
    """Where past sessions themselves spread widely, a shift must exceed twice that spread."""
    read = {standard for row in by_paper.values() for standard in row}
    spreads = [expected[standard].sessions_sd for standard in read if _usable(expected, standard)]
    return max(thresholds.shift, 2 * median(spreads)) if spreads else thresholds.shift


def _paper_shift(paper: str, batch: str, differences: Sequence[float]) -> PaperShift:
    shift = median(differences)
    same_side = sum(one * shift > 0 for one in differences)
    return PaperShift(paper, batch, len(differences), shift, same_side / len(differences))


def _against_expected(
    batch: str,
    by_paper: Mapping[str, Mapping[str, float]],
    expected: Mapping[str, Expected],
    thresholds: Thresholds,
) -> tuple[list[PaperShift], list[str]]:
    shifts = []
    for paper, row in by_paper.items():
        differences = [rf - expected[name].rf for name, rf in row.items() if _usable(expected, name)]
        if len(differences) >= thresholds.standards:
            shifts.append(_paper_shift(paper, batch, differences))
    if len(shifts) >= thresholds.papers:
        return shifts, []
    where = _named(batch)
    if not shifts and not any(_usable(expected, name) for row in by_paper.values() for name in row):
        why = (
            f"Nothing is known that {where} could be judged by: published values for the same mixture"
            " differ too much. Papers are compared with one another only."
        )
    else:
        why = (
            f"Not enough papers to judge {where}: {len(shifts)}, and it takes at least {thresholds.papers}"
            f" with at least {thresholds.standards} standards each."
        )
    return shifts, [why]


def _named(batch: str) -> str:
    return f"the mobile phase of batch {batch}" if batch else "the mobile phase"


def _mobile_phase(
    batch: str, shifts: Sequence[PaperShift], needed: float, thresholds: Thresholds
) -> list[Finding]:
    if not shifts:
        return []
    middle = median([paper.shift for paper in shifts])
    way = "higher" if middle > 0 else "lower"
    leaning = [
        paper
        for paper in shifts
        if paper.shift * middle > 0
        and abs(paper.shift) >= thresholds.leaning
        and paper.agreeing >= thresholds.agreeing
    ]
    # Sums of decimals are a hair off in binary: a shift of exactly 0.04 counts.
    if round(abs(middle) - needed, 9) < 0 or len(leaning) < thresholds.most * len(shifts):
        return []
    names = tuple(paper.paper for paper in leaning)
    if len(shifts) < thresholds.papers:
        return [
            Finding(
                "too early",
                batch,
                names,
                middle,
                f"The standards lie {abs(middle):.2f} {way} than expected on {_papers(names)}. With fewer"
                f" than {thresholds.papers} papers it cannot be said whether {_named(batch)} or the"
                " paper's front or origin line is the cause.",
            )
        ]
    return [
        Finding(
            "mobile phase",
            batch,
            names,
            middle,
            f"On {len(leaning)} of {len(shifts)} papers the standards lie {way} than expected, by"
            f" {abs(middle):.2f} in the middle: {_named(batch)} is suspect. Check how it was made, its age"
            " and how long the chambers stood before the papers went in.",
        )
    ]


def _papers(names: Sequence[str]) -> str:
    return f"paper {names[0]}" if len(names) == 1 else f"papers {', '.join(names[:-1])} and {names[-1]}"


def _single_papers(
    batch: str, by_paper: Mapping[str, Mapping[str, float]], thresholds: Thresholds
) -> list[Finding]:
    if len(by_paper) < thresholds.papers:
        return []
    of_standard: dict[str, list[tuple[float, str]]] = defaultdict(list)
    for paper, row in by_paper.items():
        for standard, rf in row.items():
            of_standard[standard].append((rf, paper))
    ordered = {standard: sorted(found) for standard, found in of_standard.items()}
    apart = []
    for paper, row in by_paper.items():
        pairs = [
            (rf, middle)
            for standard, rf in row.items()
            if (middle := _middle_of_others(ordered[standard], (rf, paper))) is not None
        ]
        if len(pairs) < thresholds.standards:
            continue
        found = _paper_shift(paper, batch, [rf - middle for rf, middle in pairs])
        if round(abs(found.shift) - thresholds.shift, 9) >= 0 and found.agreeing >= thresholds.agreeing:
            apart.append((found, pairs))
    apart.sort(key=lambda found: abs(found[0].shift), reverse=True)
    # Among few papers one far off makes the others look off too, by half as much.
    if len(apart) > 1 and abs(apart[0][0].shift) >= _OUTSTANDING * abs(apart[1][0].shift):
        apart = apart[:1]
    # Where many papers differ from one another, it is no matter of one paper's front.
    if round(len(apart) - (1 - thresholds.most) * len(by_paper), 9) > 0:
        return []
    return [_one_paper(found, pairs) for found, pairs in apart]


def _middle_of_others(ordered: Sequence[tuple[float, str]], own: tuple[float, str]) -> float | None:
    """Median of all but one, from the sorted list, so that a large class costs no more per paper."""
    count = len(ordered) - 1
    if count < 2:
        return None
    own_place = bisect_left(ordered, own)

    def nth(place: int) -> float:
        return ordered[place if place < own_place else place + 1][0]

    return nth(count // 2) if count % 2 else (nth(count // 2 - 1) + nth(count // 2)) / 2


def _one_paper(found: PaperShift, pairs: Sequence[tuple[float, float]]) -> Finding:
    points_to = _front_or_origin(pairs)
    cause = f"its {points_to} most likely" if points_to else "its front or its origin line"
    return Finding(
        "paper",
        found.batch,
        (found.paper,),
        found.shift,
        f"On paper {found.paper} alone the standards lie {abs(found.shift):.2f} {found.direction} than on the"
        f" other papers, so the cause is not the mobile phase but {cause}. Measure both again.",
        points_to,
    )


def _front_or_origin(pairs: Sequence[tuple[float, float]]) -> str:
    """A wrong front changes R_f in proportion to R_f, a wrong origin in proportion to 1 - R_f.

    Said only when three standards are spread over the paper and one law leaves a quarter of what the
    other does.
    """
    middles = [middle for _, middle in pairs]
    if len(pairs) < 3 or max(middles) - min(middles) < 0.3:
        return ""
    front = _left_over([(middle, rf - middle) for rf, middle in pairs])
    origin = _left_over([(1 - middle, rf - middle) for rf, middle in pairs])
    if front < origin / 4:
        return _FRONT
    return _ORIGIN if origin < front / 4 else ""


def _left_over(points: Sequence[tuple[float, float]]) -> float:
    """Sum of squares left by the best y = a x."""
    square = sum(x * x for x, _ in points)
    slope = sum(x * y for x, y in points) / square if square else 0.0
    return sum((y - slope * x) ** 2 for x, y in points)
