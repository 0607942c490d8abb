"""Quantities beside R_f: relative to a standard, R_M, and how well neighbouring spots are resolved."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from math import isfinite, log, log10

from practicals.calculations.rf import relative_retardation
from practicals.calculations.uncertainty import (
    COVERAGE,
    Located,
    NoUncertaintyError,
    ReportedRf,
    reported,
    rf_uncertainty,
)

#: Above this two spots count as resolved: European general chapter on planar work, from memory (EP_MEM).
RESOLVED = 1.0


class NoRmError(ValueError):
    """R_M is not defined for this R_f; the message says why."""

    def __init__(self, message: str, rf: Decimal) -> None:
        super().__init__(message)
        self.rf = rf


class NoResolutionError(ValueError):
    """These spots have no resolution; the message says why."""


@dataclass(frozen=True, slots=True)
class Relative:
    """R_rel to a named standard on the same paper [-], with its uncertainty."""

    standard: str
    value: Decimal
    u: float
    k: int
    reported: ReportedRf | None

    @property
    def text(self) -> str:
        """The value with its uncertainty and the standard it refers to."""
        shown = self.reported.text if self.reported else f"{self.value:.2f}"
        return f"{shown}, relative to {self.standard}"


@dataclass(frozen=True, slots=True)
class Resolution:
    """Resolution of two spots [-]: distance of their centres over the mean of their lengths."""

    value: float

    @property
    def resolved(self) -> bool:
        """Whether the spots stand clear of each other."""
        return self.value > RESOLVED

    @property
    def words(self) -> str:
        """What the figure means, as a sentence."""
        if self.resolved:
            return f"Resolution {self.value:.2f}: the spots stand clear of each other."
        if self.value > 0:
            return f"Resolution {self.value:.2f}: the spots touch or overlap, so their edges are uncertain."
        return "Resolution 0: the centres of the two spots coincide."


def relative_to(standard: str, *, spot: Located, reference: Located, origin: Located) -> Relative:
    """R_rel of a spot to a standard on the same paper, which needs no front and may exceed 1.

    u(R_rel) = (1/b) sqrt(u_s^2 + (R_rel u_r)^2 + ((1 - R_rel) u_o)^2), b = standard - origin: the same
    form as R_f with the standard's spot in the place of the front. The standard against itself is 1, exactly.

    Parameters
    ----------
    standard : str
        Name of the standard [-].
    spot, reference, origin : Located
        The spot, the standard's spot and the origin line as read from one zero [mm].

    Returns
    -------
    Relative
        Value, standard uncertainty and text [-].

    Raises
    ------
    NoRetardationFactorError
        If the standard's spot is not above the origin line.

    References
    ----------
    .. [1] IUPAC Gold Book, relative retardation in planar chromatography, doi:10.1351/goldbook.R05276.
    .. [2] JCGM 100:2008, 5.1.2.
    """
    value = relative_retardation(spot_mm=spot.at_mm, standard_mm=reference.at_mm, origin_mm=origin.at_mm)
    if spot is reference:
        return Relative(standard, Decimal(1), 0.0, COVERAGE, None)
    try:
        found = rf_uncertainty(spot, origin=origin, front=reference)
    except NoUncertaintyError:
        return Relative(standard, value, 0.0, COVERAGE, None)
    return Relative(standard, value, found.u, found.k, reported(value, found.expanded))


def rm(rf: Decimal) -> float:
    """R_M = log10((1 - R_f) / R_f), the logarithm of the retention factor.

    Parameters
    ----------
    rf : Decimal
        Retardation factor, above 0 and below 1 [-].

    Returns
    -------
    float
        R_M [-]; 0 at R_f 0.50, positive below.

    Raises
    ------
    NoRmError
        If R_f is 0, 1 or outside that range.

    References
    ----------
    .. [1] IUPAC Gold Book, retention factor (equivalence), goldbook.iupac.org/R05359; formula from memory.

    Examples
    --------
    >>> round(rm(Decimal("0.25")), 3)
    0.477
    """
    if not rf.is_finite():
        raise NoRmError(f"The R_f is not an ordinary number ({rf}), so there is no R_M.", rf)
    if rf < 0 or rf > 1:
        where = "below the origin line" if rf < 0 else "beyond the solvent front"
        raise NoRmError(
            f"R_M is not defined for a spot {where} (R_f {rf}). Check the readings before anything else.", rf
        )
    if rf == 0:
        raise NoRmError(
            "R_M is not defined for a spot that has not left the origin line (R_f 0): its logarithm has no"
            " end. Report the R_f alone.",
            rf,
        )
    if rf == 1:
        raise NoRmError(
            "R_M is not defined for a spot that ran with the solvent front (R_f 1): its logarithm has no"
            " end. Report the R_f alone.",
            rf,
        )
    return log10((1 - float(rf)) / float(rf))


def rm_uncertainty(rf: Decimal, u: float) -> float:
    """Standard uncertainty of R_M, u(R_f) / (ln 10 R_f (1 - R_f)).

    Parameters
    ----------
    rf : Decimal
        Retardation factor, above 0 and below 1 [-].
    u : float
        Standard uncertainty of R_f [-].

    Returns
    -------
    float
        Standard uncertainty of R_M [-]; it grows without end towards R_f 0 and 1.

    Raises
    ------
    NoUncertaintyError
        If u is negative or not an ordinary number.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.2.
    """
    if not isfinite(u) or u < 0:
        raise NoUncertaintyError("A standard uncertainty is a number of 0 or more.")
    rm(rf)  # refuses what has no R_M
    return u / (log(10) * float(rf) * (1 - float(rf)))


def resolution(
    *, leading_mm: Decimal, trailing_mm: Decimal, next_leading_mm: Decimal, next_trailing_mm: Decimal
) -> Resolution:
    """Resolution of two spots from their edges, R_s = 2 (distance of centres) / (sum of lengths).

    Parameters
    ----------
    leading_mm, trailing_mm : Decimal
        Edges of the one spot [mm].
    next_leading_mm, next_trailing_mm : Decimal
        Edges of the other, in the same direction [mm].

    Returns
    -------
    Resolution
        R_s [-], never negative.

    Raises
    ------
    NoResolutionError
        If a leading edge is below its trailing edge, or neither spot has any length.

    References
    ----------
    .. [1] IUPAC Gold Book, peak resolution, doi:10.1351/goldbook.P04465; centre distances and spot lengths
       put in the place of times and widths (derived).
    """
    lengths = leading_mm - trailing_mm, next_leading_mm - next_trailing_mm
    if not all(length.is_finite() for length in lengths):
        raise NoResolutionError("An edge is not an ordinary number. Enter distances in millimetres.")
    if min(lengths) < 0:
        raise NoResolutionError(
            "A leading edge is below its trailing edge. The leading edge is the one nearer the solvent front."
        )
    if sum(lengths) == 0:
        raise NoResolutionError("Both spots have no length, so they have no resolution. Read their edges.")
    apart_mm = abs((leading_mm + trailing_mm) - (next_leading_mm + next_trailing_mm)) / 2
    return Resolution(float(2 * apart_mm / sum(lengths)))
