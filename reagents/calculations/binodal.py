"""Butan-1-ol, ethanoic acid and water: the measured edge of two phases, its band of doubt, tie lines.

Shares are by mass, 0 to 1. A point of the diagram is given by its acid and by `u`, the share of butan-1-ol
in what is not acid. Nothing here predicts: the curve runs through measured points and has its doubt stated.
"""

from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache
from math import exp, log

from reagents.calculations.tables import rows

BUTANOL, ACID, WATER = "butan-1-ol", "ethanoic acid", "water"
TERNARY = (BUTANOL, ACID, WATER)
MEASURED_AT_C = Decimal(20)
#: Ends of the curve without acid: water saturated with butan-1-ol, and the reverse (`nist_butanol`, 25 °C).
U_WATERY, U_ORGANIC = 0.07417, 0.79682
#: Least squares on the 12 cloud points, one group's two tables averaged: rms 0.7, largest 1.6 % w/w acid.
_FACTOR, _RISE, _FALL, _LEAN = 0.14543, 0.12827, 0.72172, 1.81854
#: Half the width of the doubt, in acid: the largest residual of the fit, so that no measured cloud point is
#: called clear or cloudy.
BAND = 0.016
#: Above this every ratio of butan-1-ol to water is one phase: no cloud point was found above 0.155.
ALWAYS_ONE = 0.17
#: Half the width of the doubt sideways, which counts where the curve is steep: published ends differ by 0.003
#: to 0.004, and were measured at 25 and 30 °C.
BAND_SIDEWAYS = 0.010
#: Ratio of acid between the layers when there is little (`perry_k_mem`, from memory), and how it falls.
_DILUTE_RATIO, _RATIO_ENDS, _RATIO_FALLS = 1.613, 0.125, 0.465
#: Watery acid of the last measured tie line, and where the rule stops having one line for one mixture.
LAST_MEASURED, LAST_TIE_LINE = 0.1031, 0.118
_STEPS = 100
# Halvings of the search: 2^-40 is far below anything that was measured.
_HALVINGS = 40


@dataclass(frozen=True)
class Point:
    """A mixture by shares of the mass, together 1 [-]; `kind` and `source_key` say what was measured."""

    butanol: float
    acid: float
    water: float
    kind: str = ""
    source_key: str = ""

    @property
    def u(self) -> float:
        """Share of butan-1-ol in what is not acid, 0 where there is nothing but acid."""
        rest = self.butanol + self.water
        return self.butanol / rest if rest else 0.0


@dataclass(frozen=True)
class TieLine:
    """Two layers that stand together and what they came from; shares of the whole by mass [-]."""

    watery: Point
    organic: Point
    organic_mass_share: float
    measured_range: bool


def acid_on_curve(u: float) -> float:
    """Acid at which a mixture stops parting: 0.14543 s^0.12827 (1 - s)^0.72172 (1 + 1.81854 s).

    s runs from 0 to 1 between the two ends without acid.

    Parameters
    ----------
    u : float
        Butan-1-ol/(butan-1-ol + water) by mass [-].

    Returns
    -------
    float
        Acid, share of the mass [-]; 0 outside the ends.

    References
    ----------
    .. [1] `calc_interp` in `reagents/data/SOURCES.csv`: least squares on the cloud points of
       `reagents/data/binodal.csv`, 20 °C.
    """
    s = (u - U_WATERY) / (U_ORGANIC - U_WATERY)
    return _FACTOR * s**_RISE * (1 - s) ** _FALL * (1 + _LEAN * s) if 0 < s < 1 else 0.0


def doubt(u: float) -> tuple[float, float] | None:
    """The acid between which nobody can say whether a mixture parts.

    The band is 0.016 up and down in acid but ends at 0.17, and 0.010 sideways in `u`, which counts where the
    curve is steep.

    Parameters
    ----------
    u : float
        Butan-1-ol/(butan-1-ol + water) by mass [-].

    Returns
    -------
    tuple of float, or None
        Lower and upper edge, shares of the mass [-]; None where every mixture is one phase.

    References
    ----------
    .. [1] Largest residual of `calc_interp`; ends without acid: `nist_butanol`, `nist_butanol_30`,
       `iupac_sds`.
    """
    if not U_WATERY - BAND_SIDEWAYS < u < U_ORGANIC + BAND_SIDEWAYS:
        return None
    beside = [acid_on_curve(u + step) for step in (-BAND_SIDEWAYS, BAND_SIDEWAYS)]
    here = acid_on_curve(u)
    return max(0.0, min(here - BAND, *beside)), min(ALWAYS_ONE, max(here + BAND, *beside))


@cache
def top_of_curve() -> Point:
    """Where the two-phase region reaches highest.

    Returns
    -------
    Point
        Shares by mass [-].

    References
    ----------
    .. [1] Largest value of `acid_on_curve`, found by halving an interval of its slope.
    """
    low, high = U_WATERY, U_ORGANIC
    for _ in range(_HALVINGS):
        third = (high - low) / 3
        if acid_on_curve(low + third) < acid_on_curve(high - third):
            low += third
        else:
            high -= third
    return at(acid_on_curve(low), low)


def at(acid: float, u: float) -> Point:
    """The mixture with this acid and this share of butan-1-ol in the rest.

    Parameters
    ----------
    acid : float
        Ethanoic acid, share of the mass [-].
    u : float
        Butan-1-ol/(butan-1-ol + water) by mass [-].

    Returns
    -------
    Point
        Shares by mass [-].

    References
    ----------
    .. [1] Definition of u.
    """
    return Point(u * (1 - acid), acid, (1 - u) * (1 - acid))


