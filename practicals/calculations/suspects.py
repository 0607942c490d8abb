"""How many values of a set look odd, which decides whether one or several outliers are looked for."""

from __future__ import annotations

from collections.abc import Sequence
from statistics import median

from practicals.calculations.spread import MAD_TO_SIGMA, Number, mad_about, numbers

# Half of the second decimal: with a ruler in whole millimetres most of a class may agree exactly, and
# then every other value would look odd.
LEAST_SPREAD = 0.005
_FAR = 3.0

RULE = (
    "One odd value is tested by Grubbs’s test. Where two or more values lie further from the median than"
    " three times 1.4826 MAD, the generalised ESD procedure looks for that many, because two odd values"
    " together hide each other."
)


def suspected(values: Sequence[Number], *, least_spread: float = LEAST_SPREAD) -> int:
    """How many values lie far from the median; at least one is always looked for.

    Parameters
    ----------
    values : Sequence[Number]
        Values [any unit].
    least_spread : float
        The spread is taken to be at least this [unit of the values].

    Returns
    -------
    int
        1 for Grubbs's test, more for the generalised ESD procedure; never more than half the values.

    Raises
    ------
    NotANumberError
        If a value is no ordinary number.

    References
    ----------
    .. [1] Iglewicz B., Hoaglin D., How to Detect and Handle Outliers, 1993 (3.5 scaled MAD; from memory).
       Three is this project's choice; the test itself decides.
    """
    found = numbers(values)
    if not found:
        return 1
    middle = median(found)
    reach = _FAR * max(MAD_TO_SIGMA * mad_about(found, middle), least_spread)
    far = sum(abs(value - middle) > reach for value in found)
    return max(1, min(far, (len(found) - 1) // 2))
