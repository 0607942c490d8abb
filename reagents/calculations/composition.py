"""What a liquid is made of, from its parts: masses, shares by mass and by moles, ideal density."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import pairwise

from reagents.calculations.hazard_terms import status_of
from reagents.calculations.preparation import (
    MOLE_PARTS,
    PARTS,
    PARTS_BY_MASS,
    PERCENT_VV,
    PERCENT_WW,
    TO_VOLUME,
    PartWanted,
)
from reagents.calculations.proportions import ImpossibleProportion
from reagents.calculations.quantities import format_quantity
from reagents.calculations.substances import Substance, UnknownSubstance, substance
from reagents.calculations.tables import rows

HUNDRED = Decimal(100)
NOT_ADDING = (
    "Volumes do not add: mixed, the liquids take a little less room than before. The parts are right all the "
    "same, since each is measured before mixing."
)


@dataclass(frozen=True)
class Given:
    """One figure that a result rests on, with where it comes from: read, computed or from memory."""

    what: str
    value: Decimal
    unit: str
    status: str
    source_keys: tuple[str, ...]

    @property
    def words(self) -> str:
        """Such as "density of water at 20 °C 0.9982 g/mL (computed)"."""
        return f"{self.what} {format_quantity(self.value, self.unit)} ({self.status})"


@dataclass(frozen=True)
class Constituent:
    """One liquid of a mixture: how much, and its share [0 to 1] by volume before mixing, mass and moles."""

    name: str
    volume_ml: Decimal
    mass_g: Decimal
    volume_share: Decimal
    mass_share: Decimal
    mole_share: Decimal | None


@dataclass(frozen=True)
class Composition:
    """A mixture of liquids; volume [mL] is their sum before mixing, the density [g/mL] takes no shrinking."""

    constituents: tuple[Constituent, ...]
    volume_ml: Decimal
    mass_g: Decimal
    ideal_density: Decimal
    sentences: tuple[str, ...] = ()
    given: tuple[Given, ...] = field(default=(), repr=False)

    @property
    def names(self) -> frozenset[str]:
        """What is really in it: a part of 0 mL is not."""
        return frozenset(one.name for one in self.constituents if one.mass_g)

    @property
    def mass_shares(self) -> dict[str, Decimal]:
        """Share of the mass by name, 0 to 1."""
        return {one.name: one.mass_share for one in self.constituents}

    @property
    def volume_shares(self) -> dict[str, Decimal]:
        """Share of the volume before mixing by name, 0 to 1."""
        return {one.name: one.volume_share for one in self.constituents}

    @property
    def by_mass(self) -> str:
        """Such as "butan-1-ol 54.4 %, ethanoic acid 17.6 %, water 28.0 %"."""
        return ", ".join(f"{one.name} {one.mass_share * 100:.1f}\u00a0%" for one in self.constituents)


def from_volumes(volumes_ml: Mapping[str, Decimal]) -> Composition:
    """Composition of liquids measured by volume: m_i = V_i d_i, w_i = m_i/sum m, x_i = (m_i/M_i)/sum.

    Parameters
    ----------
    volumes_ml : mapping of str to Decimal
        Volume of each liquid before mixing, by name; parts do as well [mL].

    Returns
    -------
    Composition
        Shares by volume, mass and moles [-], ideal density [g/mL] and sentences.

    Raises
    ------
    ImpossibleProportion
        A negative volume, nothing in the mixture, or a density that is not known.

    References
    ----------
    .. [1] Definitions; densities and molar masses in `reagents/data/substances.csv`.
    """
    return from_amounts(volumes_ml=volumes_ml)


def from_masses(masses_g: Mapping[str, Decimal]) -> Composition:
    """Composition of liquids weighed out: V_i = m_i/d_i.

    Parameters
    ----------
    masses_g : mapping of str to Decimal
        Mass of each liquid by name; parts do as well [g].

    Returns
    -------
    Composition
        As `from_volumes`.

    Raises
    ------
    ImpossibleProportion
        As `from_volumes`.

    References
    ----------
    .. [1] As `from_volumes`.
    """
    return from_amounts(masses_g=masses_g)


def from_moles(moles: Mapping[str, Decimal]) -> Composition:
    """Composition of liquids given in moles: m_i = n_i M_i.

    Parameters
    ----------
    moles : mapping of str to Decimal
        Amount of each liquid by name; parts do as well [mol].

    Returns
    -------
    Composition
        As `from_volumes`.

    Raises
    ------
    ImpossibleProportion
        As `from_volumes`, or a molar mass that is not known.

    References
    ----------
    .. [1] As `from_volumes`.
    """
    masses: dict[str, Decimal] = {}
    for name, amount in moles.items():
        known = _known(name)
        if known is None or known.molar_mass is None:
            raise ImpossibleProportion(
                f"The molar mass of {name} is not known here; give parts by mass.", name
            )
        masses[name] = amount * known.molar_mass
    return from_amounts(masses_g=masses)


def from_amounts(
    *, volumes_ml: Mapping[str, Decimal] | None = None, masses_g: Mapping[str, Decimal] | None = None
) -> Composition:
    """Composition of liquids of which some were measured by volume and some weighed, as in a batch record.

    Parameters
    ----------
    volumes_ml : mapping of str to Decimal, optional
        Volume of each liquid before mixing, by name [mL].
    masses_g : mapping of str to Decimal, optional
        Mass of each liquid by name [g].

    Returns
    -------
    Composition
        As `from_volumes`; one name in both counts with its sum.

    Raises
    ------
    ImpossibleProportion
        As `from_volumes`.

    References
    ----------
    .. [1] As `from_volumes`.
    """
    masses: dict[str, Decimal] = {}
    for name, amount in (volumes_ml or {}).items():
        liquid = _liquid(name, amount)
        masses[liquid.name] = masses.get(liquid.name, Decimal(0)) + amount * _density(liquid)
    for name, amount in (masses_g or {}).items():
        liquid = _liquid(name, amount)
        masses[liquid.name] = masses.get(liquid.name, Decimal(0)) + amount
    return _composed(masses)


def _composed(masses: Mapping[str, Decimal]) -> Composition:
    mass = sum(masses.values(), Decimal(0))
    if not mass:
        raise ImpossibleProportion("The mixture is empty; enter at least one liquid.")
    liquids = {name: substance(name) for name in masses}
    volumes = {name: masses[name] / _density(liquid) for name, liquid in liquids.items()}
    volume = sum(volumes.values(), Decimal(0))
    moles = {name: masses[name] / liquid.molar_mass for name, liquid in liquids.items() if liquid.molar_mass}
    all_moles = sum(moles.values(), Decimal(0)) if len(moles) == len(masses) else None
    made = tuple(
        Constituent(
            name,
            volumes[name],
            masses[name],
            volumes[name] / volume,
            masses[name] / mass,
            moles[name] / all_moles if all_moles else None,
        )
        for name in masses
    )
    return Composition(
        made, volume, mass, mass / volume, _sentences(made, mass / volume), _given(liquids.values())
    )


def of_recipe(parts: Sequence[PartWanted], total_ml: Decimal = HUNDRED) -> Composition:
    """Composition of a recipe whose parts share out the whole, scaled to a volume before mixing.

    Parameters
    ----------
    parts : sequence of PartWanted
        Parts by volume, mass or moles, % v/v of a whole, or % w/w with or without a liquid that makes up the
        rest [-].
    total_ml : Decimal, optional
        Sum of the volumes before mixing [mL].

    Returns
    -------
    Composition
        As `from_volumes`.

    Raises
    ------
    ImpossibleProportion
        Bases mixed or of another kind, percentages that do not fill 100, an amount that is not above zero, or
        a stock that is no mixture of liquids.

    References
    ----------
    .. [1] Proportion and definitions; 6 : 1.5 : 2.5 is 12 : 3 : 5.
    """
    if not total_ml.is_finite() or total_ml <= 0:
        raise ImpossibleProportion("The total volume must be above 0 mL.", total_ml)
    for_one = _unscaled(parts)
    factor = total_ml / for_one.volume_ml
    return _composed({one.name: one.mass_g * factor for one in for_one.constituents})


def _unscaled(parts: Sequence[PartWanted]) -> Composition:
    for part in parts:
        if part.amount is not None and (not part.amount.is_finite() or part.amount <= 0):
            raise ImpossibleProportion(
                f"{part.substance} has {part.amount} parts; give it a number above zero or leave it out.",
                part.amount,
            )
    bases = {part.basis for part in parts}
    rest = [part for part in parts if part.basis == TO_VOLUME]
    stated = sum((part.amount or Decimal(0) for part in parts if part not in rest), Decimal(0))
    if bases in ({PERCENT_VV}, {PERCENT_WW}) and stated != HUNDRED:
        raise ImpossibleProportion(f"The percentages add up to {stated}\u00a0%, not 100\u00a0%.", stated)
    if bases in ({PARTS}, {PERCENT_VV}):
        return _sum(_of_volume(part, part.amount or Decimal(0)) for part in parts)
    if bases == {PARTS_BY_MASS} or bases == {PERCENT_WW}:
        return _sum(_of_mass(part, part.amount or Decimal(0)) for part in parts)
    if bases == {MOLE_PARTS} and not any(part.made_from for part in parts):
        return _sum(from_moles({part.substance: part.amount or Decimal(0)}) for part in parts)
    if bases == {PERCENT_WW, TO_VOLUME} and len(rest) == 1 and stated < HUNDRED:
        amounts = [(part, HUNDRED - stated if part in rest else part.amount or Decimal(0)) for part in parts]
        return _sum(_of_mass(part, amount) for part, amount in amounts)
    raise ImpossibleProportion("This recipe does not share out a whole between liquids.")


def _sum(pieces: Iterable[Composition]) -> Composition:
    masses: dict[str, Decimal] = {}
    for piece in pieces:
        for one in piece.constituents:
            masses[one.name] = masses.get(one.name, Decimal(0)) + one.mass_g
    return _composed(masses)


def _of_volume(part: PartWanted, volume_ml: Decimal) -> Composition:
    """A part by volume; one taken from a stock brings what the stock holds."""
    if part.made_from:
        return of_recipe(part.made_from.parts, volume_ml)
    return from_volumes({part.substance: volume_ml})


def _of_mass(part: PartWanted, mass_g: Decimal) -> Composition:
    if part.made_from:
        stock = _unscaled(part.made_from.parts)
        return _composed({one.name: one.mass_share * mass_g for one in stock.constituents})
    return from_masses({part.substance: mass_g})


def contraction_percent(acid_percent_ww: Decimal) -> Decimal | None:
    """How much ethanoic acid and water shrink on mixing, by a straight line between tabulated strengths.

    Parameters
    ----------
    acid_percent_ww : Decimal
        Ethanoic acid in the mixture [% w/w].

    Returns
    -------
    Decimal or None
        Loss of volume against the sum of the two [%]; None beyond the table, which ends at 70 % w/w.

    References
    ----------
    .. [1] `reagents/data/contraction.csv`: densities at 20 °C, source `aq_density`.
    """
    table = [(Decimal(r["acid_percent_ww"]), Decimal(r["contraction_percent"])) for r in rows("contraction")]
    for (low, at_low), (high, at_high) in pairwise(table):
        if low <= acid_percent_ww <= high:
            return at_low + (at_high - at_low) * (acid_percent_ww - low) / (high - low)
    return None


def _known(name: str) -> Substance | None:
    try:
        return substance(name)
    except UnknownSubstance:
        return None


def _liquid(name: str, amount: Decimal) -> Substance:
    if not amount.is_finite() or amount < 0:
        raise ImpossibleProportion(f"{name} has an amount of {amount}; it cannot be below zero.", amount)
    known = _known(name)
    if known is None or known.density_20 is None:
        raise ImpossibleProportion(f"The density of {name} is not known here; read it from the bottle.", name)
    return known


def _density(liquid: Substance) -> Decimal:
    if liquid.density_20 is None:
        raise ImpossibleProportion(
            f"The density of {liquid.name} is not known here; read it from the bottle.", liquid.name
        )
    return liquid.density_20


def _sentences(made: tuple[Constituent, ...], density: Decimal) -> tuple[str, ...]:
    if len(made) == 1:
        return ()
    by_mass = ", ".join(f"{one.name} {one.mass_share * 100:.1f}\u00a0%" for one in made)
    said = [f"The whole by mass: {by_mass}."]
    if all(one.mole_share is not None for one in made):
        said.append(
            "Mole fractions: " + ", ".join(f"{one.name} {one.mole_share or 0:.3f}" for one in made) + "."
        )
    said.append(f"Density about {density:.2f}\u00a0g/mL, if volumes added.")
    return (*said, _shrinking(made))


def _shrinking(made: tuple[Constituent, ...]) -> str:
    shares = {one.name: one.mass_share * 100 for one in made if one.mass_g}
    if set(shares) == {"ethanoic acid", "water"}:
        loss = contraction_percent(shares["ethanoic acid"])
        if loss is not None:
            return (
                f"{NOT_ADDING} This one shrinks by about {loss:.1f}\u00a0% (computed from densities, read)."
            )
    return NOT_ADDING


def _given(liquids: Iterable[Substance]) -> tuple[Given, ...]:
    found: list[Given] = []
    for one in liquids:
        status = status_of(one.read_or_memory)
        if one.density_20 is not None:
            found.append(
                Given(f"density of {one.name} at 20\u00a0°C", one.density_20, "g/mL", status, one.source_keys)
            )
        if one.molar_mass is not None:
            found.append(
                Given(f"molar mass of {one.name}", one.molar_mass, "g/mol", "from memory", ("iupac_aw",))
            )
    return tuple(found)
