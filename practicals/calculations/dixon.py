"""Dixon's r10 for a few values: the gap of the suspect from its neighbour over the whole range.

Shown where a handout asks for "the Q test"; the class's own test is Grubbs's (`outliers`).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from practicals.calculations.spread import Number, numbers

# Two-sided levels; the same columns read one-sided are 5 %, 2.5 %, 1 % and 0.5 %. Copied tables often
# mix the two up. Values by numerical integration of the density of order statistics.
_LEVELS = (0.10, 0.05, 0.02, 0.01)
_CRITICAL = {
    3: (0.9413, 0.9702, 0.9880, 0.9940),
    4: (0.7655, 0.8298, 0.8894, 0.9207),
    5: (0.6424, 0.7102, 0.7810, 0.8232),
    6: (0.5624, 0.6275, 0.6983, 0.7427),
    7: (0.5073, 0.5690, 0.6372, 0.6811),
    8: (0.4671, 0.5256, 0.5911, 0.6336),
    9: (0.4363, 0.4922, 0.5551, 0.5963),
    10: (0.4119, 0.4656, 0.5263, 0.5661),
    11: (0.3920, 0.4438, 0.5026, 0.5413),
    12: (0.3754, 0.4257, 0.4827, 0.5204),
    13: (0.3613, 0.4102, 0.4658, 0.5026),
    14: (0.3491, 0.3969, 0.4512, 0.4872),
    15: (0.3385, 0.3852, 0.4385, 0.4737),
    16: (0.3292, 0.3750, 0.4272, 0.4618),
    17: (0.3209, 0.3658, 0.4171, 0.4511),
    18: (0.3134, 0.3576, 0.4080, 0.4416),
    19: (0.3066, 0.3501, 0.3998, 0.4329),
    20: (0.3005, 0.3433, 0.3924, 0.4250),
    21: (0.2949, 0.3371, 0.3856, 0.4178),
    22: (0.2897, 0.3314, 0.3793, 0.4111),
    23: (0.2849, 0.3262, 0.3735, 0.4050),
    24: (0.2805, 0.3213, 0.3681, 0.3993),
    25: (0.2764, 0.3167, 0.3631, 0.3940),
    26: (0.2726, 0.3125, 0.3584, 0.3890),
    27: (0.2690, 0.3085, 0.3540, 0.3844),
    28: (0.2656, 0.3048, 0.3499, 0.3800),
    29: (0.2624, 0.3013, 0.3460, 0.3759),
    30: (0.2594, 0.2980, 0.3424, 0.3720),
}


@dataclass(frozen=True, slots=True)
class Dixon:
    """The suspect, Q = gap / range [-], its critical value and the verdict; None where there is no test."""

    n: int
    value: float | None
    statistic: float | None
    critical: float | None
    outlier: bool | None
    alpha: float
    sides: int
    reason: str = ""


def dixon_critical(n: int, *, alpha: float = 0.05, sides: int = 2) -> float:
    """Critical value of Dixon's r10, from a table.

    Parameters
    ----------
    n : int
        How many values, 3 to 30.
    alpha : float
        Level of significance [-]: two-sided 0.10, 0.05, 0.02 or 0.01; one-sided half of these.
    sides : int
        1 or 2.

    Returns
    -------
    float
        Critical value [-].

    Raises
    ------
    ValueError
        If the table has no such value.

    References
    ----------
    .. [1] Rorabacher D. B., Anal. Chem. 63 (1991) 139-146; recomputed, and 0.003 apart at most.
    """
    level = alpha * 2 if sides == 1 else alpha
    place = next((place for place, known in enumerate(_LEVELS) if abs(known - level) < 1e-9), None)
    if n not in _CRITICAL or place is None:
        raise ValueError(f"There is no critical value of Dixon's test for {n} values at {alpha:g}.")
    return _CRITICAL[n][place]


def dixon(
    values: Sequence[Number],
    *,
    alpha: float = 0.05,
    sides: int = 2,
    suspect: Literal["low", "high", ""] = "",
    from_values: int = 6,
) -> Dixon:
    """Dixon's r10 test of the lowest or the highest value.

    Parameters
    ----------
    values : Sequence[Number]
        Values [any unit].
    alpha : float
        Level of significance [-].
    sides : int
        1 where the side was fixed before looking, else 2.
    suspect : Literal["low", "high", ""]
        Which end is tested; empty for the end with the larger gap.
    from_values : int
        No test below this many values.

    Returns
    -------
    Dixon
        The verdict, or the reason why there is none.

    Raises
    ------
    NotANumberError
        If a value is no ordinary number.

    References
    ----------
    .. [1] Dixon W. J., Ann. Math. Stat. 21 (1950) 488-506 (r10).
    """
    ordered = sorted(numbers(values))
    n = len(ordered)
    least = max(from_values, min(_CRITICAL))
    if n < least:
        reason = f"Not enough readings for an outlier test: {n}, and it takes at least {least}."
        return Dixon(n, None, None, None, None, alpha, sides, reason)
    if n > max(_CRITICAL):
        reason = f"Dixon's test is for a few values, at most {max(_CRITICAL)}; there are {n}."
        return Dixon(n, None, None, None, None, alpha, sides, reason)
    whole = ordered[-1] - ordered[0]
    if whole == 0:
        reason = f"All {n} values are equal, so none of them can stand out."
        return Dixon(n, None, None, None, None, alpha, sides, reason)
    low, high = (ordered[1] - ordered[0]) / whole, (ordered[-1] - ordered[-2]) / whole
    at_low_end = suspect == "low" or (not suspect and low > high)
    value, statistic = (ordered[0], low) if at_low_end else (ordered[-1], high)
    critical = dixon_critical(n, alpha=alpha, sides=sides)
    return Dixon(n, value, statistic, critical, statistic > critical, alpha, sides)