def _on_branch(acid: float, *, organic: bool) -> Point:
    """The point of the curve with this acid, on the watery or on the organic side of its top."""
    low, high = (U_ORGANIC, top_of_curve().u) if organic else (U_WATERY, top_of_curve().u)
    for _ in range(_HALVINGS):
        middle = (low + high) / 2
        if acid_on_curve(middle) < acid:
            low = middle
        else:
            high = middle
    return at(acid, high if acid else low)


def _ends(watery_acid: float) -> tuple[Point, Point]:
    ratio = exp(log(_DILUTE_RATIO) * (1 - watery_acid / _RATIO_ENDS) ** _RATIO_FALLS)
    return _on_branch(watery_acid, organic=False), _on_branch(watery_acid * ratio, organic=True)


def _beside(point: Point, ends: tuple[Point, Point]) -> float:
    """On which side of the line through the ends the point lies; 0 on it."""
    watery, organic = ends
    return (organic.butanol - watery.butanol) * (point.acid - watery.acid) - (organic.acid - watery.acid) * (
        point.butanol - watery.butanol
    )


@lru_cache(maxsize=256)
def tie_line(point: Point) -> TieLine | None:
    """The layers into which a mixture parts: the tie line of the rule that passes through it.

    ln(w organic / w watery) = ln 1.613 (1 - w watery/0.125)^0.465 for the acid, both ends on the curve. The
    exponent is fitted to three measured pairs of layers: an interpolation and nothing more.

    Parameters
    ----------
    point : Point
        The whole mixture, below the curve [-].

    Returns
    -------
    TieLine or None
        None on or above the curve, and near its top, where no tie line was measured and the rule fails.

    References
    ----------
    .. [1] Layers of `lab_report_a`, `lab_report_b_masses`, `lab_report_c`; 1.613 from `perry_k_mem` (memory).
    .. [2] Lever rule: conservation of mass.
    """
    if not U_WATERY < point.u < U_ORGANIC or point.acid >= acid_on_curve(point.u):
        return None
    low, high = 0.0, LAST_TIE_LINE
    if _beside(point, _ends(high)) > 0:
        return None
    for _ in range(_HALVINGS if point.acid else 0):
        middle = (low + high) / 2
        if _beside(point, _ends(middle)) > 0:
            low = middle
        else:
            high = middle
    watery, organic = _ends(low)
    share = (point.butanol - watery.butanol) / (organic.butanol - watery.butanol)
    return TieLine(watery, organic, share, low <= LAST_MEASURED) if 0 < share < 1 else None


@cache
def measured(kind: str) -> tuple[Point, ...]:
    """Points that people measured.

    Parameters
    ----------
    kind : str
        "binodal" (cloud points), "plait", "overall", "aqueous" or "organic" (ends of tie lines) [-].

    Returns
    -------
    tuple of Point
        Shares by mass [-].

    References
    ----------
    .. [1] `reagents/data/binodal.csv`; keys in `reagents/data/SOURCES.csv`.
    """
    return tuple(_point(row) for row in rows("binodal") if row["phase"] == kind)


@cache
def measured_tie_lines() -> tuple[tuple[Point, Point], ...]:
    """Pairs of layers that people measured: watery and organic end, acid titrated, the rest from the curve.

    Returns
    -------
    tuple of tuple of Point
        Shares by mass [-].

    References
    ----------
    .. [1] `reagents/data/binodal.csv`: `nist_butanol`, `lab_report_a`, `lab_report_b_masses`, `lab_report_c`.
    """
    ends: dict[str, dict[str, Point]] = {}
    for row in rows("binodal"):
        if row["tie_line_id"]:
            ends.setdefault(row["tie_line_id"], {})[row["phase"]] = _point(row)
    return tuple((pair["aqueous"], pair["organic"]) for pair in ends.values())


def _point(row: dict[str, str]) -> Point:
    return Point(
        float(row["w_butanol"]),
        float(row["w_acetic"]),
        float(row["w_water"]),
        row["phase"],
        row["source_key"],
    )


def curve_points() -> tuple[Point, ...]:
    """The curve from one end to the other, closer together where it is steep.

    Returns
    -------
    tuple of Point
        Shares by mass [-].

    References
    ----------
    .. [1] `acid_on_curve`.
    """
    return tuple(at(acid_on_curve(u), u) for u in _spread(U_WATERY, U_ORGANIC))


def band_points() -> tuple[tuple[Point, ...], tuple[Point, ...]]:
    """Lower and upper edge of the band of doubt.

    Returns
    -------
    tuple of tuple of Point
        Shares by mass [-].

    References
    ----------
    .. [1] `doubt`.
    """
    inside = 1e-9  # the band is open at its ends
    edges = [
        (u, found)
        for u in _spread(U_WATERY - BAND_SIDEWAYS + inside, U_ORGANIC + BAND_SIDEWAYS - inside)
        if (found := doubt(u))
    ]
    return tuple(at(low, u) for u, (low, _) in edges), tuple(at(high, u) for u, (_, high) in edges)


def _spread(first: float, last: float) -> list[float]:
    """From first to last, at distances that shrink towards both."""
    places = [step / _STEPS for step in range(_STEPS + 1)]
    return [first + (last - first) * t * t * (3 - 2 * t) for t in places]
