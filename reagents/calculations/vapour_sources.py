"""What gives off vapour in a room: papers that dry, dishes that stand open, a spray."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from reagents.calculations.room_air import ImpossibleRoom, dish_g_per_h
from reagents.calculations.substances import substance

SPRAYS = ("ethanol", "propan-2-ol", "propanone")


@dataclass(frozen=True)
class Room:
    """Volume [m3], air changes [1/h], by how much the mixing is worse than perfect [-], temperatures [°C]."""

    volume_m3: Decimal
    changes_per_h: Decimal
    mixing_factor: Decimal = Decimal(1)
    temperature_c: Decimal = Decimal(20)
    oven_c: Decimal | None = None


@dataclass(frozen=True)
class Source:
    """One thing that gives off one vapour: at which rate [g/h], for how long [h], and whether it goes on."""

    what: str
    substance: str
    grams_per_hour: Decimal
    hours: Decimal
    goes_on: bool = True


def drying(
    parts: Sequence[tuple[str, Decimal]], *, papers: int, ml_each: Decimal, hours: Decimal
) -> tuple[Source, ...]:
    """Papers that dry in the room: all the liquid they hold evaporates over the time.

    Parameters
    ----------
    parts : sequence of (str, Decimal)
        The mobile phase in parts by volume [-].
    papers : int
        How many papers [-].
    ml_each : Decimal
        Liquid that one paper holds [mL].
    hours : Decimal
        Time in which they dry [h].

    Returns
    -------
    tuple of Source
        One for each liquid with vapour; water is left out.

    Raises
    ------
    ImpossibleRoom
        When parts or time are not above zero, or a figure is below zero.

    References
    ----------
    .. [1] Mass = volume x density, densities at 20 °C: `reagents/data/substances.csv`.
    """
    whole = sum((part for _, part in parts), Decimal(0))
    if whole <= 0 or hours <= 0:
        raise ImpossibleRoom("The parts of the mobile phase and the drying time must be above zero.")
    if papers < 0 or ml_each < 0:
        raise ImpossibleRoom("A number of papers or a volume cannot be below zero.")
    found = []
    for name, part in parts:
        known = substance(name)
        if known.name == "water" or not known.density_20:
            continue
        grams = papers * ml_each * part / whole * known.density_20
        found.append(Source("drying papers", known.name, grams / hours, hours))
    return tuple(one for one in found if one.grams_per_hour)


def open_dishes(
    names: Sequence[str], room: Room, *, dishes: int, across_mm: Decimal, air_m_per_s: Decimal, hours: Decimal
) -> tuple[Source, ...]:
    """Dishes or chambers that stand open, each liquid as if it were pure.

    Parameters
    ----------
    names : sequence of str
        Liquids in them [-].
    room : Room
        For its temperature [°C].
    dishes : int
        How many stand open [-].
    across_mm : Decimal
        Width of each [mm].
    air_m_per_s : Decimal
        Speed of the air over them [m/s].
    hours : Decimal
        How long they stand open [h].

    Returns
    -------
    tuple of Source
        One for each liquid whose vapour pressure is known.

    Raises
    ------
    ImpossibleRoom
        When a figure is below zero.

    References
    ----------
    .. [1] `room_air.evaporation_g_per_h`: US EPA, from memory.
    """
    if dishes < 0 or across_mm < 0 or hours < 0:
        raise ImpossibleRoom("A number of dishes, a width or a time cannot be below zero.")
    found = []
    for name in names:
        known = substance(name)
        rate = dish_g_per_h(
            known.name, known.molar_mass or Decimal(0), across_mm, air_m_per_s, room.temperature_c
        )
        if rate and dishes and known.name != "water":
            found.append(Source("open chambers or dishes", known.name, rate * dishes, hours))
    return tuple(found)


def spraying(solvent: str, *, volume_ml: Decimal, hours: Decimal) -> tuple[Source, ...]:
    """A spray whose solvent evaporates at once, while it is sprayed.

    Parameters
    ----------
    solvent : str
        Name of the solvent [-].
    volume_ml : Decimal
        Volume sprayed in all [mL].
    hours : Decimal
        Time over which it is sprayed [h].

    Returns
    -------
    tuple of Source
        Empty when nothing is sprayed.

    Raises
    ------
    ImpossibleRoom
        When the time is not above zero or the volume is below zero.

    References
    ----------
    .. [1] Mass = volume x density at 20 °C: `reagents/data/substances.csv`.
    """
    if hours <= 0 or volume_ml < 0:
        raise ImpossibleRoom("The spraying time must be above zero, and the volume not below it.")
    known = substance(solvent)
    grams = volume_ml * (known.density_20 or Decimal(1))
    return (Source("spray", known.name, grams / hours, hours, goes_on=False),) if grams else ()
