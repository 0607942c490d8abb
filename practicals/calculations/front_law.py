"""The law by which a front rises in paper, fitted to heights and times: z^2 = k t - b.

Heights are above the liquid's surface. Measured from the origin line they break the law, and the early
part of a run then predicts the end far too late.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import isfinite, log, sqrt
from statistics import median


class NoFitError(ValueError):
    """These heights and times give no law; the message says why."""


@dataclass(frozen=True, slots=True)
class FrontHeight:
    """One height of the front above the liquid's surface [mm] and the time since the start [min]."""

    minutes: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class FrontFit:
    """z^2 = k t - b by least squares: k [mm^2/min], b [mm^2], root mean square misfit of z [mm]."""

    k: float
    b: float
    rms_mm: float
    count: int

    def minutes_to(self, height_mm: float) -> float:
        """Time since the start at which the front reaches a height [min]."""
        return (height_mm**2 + self.b) / self.k


@dataclass(frozen=True, slots=True)
class UsualRate:
    """The rate of past runs of a practical [mm^2/min]: median, lowest, highest, and how many."""

    k: float
    lowest: float
    highest: float
    count: int

    def minutes_to(self, height_mm: float) -> tuple[float, float, float]:
        """Time to a height at the median, the highest and the lowest rate [min]."""
        square = height_mm**2
        return square / self.k, square / self.highest, square / self.lowest


def above_liquid(*, above_edge_mm: Decimal, immersed_mm: Decimal) -> float:
    """Height of the front above the liquid's surface.

    Parameters
    ----------
    above_edge_mm : Decimal
        Height of the front above the paper's lower edge [mm].
    immersed_mm : Decimal
        How deep the lower edge stands in the liquid [mm].

    Returns
    -------
    float
        Height above the surface [mm].

    Raises
    ------
    NoFitError
        If the front would be under the liquid, or a figure is no distance.

    References
    ----------
    .. [1] Lucas-Washburn: the column of liquid starts at the surface (MC_KIN in SOURCES.csv).
    """
    if not (above_edge_mm.is_finite() and immersed_mm.is_finite()) or immersed_mm < 0:
        raise NoFitError("Heights are distances in millimetres, and the immersed depth is 0 mm or more.")
    height_mm = float(above_edge_mm - immersed_mm)
    if height_mm < 0:
        raise NoFitError(
            f"The front at {above_edge_mm} mm would be under the liquid, which reaches {immersed_mm} mm up"
            " the paper. Measure its height from the paper's lower edge."
        )
    return height_mm


def fit_through_start(heights: Sequence[FrontHeight]) -> FrontFit:
    """The plain square-root law z^2 = k t, by least squares of z^2 on t.

    Parameters
    ----------
    heights : Sequence[FrontHeight]
        At least one height after the start [min, mm].

    Returns
    -------
    FrontFit
        With b = 0.

    Raises
    ------
    NoFitError
        If no height is above the liquid after the start, or a figure is impossible.

    References
    ----------
    .. [1] Lucas-Washburn; least squares as for the series in SOURCES.csv (K_WF, K_GER, K_TEA).
    """
    _refuse_impossible(heights)
    weight = sum(reading.minutes**2 for reading in heights)
    moved = sum(reading.minutes * reading.height_mm**2 for reading in heights)
    if weight == 0 or moved == 0:
        raise NoFitError("No height of the front after the start is known yet.")
    return _with_misfit(moved / weight, 0.0, heights)


def fit_with_offset(heights: Sequence[FrontHeight]) -> FrontFit:
    """The law with an offset, z^2 = k t - b, by least squares of z^2 on t.

    Parameters
    ----------
    heights : Sequence[FrontHeight]
        At least two heights at different times [min, mm].

    Returns
    -------
    FrontFit
        k above zero; b is negative if the front was ahead from the start.

    Raises
    ------
    NoFitError
        If there are fewer than two times, the front did not rise, or a figure is impossible.

    References
    ----------
    .. [1] Muller R. H., Clegg D. L., Anal. Chem. 23, 408 (1951): h^2 = D t - b (MC_KIN in SOURCES.csv).
    """
    _refuse_impossible(heights)
    count = len(heights)
    if len({reading.minutes for reading in heights}) < 2:
        raise NoFitError("Heights at two different times at least are needed.")
    mean_t = sum(reading.minutes for reading in heights) / count
    mean_square = sum(reading.height_mm**2 for reading in heights) / count
    spread = sum((reading.minutes - mean_t) ** 2 for reading in heights)
    together = sum((r.minutes - mean_t) * (r.height_mm**2 - mean_square) for r in heights)
    if together <= 0:
        raise NoFitError("The front does not rise in these readings. Measure it again, from the lower edge.")
    k = together / spread
    return _with_misfit(k, k * mean_t - mean_square, heights)


def exponent(heights: Sequence[FrontHeight]) -> float:
    """Exponent n of z = a t^n through all heights after the start; 0.5 for the square-root law.

    Parameters
    ----------
    heights : Sequence[FrontHeight]
        At least two heights at different times after the start [min, mm].

    Returns
    -------
    float
        n [-].

    Raises
    ------
    NoFitError
        If fewer than two different times are left.

    References
    ----------
    .. [1] Least squares of log z on log t.
    """
    _refuse_impossible(heights)
    points = [(log(r.minutes), log(r.height_mm)) for r in heights if r.minutes > 0 and r.height_mm > 0]
    if len({x for x, _ in points}) < 2:
        raise NoFitError("Heights at two different times after the start are needed.")
    mean_x = sum(x for x, _ in points) / len(points)
    mean_y = sum(y for _, y in points) / len(points)
    spread = sum((x - mean_x) ** 2 for x, _ in points)
    return sum((x - mean_x) * (y - mean_y) for x, y in points) / spread


def usual_rate(past: Sequence[float]) -> UsualRate | None:
    """What past runs of one practical say about the next.

    Parameters
    ----------
    past : Sequence[float]
        Their rates k [mm^2/min]; anything that is not above zero is left out.

    Returns
    -------
    UsualRate or None
        None if no run is left.

    References
    ----------
    .. [1] Median and range: common practice, no source.
    """
    rates = [k for k in past if isfinite(k) and k > 0]
    return UsualRate(median(rates), min(rates), max(rates), len(rates)) if rates else None


def _refuse_impossible(heights: Sequence[FrontHeight]) -> None:
    for reading in heights:
        if not (isfinite(reading.minutes) and isfinite(reading.height_mm)):
            raise NoFitError("A height or a time is not an ordinary number.")
        if reading.minutes < 0:
            raise NoFitError("A height was read before the start. Check the times.")
        if reading.height_mm < 0:
            raise NoFitError("A height is below the liquid's surface. Measure it from the lower edge.")


def _with_misfit(k: float, b: float, heights: Sequence[FrontHeight]) -> FrontFit:
    misfits = [reading.height_mm - sqrt(max(0.0, k * reading.minutes - b)) for reading in heights]
    return FrontFit(k, b, sqrt(sum(misfit**2 for misfit in misfits) / len(heights)), len(heights))
