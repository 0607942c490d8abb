"""How uncertain an R_f is, what makes it so, and when two spots can be told apart.

R_f = (spot - origin) / (front - origin) comes from three readings, and origin and front are shared: by
both distances of one spot, and by all spots of one paper. Everything here propagates from the three
readings, never from "the two distances". The parts in `rf.py` can be imported from here as well;
two spots are compared in `differences.py`.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Context, Decimal
from math import hypot, isfinite, sqrt

from practicals.calculations.rf import (
    NotAReadingError,
    centre_uncertainty,
    retardation_factor,
    ruler_uncertainty,
    run_length,
    spot_centre,
    standard_uncertainty,
)

__all__ = [
    "COVERAGE",
    "Located",
    "NoUncertaintyError",
    "ReportedRf",
    "RfUncertainty",
    "Share",
    "between_edges",
    "centre_uncertainty",
    "located",
    "reported",
    "rf_uncertainty",
    "ruler_uncertainty",
    "run_words",
    "shortest_run_for",
    "spot_as_read",
    "standard_uncertainty",
]

#: Coverage factor for about 95 %: JCGM 100:2008, 6.3.3.
COVERAGE = 2
#: Between its edges a spot's centre is judged to within this part of its length either way: a 6 mm spot to
#: 1.5 mm. Common practice, no source.
JUDGED_PART = Decimal("0.25")

_WIDE = Context(prec=40, rounding=ROUND_HALF_UP)
_NAMES = {
    "spot": "judging the centre of the spot",
    "front": "judging the solvent front",
    "origin": "judging the origin line",
    "ruler": "the ruler's divisions",
}


class NoUncertaintyError(ValueError):
    """These figures give no uncertainty; the message says why."""


@dataclass(frozen=True, slots=True)
class Located:
    """One line or spot as read [mm], and how well: by the ruler, and by judging where it is [mm, k = 1]."""

    at_mm: Decimal
    u_ruler_mm: float
    u_judged_mm: float = 0.0

    @property
    def u_mm(self) -> float:
        """Standard uncertainty of the reading [mm]."""
        return hypot(self.u_ruler_mm, self.u_judged_mm)


@dataclass(frozen=True, slots=True)
class Share:
    """One contribution to the combined variance: its key, its name in words, its part of the whole [-]."""

    key: str
    name: str
    part: float

    @property
    def percent(self) -> int:
        """The part in whole per cent."""
        return round(100 * self.part)


@dataclass(frozen=True, slots=True)
class ReportedRf:
    """A value with its expanded uncertainty, both rounded to the same place [-], and as text."""

    text: str
    value: Decimal
    expanded: Decimal
    k: int

    @property
    def decimals(self) -> int:
        """Decimals that are given."""
        exponent = self.value.as_tuple().exponent
        return max(0, -exponent) if isinstance(exponent, int) else 0


@dataclass(frozen=True, slots=True)
class RfUncertainty:
    """R_f with its standard (u) and expanded uncertainty [-], and where they come from.

    `causes` splits the variance into judging the spot, the front and the origin, and the ruler; `readings`
    splits it by the reading it enters through. Both are ordered from the largest.
    """

    rf: Decimal
    u: float
    k: int
    reported: ReportedRf
    causes: tuple[Share, ...]
    readings: tuple[Share, ...]

    @property
    def expanded(self) -> float:
        """U = k u, not rounded [-]."""
        return self.k * self.u

    @property
    def dominant(self) -> str:
        """Key of the largest cause: "spot", "front", "origin" or "ruler"."""
        return self.causes[0].key

    @property
    def words(self) -> str:
        """What dominates, as a sentence."""
        first = self.causes[0]
        rest = [f"{share.name} {share.percent} %" for share in self.causes[1:] if share.percent]
        if first.part >= 0.5:
            start = f"Most of the uncertainty comes from {first.name} ({first.percent} % of the variance)"
        else:
            start = f"The largest part of the uncertainty comes from {first.name} ({first.percent} %)"
        sentence = start + (f"; {', '.join(rest)}." if rest else ".")
        if first.key == "ruler":
            largest = self.readings[0]
            sentence += f" It enters most through the reading of {largest.name} ({largest.percent} %)."
        if not any(share.part for share in self.causes if share.key == "spot"):
            sentence += " How well the centre of the spot could be judged was not stated, so it is not in it."
        return sentence


def located(at_mm: Decimal, *, division_mm: Decimal, judged_to_mm: Decimal = Decimal(0)) -> Located:
    """A line or a spot's centre read once, to the nearest mark of the ruler.

    Parameters
    ----------
    at_mm : Decimal
        The reading [mm].
    division_mm : Decimal
        Distance between neighbouring marks of the ruler [mm].
    judged_to_mm : Decimal
        Stated half-width: the place is judged to within plus or minus this [mm], rectangular.

    Returns
    -------
    Located
        The reading and its two standard uncertainties [mm].

    Raises
    ------
    NotAReadingError
        If the reading is infinite or not a number.
    NoUncertaintyError
        If the half-width is negative or not an ordinary number.

    References
    ----------
    .. [1] JCGM 100:2008, 4.3.7 (rectangular: half-width over the root of 3).
    """
    if not at_mm.is_finite():
        raise NotAReadingError("reading", at_mm)
    if not judged_to_mm.is_finite() or judged_to_mm < 0:
        raise NoUncertaintyError(
            f"A place cannot be judged to within {judged_to_mm} mm. Enter a distance of 0 mm or more."
        )
    return Located(at_mm, ruler_uncertainty(division_mm), float(judged_to_mm) / sqrt(3))


def between_edges(
    leading_mm: Decimal,
    trailing_mm: Decimal,
    *,
    division_mm: Decimal,
    judged_to_mm: Decimal | None = None,
) -> Located:
    """A spot's centre, midway between its leading and its trailing edge.

    Two readings are averaged, so the ruler counts with its uncertainty over the root of 2. That the middle
    of the edges is the centre of the spot is a judgement: if no half-width is stated it is taken as a
    quarter of the spot's length either way.

    Parameters
    ----------
    leading_mm, trailing_mm : Decimal
        Readings of the edge nearer the front and of the edge nearer the origin line [mm].
    division_mm : Decimal
        Distance between neighbouring marks of the ruler [mm].
    judged_to_mm : Decimal, optional
        Stated half-width: the centre is judged to within plus or minus this [mm], rectangular.

    Returns
    -------
    Located
        The centre and its two standard uncertainties [mm].

    Raises
    ------
    NoUncertaintyError
        If the leading edge is below the trailing edge, or the half-width is no distance.

    References
    ----------
    .. [1] JCGM 100:2008, 4.3.7 and 5.1.2.
    .. [2] A quarter of the length: common practice, no source.
    """
    length_mm = leading_mm - trailing_mm
    if length_mm < 0:
        raise NoUncertaintyError(
            f"The leading edge ({leading_mm} mm) is below the trailing edge ({trailing_mm} mm). The leading"
            " edge is the one nearer the solvent front; check which is which."
        )
    judged_mm = length_mm * JUDGED_PART if judged_to_mm is None else judged_to_mm
    once = located(spot_centre(leading_mm, trailing_mm), division_mm=division_mm, judged_to_mm=judged_mm)
    return Located(once.at_mm, once.u_ruler_mm / sqrt(2), once.u_judged_mm)


def spot_as_read(
    *,
    centre_mm: Decimal | None,
    leading_mm: Decimal | None = None,
    trailing_mm: Decimal | None = None,
    division_mm: Decimal,
    judged_to_mm: Decimal | None = None,
) -> Located | None:
    """A spot's centre from whatever was read of it: its centre, its two edges or both.

    A centre that was read counts before the middle of the edges; the edges then still say how well it can be
    judged, if no half-width is stated. Edges entered the wrong way round give the same centre: saying that
    they are is for `doubts.py`.

    Parameters
    ----------
    centre_mm, leading_mm, trailing_mm : Decimal, optional
        Readings of the centre and of the two edges [mm].
    division_mm : Decimal
        Distance between neighbouring marks of the ruler [mm].
    judged_to_mm : Decimal, optional
        Stated half-width: the centre is judged to within plus or minus this [mm], rectangular.

    Returns
    -------
    Located or None
        None if neither the centre nor both edges were read [mm].

    References
    ----------
    .. [1] JCGM 100:2008, 4.3.7; as for `located` and `between_edges`.
    """
    if leading_mm is not None and trailing_mm is not None:
        upper, lower = max(leading_mm, trailing_mm), min(leading_mm, trailing_mm)
        middle = between_edges(upper, lower, division_mm=division_mm, judged_to_mm=judged_to_mm)
        if centre_mm is None:
            return middle
        return Located(centre_mm, ruler_uncertainty(division_mm), middle.u_judged_mm)
    if centre_mm is None:
        return None
    return located(centre_mm, division_mm=division_mm, judged_to_mm=judged_to_mm or Decimal(0))


def rf_uncertainty(spot: Located, *, origin: Located, front: Located, k: int = COVERAGE) -> RfUncertainty:
    """R_f of one spot with its combined and expanded uncertainty, and what dominates it.

    u(R_f) = (1/L) sqrt(u_s^2 + ((1 - R_f) u_o)^2 + (R_f u_f)^2) with L = front - origin.

    Parameters
    ----------
    spot, origin, front : Located
        The three readings with their uncertainties [mm].
    k : int
        Coverage factor [-].

    Returns
    -------
    RfUncertainty
        Value, u, U, the text to show, and the shares of the variance [-].

    Raises
    ------
    NoUncertaintyError
        If no reading has any uncertainty.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.2 (the three readings are the uncorrelated inputs), 6.2.1.
    """
    rf = retardation_factor(spot_mm=spot.at_mm, origin_mm=origin.at_mm, front_mm=front.at_mm)
    run_mm = float(run_length(origin_mm=origin.at_mm, front_mm=front.at_mm))
    near = float(rf)
    weights = (("spot", 1.0, spot), ("front", near, front), ("origin", 1 - near, origin))
    judged = {key: (weight * place.u_judged_mm) ** 2 for key, weight, place in weights}
    ruled = {key: (weight * place.u_ruler_mm) ** 2 for key, weight, place in weights}
    total = sum(judged.values()) + sum(ruled.values())
    if total == 0:
        raise NoUncertaintyError("No reading is exact: state the ruler's division.")
    u = sqrt(total) / run_mm
    return RfUncertainty(
        rf=rf,
        u=u,
        k=k,
        reported=reported(rf, k * u, k=k),
        causes=_shares({**judged, "ruler": sum(ruled.values())}, total, _NAMES),
        readings=_shares({key: judged[key] + ruled[key] for key in judged}, total, _LINES),
    )


_LINES = {"spot": "the spot", "front": "the solvent front", "origin": "the origin line"}


def _shares(variances: dict[str, float], total: float, names: dict[str, str]) -> tuple[Share, ...]:
    ordered = sorted(variances.items(), key=lambda item: -item[1])
    return tuple(Share(key, names[key], variance / total) for key, variance in ordered)


def reported(value: Decimal, expanded: float | Decimal, *, k: int = COVERAGE) -> ReportedRf:
    """A value and its expanded uncertainty as they are printed: "0.38 ± 0.02 (k = 2)".

    The uncertainty keeps two significant figures if it starts with a 1 (where one figure would change it
    by up to a third), else one; the value is rounded half up to the same place.

    Parameters
    ----------
    value : Decimal
        The value, not rounded [-].
    expanded : float or Decimal
        Its expanded uncertainty U = k u [-], above zero.
    k : int
        The coverage factor that U was made with [-].

    Returns
    -------
    ReportedRf
        The text, and both numbers as rounded [-].

    Raises
    ------
    NoUncertaintyError
        If the value or U is not an ordinary number, or U is not above zero.

    References
    ----------
    .. [1] JCGM 100:2008, 7.2.6 (at most two significant digits; the estimate rounded to match).
    .. [2] Two figures after a leading 1, else one: common practice, no source.

    Examples
    --------
    >>> reported(Decimal("0.3842"), 0.023).text
    '0.38 ± 0.02 (k = 2)'
    """
    wide = Decimal(repr(expanded)) if isinstance(expanded, float) else expanded
    if not wide.is_finite() or wide <= 0:
        raise NoUncertaintyError(f"An expanded uncertainty must be above 0, not {expanded}.")
    if not value.is_finite():
        raise NoUncertaintyError(f"The value is not an ordinary number ({value}).")
    lead = wide.adjusted()
    # 0.0197 with two figures is 0.020; 0.0097 with one figure is 0.01: the place decides, not the figure.
    place = lead - 1 if wide.scaleb(-lead) < 2 else lead
    step = Decimal(1).scaleb(min(place, 0))
    shown = value.quantize(step, context=_WIDE)
    u_shown = wide.quantize(step, context=_WIDE)
    return ReportedRf(f"{shown:f} \N{PLUS-MINUS SIGN} {u_shown:f} (k = {k})", shown, u_shown, k)


def shortest_run_for(
    wanted: float,
    *,
    u_spot_mm: float,
    u_origin_mm: float,
    u_front_mm: float,
    rf: Decimal | None = None,
    k: int = COVERAGE,
) -> Decimal:
    """The shortest run that gives a wanted expanded uncertainty, in whole millimetres.

    Parameters
    ----------
    wanted : float
        Largest expanded uncertainty U of R_f that is accepted [-].
    u_spot_mm, u_origin_mm, u_front_mm : float
        Standard uncertainties of the three readings [mm], as they would be on the longer run.
    rf : Decimal, optional
        Where the spot stands [-]; if not given, the worst place, at the origin line or at the front.
    k : int
        Coverage factor [-].

    Returns
    -------
    Decimal
        Length of the run from the origin line to the front, rounded up [mm].

    Raises
    ------
    NoUncertaintyError
        If the wanted uncertainty is not above zero, or a reading's uncertainty is negative.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.2, solved for the length of the run.
    """
    if not isfinite(wanted) or wanted <= 0:
        raise NoUncertaintyError(f"The wanted uncertainty must be above 0, not {wanted}.")
    if not all(isfinite(u) and u >= 0 for u in (u_spot_mm, u_origin_mm, u_front_mm)):
        raise NoUncertaintyError("The uncertainty of a reading is a distance of 0 mm or more.")
    if rf is None:
        numerator_mm = hypot(u_spot_mm, max(u_origin_mm, u_front_mm))
    else:
        numerator_mm = hypot(u_spot_mm, (1 - float(rf)) * u_origin_mm, float(rf) * u_front_mm)
    # Nine figures: a run of 80.0000000001 mm from binary arithmetic is 80 mm, not 81.
    exact = Decimal(repr(round(k * numerator_mm / wanted, 9)))
    return max(Decimal(1), exact.to_integral_value(rounding=ROUND_CEILING))


def run_words(wanted: float, *, shortest_mm: Decimal, run_mm: Decimal, paper_run_mm: Decimal) -> str:
    """Whether a run was long enough for a wanted uncertainty, as a sentence.

    Parameters
    ----------
    wanted : float
        Largest expanded uncertainty of R_f that is accepted [-].
    shortest_mm : Decimal
        The shortest run for it, from `shortest_run_for` [mm].
    run_mm : Decimal
        The run as measured [mm].
    paper_run_mm : Decimal
        The longest run that this paper allows, from the origin line to its top edge [mm].

    Returns
    -------
    str
        The sentence.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.2.
    """
    if run_mm >= shortest_mm:
        return f"This run of {run_mm:f} mm is long enough for \N{PLUS-MINUS SIGN} {wanted:g}."
    need = (
        f"For \N{PLUS-MINUS SIGN} {wanted:g} the front must run {shortest_mm:f} mm at least;"
        f" it ran {run_mm:f} mm."
    )
    if shortest_mm > paper_run_mm:
        return need + " This paper is too short for that: judge the centres better or use a taller paper."
    return need
