"""When two spots can be told apart: on one paper more finely than on two.

Origin and front are shared by the spots of one paper and nearly drop out of their difference.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from math import hypot, inf, isfinite

from practicals.calculations.rf import retardation_factor, run_length
from practicals.calculations.uncertainty import COVERAGE, Located, NoUncertaintyError


@dataclass(frozen=True, slots=True)
class Difference:
    """Difference of two R_f [-] with its own standard uncertainty."""

    delta: float
    u: float
    k: int = COVERAGE

    @property
    def z(self) -> float:
        """The difference in standard uncertainties [-]."""
        if self.u == 0:
            return 0.0 if self.delta == 0 else inf
        return self.delta / self.u

    @property
    def told_apart(self) -> bool:
        """Whether the difference is larger than k u."""
        # A hair of slack: binary 0.42 - 0.38 is a little more than 0.04.
        return abs(self.delta) > self.k * self.u * (1 + 1e-9)

    @property
    def words(self) -> str:
        """The difference, its expanded uncertainty and what follows, as a sentence."""
        size, limit = abs(self.delta), self.k * self.u
        if self.told_apart:
            return (
                f"They differ by {size:.3f}, more than the {limit:.3f} (k = {self.k}) that readings can"
                " account for: they can be told apart."
            )
        return (
            f"They differ by {size:.3f}, within the {limit:.3f} (k = {self.k}) that readings can account for:"
            " they cannot be told apart."
        )


def difference_on_one_paper(
    first: Located,
    second: Located,
    *,
    origin: Located,
    front: Located,
    first_front: Located | None = None,
    second_front: Located | None = None,
    k: int = COVERAGE,
) -> Difference:
    """Difference of the R_f of two spots on one paper, with its own, smaller uncertainty.

    With one front: u = (1/L) sqrt(u_1^2 + u_2^2 + delta^2 (u_o^2 + u_f^2)); origin and front nearly drop
    out. A lane with its own front has that reading to itself; the origin line stays shared.

    Parameters
    ----------
    first, second : Located
        The centres of the two spots [mm].
    origin, front : Located
        The origin line and the paper's solvent front [mm].
    first_front, second_front : Located, optional
        The front of either lane where it has its own [mm].
    k : int
        Coverage factor [-].

    Returns
    -------
    Difference
        First less second, and its standard uncertainty [-].

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.2 (sensitivities of the difference to each reading).

    Examples
    --------
    >>> at = [Located(Decimal(mm), 0.29) for mm in (72, 74, 10, 110)]
    >>> round(difference_on_one_paper(at[0], at[1], origin=at[2], front=at[3]).u, 6)
    0.004102
    """
    one, other = first_front or front, second_front or front
    runs = [float(run_length(origin_mm=origin.at_mm, front_mm=end.at_mm)) for end in (one, other)]
    rfs = [
        float(retardation_factor(spot_mm=spot.at_mm, origin_mm=origin.at_mm, front_mm=end.at_mm))
        for spot, end in ((first, one), (second, other))
    ]
    by_front = [rf / run for rf, run in zip(rfs, runs, strict=True)]
    by_origin = (1 - rfs[0]) / runs[0] - (1 - rfs[1]) / runs[1]
    parts = [first.u_mm / runs[0], second.u_mm / runs[1], by_origin * origin.u_mm]
    if first_front is None and second_front is None:
        parts.append((by_front[0] - by_front[1]) * front.u_mm)
    else:
        parts += [by_front[0] * one.u_mm, by_front[1] * other.u_mm]
    return Difference(rfs[0] - rfs[1], hypot(*parts), k)


def difference_between_papers(
    first_rf: Decimal, second_rf: Decimal, *, u_first: float, u_second: float, k: int = COVERAGE
) -> Difference:
    """Difference of two R_f from different papers, which share no reading.

    Parameters
    ----------
    first_rf, second_rf : Decimal
        The two values [-].
    u_first, u_second : float
        Their standard uncertainties [-].
    k : int
        Coverage factor [-].

    Returns
    -------
    Difference
        First less second, and its standard uncertainty [-].

    Raises
    ------
    NoUncertaintyError
        If an uncertainty is negative or not an ordinary number.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.2.
    """
    if not all(isfinite(u) and u >= 0 for u in (u_first, u_second)):
        raise NoUncertaintyError("A standard uncertainty is a number of 0 or more.")
    return Difference(float(first_rf - second_rf), hypot(u_first, u_second), k)
