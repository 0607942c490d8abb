"""How far off the ratio of a mixture may be, from how far off each part may be."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt


@dataclass(frozen=True)
class MeasuredPart:
    """One part as measured, in one unit for all parts, with its standard uncertainty in that unit."""

    name: str
    amount: float
    standard: float


@dataclass(frozen=True)
class PartTolerance:
    """Standard uncertainties (k = 1) of a part, of its share of the whole, of its ratio to the first."""

    name: str
    part_percent: float
    share_percent: float
    to_first_percent: float

    @property
    def expanded_share_percent(self) -> float:
        """Of its share, k = 2 [%]."""
        return 2 * self.share_percent


def ratio_tolerance(parts: Sequence[MeasuredPart]) -> tuple[PartTolerance, ...]:
    """Uncertainty of each share f_i = V_i / sum V, and of each ratio V_i / V_1.

    (u(f_i)/f_i)^2 = (1 - f_i)^2 (u_i/V_i)^2 + sum over j other than i of f_j^2 (u_j/V_j)^2. Errors of the
    parts are taken as independent. Where one vessel measured several, its error is shared and the ratio is
    a little better than said.

    Parameters
    ----------
    parts : sequence of MeasuredPart
        As measured, all in mL or all in g, two at least [mL or g].

    Returns
    -------
    tuple of PartTolerance
        In the order given, k = 1 [%].

    Raises
    ------
    ValueError
        Fewer than two parts, or an amount that is not above zero.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.2: combination of independent uncertainties (from memory).
    .. [2] Hand-worked: 15 mL in a 100 mL class B cylinder, 1/sqrt(3)/15 = 3.8 %; in a 25 mL one 1.9 %.
    """
    if len(parts) < 2:
        raise ValueError("A ratio needs two parts at least.")
    for part in parts:
        if not part.amount > 0 or part.standard < 0:
            raise ValueError(f"The amount of {part.name} must be above zero.")
    whole = sum(part.amount for part in parts)
    relative = [part.standard / part.amount for part in parts]
    shares = [part.amount / whole for part in parts]
    others = sum((share * u) ** 2 for share, u in zip(shares, relative, strict=True))
    return tuple(
        PartTolerance(
            name=part.name,
            part_percent=100 * u,
            share_percent=100 * sqrt(max(0.0, ((1 - share) * u) ** 2 + others - (share * u) ** 2)),
            to_first_percent=0.0 if place == 0 else 100 * sqrt(u**2 + relative[0] ** 2),
        )
        for place, (part, u, share) in enumerate(zip(parts, relative, shares, strict=True))
    )
