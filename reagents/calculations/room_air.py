"""Vapour in the air of a room that is taken as well mixed, and how fast an open dish gives it off."""

from decimal import Decimal
from math import pi

from reagents.calculations.vapour import ZERO_C, vapour_pressure_kpa

MOLAR_VOLUME_20_L = Decimal("24.055")
MMHG_KPA = Decimal("0.133322")
SQUARE_FOOT_CM2 = Decimal("929.0304")
POUND_G = Decimal("453.59237")


class ImpossibleRoom(ValueError):
    """A room or a rate that cannot be; the message is a sentence."""


def _above_zero(value: Decimal, sentence: str) -> None:
    if not value.is_finite() or value <= 0:
        raise ImpossibleRoom(sentence)


def _not_below_zero(value: Decimal, sentence: str) -> None:
    if not value.is_finite() or value < 0:
        raise ImpossibleRoom(sentence)


def ppm_of(mg_per_m3: Decimal, molar_mass: Decimal) -> Decimal:
    """Parts per million by volume of a vapour at 20 °C and one atmosphere.

    Parameters
    ----------
    mg_per_m3 : Decimal
        Concentration [mg/m3].
    molar_mass : Decimal
        Molar mass [g/mol].

    Returns
    -------
    Decimal
        Concentration x 24.055/M [ppm].

    Raises
    ------
    ImpossibleRoom
        When the molar mass is not above zero.

    References
    ----------
    .. [1] EH40/2005, 4th edition (2020): ppm and mg/m3 agree by 24.055 L/mol at 20 °C, `eh40_table`.
    """
    _above_zero(molar_mass, "A molar mass must be above 0 g/mol.")
    return mg_per_m3 * MOLAR_VOLUME_20_L / molar_mass


def mg_per_m3_of(ppm: Decimal, molar_mass: Decimal) -> Decimal:
    """Mass of vapour in a cubic metre at 20 °C and one atmosphere.

    Parameters
    ----------
    ppm : Decimal
        Parts per million by volume [ppm].
    molar_mass : Decimal
        Molar mass [g/mol].

    Returns
    -------
    Decimal
        Concentration x M/24.055 [mg/m3].

    References
    ----------
    .. [1] As `ppm_of`.
    """
    return ppm * molar_mass / MOLAR_VOLUME_20_L


def steady_mg_per_m3(grams_per_hour: Decimal, room_m3: Decimal, changes_per_h: Decimal) -> Decimal | None:
    """Concentration that a constant source settles at: G/Q with Q = n V.

    Parameters
    ----------
    grams_per_hour : Decimal
        Rate G at which vapour enters the air [g/h].
    room_m3 : Decimal
        Volume V of the room [m3].
    changes_per_h : Decimal
        Air changes n [1/h].

    Returns
    -------
    Decimal or None
        Concentration [mg/m3]; None without air change, when it never settles.

    Raises
    ------
    ImpossibleRoom
        When the room has no volume, or a rate is below zero.

    References
    ----------
    .. [1] Dilution ventilation, C = G/Q: source `dilution_vent`.
    """
    _above_zero(room_m3, "The room must have a volume above 0 m³.")
    _not_below_zero(changes_per_h, "Air changes cannot be below 0 per hour.")
    _not_below_zero(grams_per_hour, "What evaporates cannot be below 0 g/h.")
    if not changes_per_h:
        return None
    return grams_per_hour * 1000 / (changes_per_h * room_m3)


def reached_mg_per_m3(
    grams_per_hour: Decimal, room_m3: Decimal, changes_per_h: Decimal, hours: Decimal
) -> Decimal:
    """Concentration after some time: C(t) = G/Q (1 - exp(-n t)); without air change G t/V.

    Parameters
    ----------
    grams_per_hour : Decimal
        Rate G at which vapour enters the air [g/h].
    room_m3 : Decimal
        Volume V of the room [m3].
    changes_per_h : Decimal
        Air changes n [1/h].
    hours : Decimal
        Time t since the start [h].

    Returns
    -------
    Decimal
        Concentration [mg/m3].

    Raises
    ------
    ImpossibleRoom
        When the room has no volume, or a rate or the time is below zero.

    References
    ----------
    .. [1] Build-up in a ventilated room: source `dilution_vent`.
    """
    _not_below_zero(hours, "A time cannot be below 0 h.")
    steady = steady_mg_per_m3(grams_per_hour, room_m3, changes_per_h)
    if steady is None:
        return grams_per_hour * 1000 * hours / room_m3
    return steady * (1 - (-changes_per_h * hours).exp())


