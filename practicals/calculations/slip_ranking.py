"""All that was tried to explain a learner's own R_f, for a teacher who wants to see the whole list."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from practicals.calculations.hypotheses import Hypothesis, Neighbour, distances_from_readings, hypotheses
from practicals.calculations.rf import rounded
from practicals.calculations.slips import Explanation, explain

#: In the place of a slip's slug: the value that follows from the readings.
RIGHT = "right"


@dataclass(frozen=True, slots=True)
class Tried:
    """One hypothesis, the value it would have given, and whether that is what was stated [-]."""

    slip: str
    name: str
    detail: str
    value: Decimal
    difference: Decimal
    fits: bool


def ranked(
    stated: str | Decimal,
    *,
    spot_mm: Decimal,
    origin_mm: Decimal,
    front_mm: Decimal,
    origin_height_mm: Decimal | None = None,
    paper_height_mm: Decimal | None = None,
    leading_mm: Decimal | None = None,
    neighbours: Sequence[Neighbour] = (),
) -> tuple[Tried, ...]:
    """Every hypothesis that the readings allow, with its value: the right one first.

    Parameters
    ----------
    stated : str or Decimal
        The learner's R_f as written [-].
    spot_mm, origin_mm, front_mm : Decimal
        Readings of the spot's centre, the origin line and the solvent front [mm].
    origin_height_mm : Decimal, optional
        Height of the origin line above the lower edge, for rulers laid at the origin line [mm].
    paper_height_mm : Decimal, optional
        Height of the paper [mm].
    leading_mm : Decimal, optional
        Reading of the spot's leading edge [mm].
    neighbours : Sequence[Neighbour]
        Spots in other lanes of the paper, read from the same zero [mm].

    Returns
    -------
    tuple[Tried, ...]
        The right value, then those that fit, then the rest from the nearest on. Where the stated value is
        right, nothing else is said to fit. Values have two decimals, or as many as were stated.

    Raises
    ------
    NotAnRfError
        If what was stated is not a number.
    NoRetardationFactorError
        If the readings give no R_f.

    References
    ----------
    .. [1] Slips named in teaching material: ERR2, ERR3, ERR5 in SOURCES.csv; formulas derived here.
    """
    found = explain(
        stated,
        spot_mm=spot_mm,
        origin_mm=origin_mm,
        front_mm=front_mm,
        origin_height_mm=origin_height_mm,
        paper_height_mm=paper_height_mm,
        leading_mm=leading_mm,
        neighbours=neighbours,
    )
    distances = distances_from_readings(
        spot_mm=spot_mm,
        origin_mm=origin_mm,
        front_mm=front_mm,
        origin_height_mm=origin_height_mm,
        paper_height_mm=paper_height_mm,
        leading_mm=leading_mm,
    )
    exponent = found.stated.as_tuple().exponent
    places = max(0, -exponent) if isinstance(exponent, int) else 0
    tried = hypotheses(
        distances, right=found.exact, places=places, neighbours=neighbours, origin_mm=origin_mm
    )
    right = Tried(
        RIGHT,
        "as it follows from the readings",
        "",
        rounded(found.exact, max(places, 2)),
        found.stated - found.exact,
        found.verdict == "right",
    )
    rest = sorted(_rest(tried, found, places), key=lambda one: (not one.fits, abs(one.difference)))
    return (right, *rest)


def _rest(tried: Sequence[Hypothesis], found: Explanation, places: int) -> Iterator[Tried]:
    given_by = {hypothesis.slip.slug for hypothesis in tried}
    otherwise_rounded = [match for match in found.matches if match.slip not in given_by]
    for match in otherwise_rounded:
        yield Tried(match.slip, match.name, "", found.stated, Decimal(0), True)
    named = {match.slip for match in found.matches}
    simply = bool(otherwise_rounded) or any(rounded(h.value, places) == found.stated for h in tried)
    for hypothesis in tried:
        slip, value = hypothesis.slip, hypothesis.value
        # Cutting off after a slip counts only where `explain` found nothing simpler.
        as_stated = rounded(value, places) if simply else _cut_off(value, places)
        fits = slip.slug in named and as_stated == found.stated
        shown = rounded(value, max(places, 2))
        yield Tried(slip.slug, slip.name, hypothesis.detail, shown, found.stated - value, fits)


def _cut_off(value: Decimal, places: int) -> Decimal:
    return Decimal(int(value.scaleb(places))).scaleb(-places)
