"""Vapour above an ideal mixture."""

from decimal import Decimal


def partial_pressure(pure_pressure: Decimal, mole_fraction: Decimal) -> Decimal:
    """Partial pressure of one component above an ideal mixture: p = x p0 (Raoult's law).

    Alcohols and water are far from ideal: above them there is more vapour than this says.

    Parameters
    ----------
    pure_pressure : Decimal
        Vapour pressure of the pure component at that temperature [any unit of pressure].
    mole_fraction : Decimal
        Its mole fraction in the liquid, 0 to 1 [-].

    Returns
    -------
    Decimal
        Partial pressure, in the unit given [any unit of pressure].

    Raises
    ------
    ValueError
        A pressure below zero, or a mole fraction outside 0 to 1.

    References
    ----------
    .. [1] OpenStax, Chemistry 2e, section Colligative Properties (`ost_m68783` in SOURCES.csv).
    """
    if not pure_pressure.is_finite() or pure_pressure < 0:
        raise ValueError("A vapour pressure cannot be below zero.")
    if not mole_fraction.is_finite() or not 0 <= mole_fraction <= 1:
        raise ValueError("A mole fraction lies between 0 and 1.")
    return pure_pressure * mole_fraction
