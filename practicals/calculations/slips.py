"""Which slip explains a learner's own R_f.

The right value comes first and is never accused. Otherwise the slips a teacher would think of are
tried; what fits is said, a tie is said to be a tie, and "none of these" is an answer.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_DOWN, Context, Decimal, InvalidOperation
from typing import Literal

from practicals.calculations.hypotheses import (
    ROUNDING_SLIPS,
    SLIPS,
    Distances,
    Hypothesis,
    Neighbour,
    distances_from_readings,
    hypotheses,
)
from practicals.calculations.rf import retardation_factor, rounded

__all__ = ["Explanation", "Match", "Neighbour", "NotAnRfError", "explain", "read_stated"]

Verdict = Literal["right", "rounding", "slip", "tie", "none"]
Unit = Literal["mm", "cm"]

# More than this many characters or decimals is a paste, not an R_f.
_LONGEST = 12


class NotAnRfError(ValueError):
    """What was stated as R_f cannot be read as a number; the message says so."""

    def __init__(self, stated: str) -> None:
        shown = stated if len(stated) <= 40 else stated[:40] + " ..."
        super().__init__(f"'{shown}' is not a number. Enter the R_f as a decimal such as 0.42.")
        self.stated = stated


@dataclass(frozen=True, slots=True)
class Match:
    """One slip that gives what was stated, and how well it fits."""

    slip: str
    name: str
    value_it_gives: Decimal
    sentence: str
    hint: str
    difference: Decimal


@dataclass(frozen=True, slots=True)
class Explanation:
    """What explains a stated R_f.

    `verdict` is "right", "rounding" (the right distances, rounded otherwise), "slip" (one fits), "tie"
    (several fit equally) or "none". `right_value` is the R_f to two decimals, `exact` unrounded.
    """

    verdict: Verdict
    stated: Decimal
    right_value: Decimal
    exact: Decimal
    matches: tuple[Match, ...]
    remarks: tuple[str, ...]
    summary: str

    @property
    def hint(self) -> str:
        """Pointers that do not give the answer, empty if nothing is amiss."""
        if self.verdict == "right":
            return ""
        hints = dict.fromkeys(match.hint for match in self.matches)
        if hints:
            return " ".join(hints)
        above = "An R_f cannot be larger than 1. " if self.stated > 1 else ""
        return f"{above}Measure the spot and the solvent front again, both from the origin line."


def read_stated(stated: str | Decimal) -> Decimal:
    """Read a stated R_f as it was written, keeping its decimals.

    Parameters
    ----------
    stated : str or Decimal
        What the learner wrote [-]; a decimal comma and a per-cent sign are understood.

    Returns
    -------
    Decimal
        The number before any per-cent sign, with as many decimals as were written [-].

    Raises
    ------
    NotAnRfError
        If it is no ordinary number, or far too long or large to be one.

    References
    ----------
    .. [1] Common practice, no source.
    """
    text = str(stated).strip().removesuffix("%").strip().replace(",", ".")
    try:
        value = Decimal(text)
    except InvalidOperation:
        raise NotAnRfError(str(stated)) from None
    exponent = value.as_tuple().exponent
    if not isinstance(exponent, int) or abs(exponent) > _LONGEST or value.adjusted() > _LONGEST:
        raise NotAnRfError(str(stated))
    return value


def explain(
    stated: str | Decimal,
    *,
    spot_mm: Decimal,
    origin_mm: Decimal,
    front_mm: Decimal,
    origin_height_mm: Decimal | None = None,
    paper_height_mm: Decimal | None = None,
    leading_mm: Decimal | None = None,
    unit: Unit = "mm",
    neighbours: Sequence[Neighbour] = (),
) -> Explanation:
    """Compare a learner's own R_f with their readings, and name the slip if one explains it.

    A value fits if it rounds, half up, to what was stated at the decimals stated. Only if nothing
    fits so is a slip followed by cutting off tried, for that is two mistakes.

    Parameters
    ----------
    stated : str or Decimal
        The learner's R_f as written [-].
    spot_mm, origin_mm, front_mm : Decimal
        Readings of the spot's centre, the origin line and the solvent front [mm].
    origin_height_mm : Decimal, optional
        Height of the origin line above the lower edge [mm], for rulers laid at the origin line.
    paper_height_mm : Decimal, optional
        Height of the paper [mm].
    leading_mm : Decimal, optional
        Reading of the spot's leading edge [mm].
    unit : {"mm", "cm"}
        The unit the learner measured in; explanations speak in it.
    neighbours : Sequence[Neighbour]
        Spots in other lanes of the paper, read from the same zero [mm].

    Returns
    -------
    Explanation
        Verdict, matches, and remarks on how the value is written.

    Raises
    ------
    NotAnRfError
        If what was stated is not a number.
    NoRetardationFactorError
        If the readings give no R_f.

    References
    ----------
    .. [1] IUPAC Gold Book, retardation factor, doi:10.1351/goldbook.R05353.
    .. [2] Slips named in teaching material: ERR2, ERR3, ERR5 in SOURCES.csv; formulas derived here.
    """
    value = read_stated(stated)
    places = _places(value)
    exact = retardation_factor(spot_mm=spot_mm, origin_mm=origin_mm, front_mm=front_mm)
    result = Explanation(
        "right", value, rounded(exact), exact, (), _remarks(str(stated), value, places), "This R_f is right."
    )
    too_coarse = places == 0 and exact != exact.to_integral_value()
    if rounded(exact, places) == value and not too_coarse:
        return result
    distances = distances_from_readings(
        spot_mm=spot_mm,
        origin_mm=origin_mm,
        front_mm=front_mm,
        origin_height_mm=origin_height_mm,
        paper_height_mm=paper_height_mm,
        leading_mm=leading_mm,
    )
    tried = hypotheses(distances, right=exact, places=places, neighbours=neighbours, origin_mm=origin_mm)
    fitting = _fitting(tried, exact, value, places)
    shown = _distances_in(distances, unit)
    matches = tuple(_match(hypothesis, value, places, shown) for hypothesis in fitting)
    verdict = _verdict(matches)
    return replace(result, verdict=verdict, matches=matches, summary=_summary(verdict, matches))


def _places(value: Decimal) -> int:
    exponent = value.as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _fitting(tried: list[Hypothesis], exact: Decimal, value: Decimal, places: int) -> list[Hypothesis]:
    otherwise_rounded = [
        Hypothesis(SLIPS[slug], exact, detail)
        for slug, detail, fits in (
            ("over-rounded", "to a whole number", places == 0 and rounded(exact, 0) == value),
            ("over-rounded", "to one decimal", places > 1 and rounded(exact, 1) == value),
            ("truncated", "", places > 0 and _cut(exact, places, ROUND_DOWN) == value),
            ("rounded-up", "", places > 0 and _cut(exact, places, ROUND_CEILING) == value),
        )
        if fits
    ]
    one_mistake = otherwise_rounded + [h for h in tried if rounded(h.value, places) == value]
    two_mistakes = [h for h in tried if _cut(h.value, places, ROUND_DOWN) == value]
    return _once_each(one_mistake or two_mistakes)


def _once_each(fitting: list[Hypothesis]) -> list[Hypothesis]:
    """One hypothesis per slip, the details of its variants joined."""
    merged: dict[str, Hypothesis] = {}
    for hypothesis in fitting:
        before = merged.setdefault(hypothesis.slip.slug, hypothesis)
        if before.detail != hypothesis.detail:
            merged[hypothesis.slip.slug] = replace(before, detail=f"{before.detail} or {hypothesis.detail}")
    return list(merged.values())


def _cut(value: Decimal, places: int, how: str) -> Decimal:
    wide = Context(prec=max(28, value.adjusted() + places + 5), rounding=how)
    return value.quantize(Decimal(1).scaleb(-places), context=wide)


def _match(hypothesis: Hypothesis, stated: Decimal, places: int, shown: str) -> Match:
    slip, gives = hypothesis.slip, rounded(hypothesis.value, max(places, 2))
    how = f"{slip.how} ({hypothesis.detail})" if hypothesis.detail else slip.how
    if slip.slug in ROUNDING_SLIPS:
        sentence = f"The distances are right ({shown}), but {how}."
    else:
        sentence = f"With the readings on this paper ({shown}), {format(gives, 'f')} comes out if {how}."
        if rounded(hypothesis.value, places) != stated:
            sentence += " The last decimal was then cut off instead of rounded."
    return Match(slip.slug, slip.name, gives, sentence, slip.hint, stated - hypothesis.value)


def _distances_in(distances: Distances, unit: Unit) -> str:
    scale = Decimal(10) if unit == "cm" else Decimal(1)
    spot, front = (format(length / scale, "f") for length in (distances.spot, distances.front))
    return f"spot {spot} {unit}, solvent front {front} {unit} from the origin line"


def _verdict(matches: tuple[Match, ...]) -> Verdict:
    if not matches:
        return "none"
    if len(matches) > 1:
        return "tie"
    return "rounding" if matches[0].slip in ROUNDING_SLIPS else "slip"


def _summary(verdict: Verdict, matches: tuple[Match, ...]) -> str:
    if verdict == "none":
        return "This R_f does not follow from the readings, and none of the usual slips explains it."
    names = ", or ".join(match.name for match in matches)
    if verdict == "tie":
        return f"Several explanations fit equally well: {names}."
    if verdict == "rounding":
        return f"The distances are right, the rounding is not: {names}."
    return f"One slip explains this: {names}."


def _remarks(text: str, value: Decimal, places: int) -> tuple[str, ...]:
    remarks = []
    if places > 2:
        remarks.append(f"{places} decimals are more than a ruler supports; two are the custom.")
    if places == 1:
        remarks.append("One decimal is given; two are the custom.")
    if text.strip().endswith("%"):
        remarks.append("An R_f has no unit and no per-cent sign.")
    if value > 1 or value < 0:
        remarks.append("An R_f lies between 0 and 1.")
    return tuple(remarks)
