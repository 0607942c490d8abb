"""Hazards of a recipe as it is written, in parts, % or mol/L: turned into shares by mass, then classified."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal

from reagents.calculations.hazard_terms import Component, canonical, shown
from reagents.calculations.hazards import CHECK, Classification, classify
from reagents.calculations.preparation import (
    IN_VOLUME,
    MOLAR,
    PARTS,
    PARTS_BY_MASS,
    PERCENT_VV,
    PERCENT_WV,
    PERCENT_WW,
    SHARES,
    TO_VOLUME,
    PartWanted,
)
from reagents.calculations.substances import substance
from reagents.calculations.tables import rows

HUNDRED = Decimal(100)
NEAR = Decimal("0.05")
DEEPEST = 5
NO_CLASS_KNOWN = "no classification known here: read its data sheet"

Masses = dict[str, Decimal]


class NoShares(ValueError):
    """A recipe whose shares by mass cannot be told; the message is a sentence."""


@dataclass(frozen=True)
class RecipeHazards:
    """The classification of a recipe and how its shares by mass came about.

    `classification` is None when they cannot be told; then `doubts` says why, and a label must say so too.
    """

    classification: Classification | None
    components: tuple[Component, ...]
    how: tuple[str, ...]
    doubts: tuple[str, ...]


def classify_parts(parts: Sequence[PartWanted]) -> RecipeHazards:
    """Classify a recipe: parts by volume, mass or mole, or a solution in % or mol/L made up with a solvent.

    Parameters
    ----------
    parts : sequence of PartWanted
        The recipe [parts, % w/v, % w/w, % v/v or mol/L].

    Returns
    -------
    RecipeHazards
        Never an error: what cannot be told is a sentence under `doubts`.

    References
    ----------
    .. [1] The rules count by mass: CLP Annex I, 1.1.1. Volumes become masses by densities at 20 °C of
       `reagents/data/substances.csv`; the volume of a mixture is taken as the sum of its parts.
    """
    said: list[str] = []
    try:
        masses = _masses(parts, said, 0)
    except NoShares as trouble:
        return RecipeHazards(None, (), tuple(said), (f"{trouble} So {NO_CLASS_KNOWN}.",))
    whole = sum(masses.values(), Decimal(0))
    components = tuple(Component(name, mass / whole) for name, mass in masses.items() if mass)
    made = classify(components)
    shares = ", ".join(f"{one.substance} {shown(one.percent)} %" for one in components)
    how = (f"Shares by mass: {shares}.", *dict.fromkeys(said))
    return RecipeHazards(made, components, how, (*made.doubts, *_near_a_limit(made)))


def _near_a_limit(made: Classification) -> Iterable[str]:
    for reason in made.reasons:
        if reason.limit == 1 and reason.total is not None and abs(reason.total - 1) <= NEAR:
            yield (
                f"{reason.hazard}: {shown(reason.total)} of the limit, so close that the estimate of the "
                f"shares decides. {CHECK}"
            )


def _masses(parts: Sequence[PartWanted], said: list[str], depth: int) -> Masses:
    """Mass of each substance in some amount of the liquid [g]."""
    if not parts:
        raise NoShares("The recipe has no parts.")
    if depth > DEEPEST:
        raise NoShares("The recipe is made from too many others in turn.")
    bases = {part.basis for part in parts}
    if any(part.amount is not None and part.amount < 0 for part in parts):
        raise NoShares("A part of the recipe is below zero.")
    if bases <= set(SHARES):
        if len(bases) > 1:
            raise NoShares("The recipe mixes parts by volume, by mass or by mole.")
        return _whole(_added(_share(part, said, depth) for part in parts))
    if bases & set(SHARES):
        raise NoShares("The recipe mixes parts with % or mol/L.")
    return _whole(_solution(parts, said, depth))


def _whole(masses: Masses) -> Masses:
    if not sum(masses.values(), Decimal(0)) > 0:
        raise NoShares("The parts of the recipe add up to nothing.")
    return masses


def _added(several: Iterable[Mapping[str, Decimal]]) -> Masses:
    found: Masses = {}
    for masses in several:
        for name, mass in masses.items():
            found[name] = found.get(name, Decimal(0)) + mass
    return found


def _name(part: PartWanted) -> str:
    return canonical(part.substance) or part.substance.strip()


def _share(part: PartWanted, said: list[str], depth: int) -> Masses:
    """One part of a recipe in parts: its amount as a mass, spread over what a stock holds."""
    amount = part.amount or Decimal(0)
    inside = _stock(part, said, depth)
    if part.basis == PARTS_BY_MASS:
        mass = amount
    elif part.basis == PARTS:
        mass = amount * (_density_of(inside, said) if inside else _density(_name(part), said))
    elif inside:
        raise NoShares(f"A stock such as {part.substance} has no mole.")
    else:
        mass = amount * _molar_mass(_name(part))
    return _spread(inside, mass) if inside else {_name(part): mass}


def _stock(part: PartWanted, said: list[str], depth: int) -> Masses | None:
    return _masses(part.made_from.parts, said, depth + 1) if part.made_from else None


def _spread(inside: Masses, mass: Decimal) -> Masses:
    whole = sum(inside.values(), Decimal(0))
    return {name: mass * one / whole for name, one in inside.items()}


def _solution(parts: Sequence[PartWanted], said: list[str], depth: int) -> Masses:
    """What 100 mL holds, or 100 g where the recipe is in % w/w: solutes, then solvent for the rest."""
    solvents = [part for part in parts if part.basis == TO_VOLUME or part.amount is None]
    solutes = [part for part in parts if part not in solvents]
    by_mass = all(part.basis == PERCENT_WW for part in solutes)
    if any(part.basis not in {*IN_VOLUME, PERCENT_WW} for part in solutes):
        raise NoShares("The recipe has a part whose strength is not in a unit known here.")
    if len(solvents) > 1:
        raise NoShares("The recipe is made up to its volume with more than one liquid.")
    if not solvents:
        if by_mass and abs(sum((p.amount or Decimal(0) for p in solutes), Decimal(0)) - 100) <= 1:
            return _added(_solute(part, said, depth) for part in solutes)
        raise NoShares("The recipe names no solvent.")
    inside = _stock(solvents[0], said, depth)
    solvent = inside or {_name(solvents[0]): Decimal(1)}
    density = _density_of(solvent, said)
    in_it = _added(_solute(part, said, depth) for part in solutes)
    if by_mass:
        left = HUNDRED - sum(in_it.values(), Decimal(0))
    else:
        left = HUNDRED * density - _room_taken(in_it, density)
        said.append(
            "The density of the solution is taken as that of its liquids before mixing; solids as if they "
            "took the place of their own mass of solvent, which errs to the stronger side."
        )
    return _added([in_it, _spread(solvent, max(left, Decimal(0)))])


def _room_taken(masses: Masses, density: Decimal) -> Decimal:
    """Mass of solvent that the solutes displace: a liquid by its volume, a solid gram for gram."""
    taken = Decimal(0)
    for name, mass in masses.items():
        own = substance(name).density_20 if canonical(name) else None
        taken += mass / own * density if own else mass
    return taken


def _solute(part: PartWanted, said: list[str], depth: int) -> Masses:
    name, amount = _name(part), part.amount or Decimal(0)
    inside = _stock(part, said, depth)
    if part.basis == PERCENT_VV:
        mass = amount * (_density_of(inside, said) if inside else _density(name, said))
        return _spread(inside, mass) if inside else {name: mass}
    if part.basis == MOLAR:
        mass = amount * _molar_mass(name) / 10 / _active(name)
    elif part.basis in {PERCENT_WV, PERCENT_WW}:
        mass = amount
    else:
        raise NoShares(f"The strength of {part.substance} is not in a unit known here.")
    return _diluted(inside, name, mass, part) if inside else {name: mass}


def _diluted(inside: Masses, name: str, mass: Decimal, part: PartWanted) -> Masses:
    """So much of a stock that it brings this mass of the substance; % w/w is of the stock itself."""
    whole = sum(inside.values(), Decimal(0))
    held = inside.get(name, Decimal(0))
    if part.basis == PERCENT_WW:
        return _spread(inside, mass)
    if not held:
        raise NoShares(f"The stock does not hold {part.substance}.")
    return _spread(inside, mass * whole / held)


def _active(name: str) -> Decimal:
    """A bottle that is itself a solution, such as ammonia, holds less than its mass of the substance."""
    for row in rows("ingredient_facts"):
        if row["substance"] == name:
            return Decimal(row["active_percent"]) / 100
    return Decimal(1)


def _density(name: str, said: list[str]) -> Decimal:
    known = substance(name) if canonical(name) else None
    if known is None or known.density_20 is None:
        said.append(f"The density of {name} is not known here and is taken as 1 g/mL.")
        return Decimal(1)
    return known.density_20


def _density_of(masses: Masses, said: list[str]) -> Decimal:
    volume = sum((mass / _density(name, said) for name, mass in masses.items()), Decimal(0))
    return sum(masses.values(), Decimal(0)) / volume


def _molar_mass(name: str) -> Decimal:
    known = substance(name).molar_mass if canonical(name) else None
    if known:
        return known
    for row in rows("bottle_forms"):
        if row["name"].casefold() == name.casefold():
            return Decimal(row["molar_mass"])
    raise NoShares(f"The molar mass of {name} is not known here, so its share by mass cannot be told.")
