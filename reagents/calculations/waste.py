"""What comes back after a lesson, what is poured away, into which bottle and by which route."""

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from reagents.calculations.prep_order import rule
from reagents.calculations.quantities import format_quantity
from reagents.calculations.stock import known_substance

BOTTLES_ML = (100, 250, 500, 1000, 2500)
SOLVENT = "flammable solvent waste, halogen-free"
HALOGENATED = "halogenated solvent waste"
ASK = "a bottle of its own: ask how it is disposed of"
WATERY = "watery waste: down the sink with plenty of water only where local rules allow it"
_FLAMMABLE = {"H224", "H225", "H226"}
_ASK = {"H400", "H410", "H411", "H300", "H301", "H310", "H311", "H330", "H331", "H340", "H350", "H360"}
HUNDRED = Decimal(100)


@dataclass(frozen=True)
class Waste:
    """Of one liquid: where it goes, how much is poured away, how much comes back to be kept [mL]."""

    route: str
    waste_ml: Decimal
    back_ml: Decimal


@dataclass(frozen=True)
class WasteBottle:
    """All that goes one way, and the bottles to put out for it."""

    route: str
    waste_ml: Decimal
    bottles: str
    sentence: str


def route_of(names: Iterable[str]) -> str:
    """The route of a liquid's waste, by what is in it.

    Parameters
    ----------
    names : iterable of str
        Its substances [-].

    Returns
    -------
    str
        Solvent waste where anything in it is flammable, both layers of a mixture that splits included.

    References
    ----------
    .. [1] Halogen-free flammable solvent waste, both layers, not to the sink: common practice, no source. H
       codes: `reagents/data/substances.csv`.
    """
    listed = list(names)
    known = [one for name in listed if (one := known_substance(name))]
    codes = {code for one in known for code in one.hazard_codes}
    if any("chloro" in name.casefold() for name in listed):
        return HALOGENATED
    if codes & _FLAMMABLE:
        return SOLVENT
    if codes & _ASK or len(known) < len(listed):
        return ASK
    return WATERY


def waste_of(names: Iterable[str], *, total_ml: Decimal, in_chambers_ml: Decimal, keeps: bool) -> Waste:
    """What is poured away and what comes back.

    What was in a chamber is poured away with its rinsings; the rest comes back, to be kept if it keeps.

    Parameters
    ----------
    names : iterable of str
        Its substances [-].
    total_ml : Decimal
        What was made [mL].
    in_chambers_ml : Decimal
        What of it went into chambers [mL].
    keeps : bool
        Whether it is still good after the lesson [-].

    Returns
    -------
    Waste
        Volumes [mL].

    References
    ----------
    .. [1] Used mobile phase is never put back; 10 % for rinsing: common practice, no source.
    """
    used = min(in_chambers_ml, total_ml)
    rest = total_ml - used
    poured = used * (1 + rule("rinsing") / HUNDRED) + (Decimal(0) if keeps else rest)
    return Waste(route_of(names), poured, rest if keeps else Decimal(0))


def waste_bottles(wastes: Iterable[Waste]) -> tuple[WasteBottle, ...]:
    """The waste bottles to put out, one kind for each route.

    Parameters
    ----------
    wastes : iterable of Waste
        Of every liquid [mL].

    Returns
    -------
    tuple of WasteBottle
        Solvents first; a bottle is filled to 80 % at most.

    References
    ----------
    .. [1] Head space of a fifth: common practice, no source.
    """
    found: dict[str, Decimal] = {}
    for one in wastes:
        if one.waste_ml > 0:
            found[one.route] = found.get(one.route, Decimal(0)) + one.waste_ml
    routes = (SOLVENT, HALOGENATED, ASK, WATERY)
    return tuple(_bottle(route, found[route]) for route in routes if route in found)


def _bottle(route: str, volume: Decimal) -> WasteBottle:
    room = volume / (rule("waste_fill") / HUNDRED)
    largest = BOTTLES_ML[-1]
    size = next((size for size in BOTTLES_ML if size >= room), largest)
    count = int((room / size).to_integral_value(ROUND_CEILING))
    shown = (
        format_quantity(Decimal(size), "mL") if size < 1000 else format_quantity(Decimal(size) / 1000, "L")
    )
    bottles = f"1 bottle of {shown}" if count == 1 else f"{count} bottles of {shown}"
    poured = format_quantity(volume.quantize(Decimal(1), rounding=ROUND_CEILING), "mL")
    return WasteBottle(route, volume, bottles, f"{route}: up to {poured}, {bottles}, labelled and vented.")
