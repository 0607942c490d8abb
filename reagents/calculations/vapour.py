"""Vapour pressures of the solvents, between the figures of a computed table."""

from decimal import Decimal
from functools import cache
from math import exp, log

from reagents.calculations.tables import rows

ZERO_C = 273.15
ATMOSPHERE_KPA = 101.325


@cache
def _points(name: str) -> tuple[tuple[float, float], ...]:
    found = [
        (float(row["temperature_c"]), float(row["pressure_kpa"]))
        for row in rows("vapour_pressures")
        if row["substance"] == name
    ]
    if not found:
        return ()
    boiling = next((float(row["boiling_c"]) for row in rows("fuels") if row["substance"] == name), None)
    if boiling is not None and all(boiling - t > 1 for t, _ in found):
        found.append((boiling, ATMOSPHERE_KPA))
    return tuple(sorted(found))


def vapour_pressure_kpa(name: str, temperature_c: Decimal) -> Decimal | None:
    """Vapour pressure of a pure solvent, ln p straight in 1/T between two figures of the table.

    Parameters
    ----------
    name : str
        Name of the substance [-].
    temperature_c : Decimal
        Temperature [°C].

    Returns
    -------
    Decimal or None
        Vapour pressure [kPa]; None for a substance that is not in the table.

    References
    ----------
    .. [1] Clausius-Clapeyron between neighbouring figures; `reagents/data/vapour_pressures.csv`, computed
       with thermo 0.6.0, and the boiling point at 101.325 kPa.
    """
    points = _points(name)
    if len(points) < 2:
        return None
    kelvin = max(float(temperature_c) + ZERO_C, 1.0)
    place = sum(1 for t, _ in points[1:-1] if t + ZERO_C <= kelvin)
    (t1, p1), (t2, p2) = points[place], points[place + 1]
    slope = (log(p2) - log(p1)) / (1 / (t2 + ZERO_C) - 1 / (t1 + ZERO_C))
    return Decimal(repr(exp(log(p1) + slope * (1 / kelvin - 1 / (t1 + ZERO_C)))))


def saturated_percent(name: str, temperature_c: Decimal) -> Decimal | None:
    """Share of vapour in air that stands over the pure liquid.

    Parameters
    ----------
    name : str
        Name of the substance [-].
    temperature_c : Decimal
        Temperature [°C].

    Returns
    -------
    Decimal or None
        Vapour pressure over 101.325 kPa, at most 100 [% v/v]; None where no figure is known.

    References
    ----------
    .. [1] Dalton's law at one atmosphere.
    """
    pressure = vapour_pressure_kpa(name, temperature_c)
    if pressure is None:
        return None
    return min(pressure * 100 / Decimal(str(ATMOSPHERE_KPA)), Decimal(100))