def hours_to_share(changes_per_h: Decimal, share: Decimal) -> Decimal | None:
    """Time until a share of the steady concentration is reached: ln(1/(1 - share))/n.

    The same time brings the air down to 1 - share of where it was, once nothing more evaporates.

    Parameters
    ----------
    changes_per_h : Decimal
        Air changes n [1/h].
    share : Decimal
        Share of the steady value, between 0 and 1 [-].

    Returns
    -------
    Decimal or None
        Time [h]; None without air change.

    Raises
    ------
    ImpossibleRoom
        When the share is not between 0 and 1, or the air changes are below zero.

    References
    ----------
    .. [1] Purge equation, t = (1/n) ln(C1/C2): source `dilution_vent`.
    """
    _not_below_zero(changes_per_h, "Air changes cannot be below 0 per hour.")
    if not 0 < share < 1:
        raise ImpossibleRoom("The share must lie between 0 and 1.")
    return (1 / (1 - share)).ln() / changes_per_h if changes_per_h else None


def evaporation_g_per_h(
    *,
    area_cm2: Decimal,
    molar_mass: Decimal,
    pressure_kpa: Decimal,
    air_m_per_s: Decimal,
    temperature_c: Decimal,
) -> Decimal:
    """Evaporation from an open surface: 0.284 U^0.78 M^(2/3) A P/(82.05 T) in lb/min, turned into g/h.

    Inside the formula U is in m/s, A in square feet, P in mmHg and T in kelvin. Still air is taken as
    0.01 m/s, since the formula gives nothing without a draught.

    Parameters
    ----------
    area_cm2 : Decimal
        Open surface A [cm2].
    molar_mass : Decimal
        Molar mass M [g/mol].
    pressure_kpa : Decimal
        Vapour pressure P [kPa].
    air_m_per_s : Decimal
        Speed U of the air over it [m/s].
    temperature_c : Decimal
        Temperature T of the liquid [°C].

    Returns
    -------
    Decimal
        Rate [g/h].

    Raises
    ------
    ImpossibleRoom
        When a figure is below zero or the temperature is below -50 °C.

    References
    ----------
    .. [1] US EPA, risk management guidance for offsite consequence analysis: from memory, source `epa_oca`.
    """
    for value in (area_cm2, molar_mass, pressure_kpa, air_m_per_s):
        _not_below_zero(value, "Surface, molar mass, vapour pressure and air speed cannot be below 0.")
    if temperature_c < -50:
        raise ImpossibleRoom("A temperature of −50 °C or more is expected here.")
    kelvin = temperature_c + Decimal(str(ZERO_C))
    moved = max(air_m_per_s, Decimal("0.01")) ** Decimal("0.78")
    heavy = molar_mass ** (Decimal(2) / 3) if molar_mass else Decimal(0)
    pounds = (
        Decimal("0.284")
        * moved
        * heavy
        * (area_cm2 / SQUARE_FOOT_CM2)
        * (pressure_kpa / MMHG_KPA)
        / (Decimal("82.05") * kelvin)
    )
    return pounds * POUND_G * 60


def dish_g_per_h(
    name: str, molar_mass: Decimal, across_mm: Decimal, air_m_per_s: Decimal, temperature_c: Decimal
) -> Decimal | None:
    """Evaporation from one round open dish, as if the pure liquid stood in it.

    Parameters
    ----------
    name : str
        Name of the liquid [-].
    molar_mass : Decimal
        Molar mass [g/mol].
    across_mm : Decimal
        Width of the dish [mm].
    air_m_per_s : Decimal
        Speed of the air over it [m/s].
    temperature_c : Decimal
        Temperature of the liquid [°C].

    Returns
    -------
    Decimal or None
        Rate [g/h]; None where no vapour pressure is known.

    References
    ----------
    .. [1] `evaporation_g_per_h`; of a mixture each evaporates slower than pure (common practice).
    """
    pressure = vapour_pressure_kpa(name, temperature_c)
    if pressure is None:
        return None
    area = Decimal(str(pi)) * (across_mm / 20) ** 2
    return evaporation_g_per_h(
        area_cm2=area,
        molar_mass=molar_mass,
        pressure_kpa=pressure,
        air_m_per_s=air_m_per_s,
        temperature_c=temperature_c,
    )
