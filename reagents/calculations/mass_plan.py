"""A recipe in parts by mass, mole parts or % w/w becomes masses to weigh."""

from collections.abc import Mapping, Sequence
from decimal import ROUND_HALF_UP, Decimal

from reagents.calculations.glassware import balance_check
from reagents.calculations.mixing import is_acid
from reagents.calculations.mixture_plan import MixturePlan, ratio_words
from reagents.calculations.preparation import (
    MOLE_PARTS,
    PARTS_BY_MASS,
    PERCENT_WW,
    TO_VOLUME,
    Measure,
    PartWanted,
)
from reagents.calculations.proportions import ImpossibleProportion, Part, volumes_for
from reagents.calculations.quantities import format_quantity
from reagents.calculations.ratio_tolerance import MeasuredPart
from reagents.calculations.solutions import dissolves
from reagents.calculations.substances import Substance, UnknownSubstance, substance

BY_MASS = (PARTS_BY_MASS, MOLE_PARTS, PERCENT_WW)
# A fine balance seldom takes more than this: common practice, no source.
COARSE, COARSE_ABOVE = Decimal("0.1"), Decimal(500)
READABILITY = Decimal("0.01")


def mass_shares(parts: Sequence[PartWanted]) -> dict[int, Decimal]:
    """Share of each part in the mass of the whole, by the key of the part.

    Mole parts are multiplied by the molar mass; a liquid "to volume" beside % w/w makes up the rest to 100 %.

    Parameters
    ----------
    parts : sequence of PartWanted
        The recipe, all in one basis [parts by mass, mole parts or % w/w].

    Returns
    -------
    dict of int to Decimal
        Mass fraction by key [-].

    Raises
    ------
    ImpossibleProportion
        Bases mixed, an amount that is not above zero, percentages that do not fill 100 %, or a molar mass
        that is not known.

    References
    ----------
    .. [1] w_i = m_i / sum m, m_i = n_i M_i: definitions.
    """
    bases = {part.basis for part in parts} - {TO_VOLUME}
    if len(bases) != 1 or not bases <= set(BY_MASS):
        raise ImpossibleProportion("A recipe by mass has all parts by mass, in mole parts or in % w/w.")
    for part in parts:
        if part.made_from:
            raise ImpossibleProportion(
                f"“{part.made_from.title}” is taken by volume; give it in parts by volume or % v/v.",
                part.substance,
            )
    (basis,) = bases
    rest = [part for part in parts if part.basis == TO_VOLUME]
    if rest and (basis != PERCENT_WW or len(rest) > 1):
        raise ImpossibleProportion(
            "Only % w/w can have one liquid that makes up the rest; give parts to all."
        )
    amounts = {
        part.key: (part.amount or Decimal(0)) * (_molar_mass(part) if basis == MOLE_PARTS else 1)
        for part in parts
        if part not in rest
    }
    if basis == PERCENT_WW:
        amounts = _filled(amounts, rest)
    names = {part.key: part.substance for part in parts}
    numbered = [Part(names[key], amount) for key, amount in amounts.items()]
    shares = volumes_for(numbered, Decimal(1))
    return {key: share.volume_ml for key, share in zip(amounts, shares, strict=True)}


def _filled(amounts: dict[int, Decimal], rest: Sequence[PartWanted]) -> dict[int, Decimal]:
    stated = sum(amounts.values(), Decimal(0))
    if rest and stated >= 100:
        raise ImpossibleProportion(
            f"The percentages add up to {stated} %, which leaves no room for {rest[0].substance}.", stated
        )
    if not rest and stated != 100:
        raise ImpossibleProportion(
            f"The percentages by mass add up to {stated} %, not 100 %; add the liquid that fills it up.",
            stated,
        )
    return {**amounts, **{part.key: 100 - stated for part in rest}}


def _known(name: str) -> Substance | None:
    try:
        return substance(name)
    except UnknownSubstance:
        return None


def _molar_mass(part: PartWanted) -> Decimal:
    known = _known(part.substance)
    if known is None or known.molar_mass is None:
        raise ImpossibleProportion(
            f"The molar mass of {part.substance} is not known here, so mole parts of it cannot be weighed; "
            "give the recipe in parts by mass.",
            part.substance,
        )
    return known.molar_mass


def _density(part: PartWanted) -> Decimal | None:
    known = _known(part.substance)
    return known.density_20 if known else None


def mass_plan(parts: Sequence[PartWanted], total_ml: Decimal) -> MixturePlan:
    """Masses that together give a volume: m_i = V w_i / sum(w_j / d_j) over the liquids.

    The volume is that of the liquids before mixing. What a solid adds to it is left out and said.

    Parameters
    ----------
    parts : sequence of PartWanted
        The recipe [parts by mass, mole parts or % w/w].
    total_ml : Decimal
        Volume wanted [mL].

    Returns
    -------
    MixturePlan
        What to weigh [g], in the order of the recipe, and the steps.

    Raises
    ------
    ImpossibleProportion
        As `mass_shares`; a total out of range; no part with a known density.

    References
    ----------
    .. [1] Ideal mixing, V = sum m_i / d_i, densities at 20 degC: `reagents/data/substances.csv`.
    """
    shares = mass_shares(parts)
    volumes_for([Part("the whole", Decimal(1))], total_ml)
    densities = {part.key: _density(part) for part in parts}
    per_gram = sum((share / d for key, share in shares.items() if (d := densities[key])), Decimal(0))
    if not per_gram:
        raise ImpossibleProportion(
            "None of its parts has a density known here, so a volume cannot be turned into masses; ask for "
            "the recipe in parts by volume, or read the densities from the bottles."
        )
    whole = total_ml / per_gram
    measures = tuple(_weighed(part, whole * shares[part.key], densities[part.key]) for part in parts)
    solids = [part.substance for part in parts if densities[part.key] is None]
    grams = sum((measure.wanted or Decimal(0) for measure in measures), Decimal(0))
    said, mass = format_quantity(total_ml.normalize(), "mL", digits=5), format_quantity(grams, "g", digits=5)
    how = f"Make {said} by weighing, {mass} in all."
    if solids:
        how += f" The volume that {' and '.join(solids)} takes up is left out."
    uncertain = [
        MeasuredPart(m.substance, float(m.wanted), _standard(m.wanted)) for m in measures if m.wanted
    ]
    return MixturePlan(
        measures=measures,
        steps=_steps(measures),
        made_ml=total_ml,
        keeps_ratio=True,
        how=how,
        doubts=_undissolved(parts, shares),
        ratio=ratio_words(uncertain),
    )


def _undissolved(parts: Sequence[PartWanted], shares: Mapping[int, Decimal]) -> tuple[str, ...]:
    """What does not dissolve in the water of the recipe, or only just: grams to 100 g of water."""
    known = {part.key: _known(part.substance) for part in parts}
    water = sum((shares[key] for key, one in known.items() if one and one.name == "water"), Decimal(0))
    if not water:
        return ()
    found = [
        dissolves(one.name, 100 * shares[key] / water)
        for key, one in known.items()
        if one and one.density_20 is None and shares[key]
    ]
    return tuple(
        " ".join((one.sentence, *one.remedies)) for one in found if one.verdict in {"no", "marginal"}
    )


def _readability(mass: Decimal) -> Decimal:
    return COARSE if mass > COARSE_ABOVE else READABILITY


def _standard(mass: Decimal) -> float:
    return balance_check(mass, _readability(mass)).expanded_percent / 200 * float(mass)


def _weighed(part: PartWanted, mass: Decimal, density: Decimal | None) -> Measure:
    readability = _readability(mass)
    rounded = max(mass.quantize(readability, rounding=ROUND_HALF_UP), readability)
    checked = balance_check(rounded, readability)
    remarks = []
    if density:
        remarks.append(f"That is {format_quantity(rounded / density, 'mL', digits=3)} of it at 20 °C.")
    if not checked.enough:
        remarks.append(checked.sentence)
    return Measure(
        key=part.key,
        substance=part.substance,
        unit="g",
        wanted=rounded,
        shown=format_quantity(rounded, "g", digits=9),
        vessel=f"{format_quantity(readability, 'g')} balance",
        tolerance=checked.words,
        remarks=tuple(remarks),
    )


def _steps(measures: Sequence[Measure]) -> tuple[str, ...]:
    ordered = sorted(measures, key=lambda one: is_acid(one.substance))
    steps = []
    for place, one in enumerate(ordered):
        if is_acid(one.substance):
            steps.append(f"In the fume cupboard, add {one.shown} of {one.substance} last, slowly, swirling.")
        elif place == 0:
            steps.append(f"Weigh {one.shown} of {one.substance} into a dry bottle with a stopper.")
        else:
            steps.append(f"Weigh {one.shown} of {one.substance} into it.")
    return (*steps, "Stopper it and swirl until clear. If it stays cloudy, write that down: it is a result.")
