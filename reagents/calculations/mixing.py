"""In which order the liquids of a recipe go together, and what to watch with each substance."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from reagents.calculations.proportions import ImpossibleProportion, Share
from reagents.calculations.quantities import format_quantity
from reagents.calculations.substances import Substance, UnknownSubstance, substance
from reagents.calculations.tables import rows

DEFER = (
    "The employer's risk assessment, the suppliers' safety data sheets and local rules come before this list."
)
FIRE = (
    "Flammable: no flames or sparks near it; dry papers in the fume cupboard; collect the waste as flammable "
    "solvent, never in the sink."
)
_FLAMMABLE = {"H224", "H225", "H226"}


@dataclass(frozen=True)
class MixingStep:
    """One step: which liquid goes in, and how."""

    number: int
    name: str
    instruction: str


@dataclass(frozen=True)
class Caution:
    """One thing to watch with one substance."""

    substance: str
    sentence: str
    source_keys: tuple[str, ...]
    read_or_memory: str


def _known(name: str) -> Substance | None:
    try:
        return substance(name)
    except UnknownSubstance:
        return None


def is_acid(name: str) -> bool:
    """Whether a liquid is a corrosive acid, which goes in last.

    Parameters
    ----------
    name : str
        Name of the liquid [-].

    Returns
    -------
    bool
        True for a known acid with H314, and for an unknown liquid whose name ends in "acid".

    References
    ----------
    .. [1] Acid into the rest, never the reverse: common practice, no source.
    """
    known = _known(name)
    words = (known.name if known else name).casefold().replace(",", " ").split()
    return "acid" in words and (known is None or "H314" in known.hazard_codes)


def mixing_order(parts: Sequence[Share]) -> list[MixingStep]:
    """Order of mixing: the other liquids first, as listed, acid last and slowly, then swirl until clear.

    Parameters
    ----------
    parts : sequence of Share
        Liquids with the volume of each [mL].

    Returns
    -------
    list of MixingStep
        Numbered from 1; the last step is to swirl and look, and has no liquid.

    Raises
    ------
    ImpossibleProportion
        When there is nothing to mix.

    References
    ----------
    .. [1] Butanol and water first, acid last, slowly, in a fume cupboard; cloudiness is a test result:
       common practice, no source.
    """
    if not parts:
        raise ImpossibleProportion("The recipe has no parts; enter at least one liquid.")
    ordered = sorted(parts, key=lambda part: is_acid(part.name))
    steps = []
    for place, part in enumerate(ordered, start=1):
        volume = format_quantity(part.volume_ml, "mL")
        if is_acid(part.name):
            how = f"In the fume cupboard, add {volume} of {part.name} last, slowly, swirling."
        elif place == 1:
            how = f"Measure {volume} of {part.name} into a dry bottle with a stopper."
        else:
            how = f"Add {volume} of {part.name}."
        steps.append(MixingStep(place, part.name, how))
    look = "Stopper it and swirl until clear. If it stays cloudy, write that down: it is a result, not dirt."
    return [*steps, MixingStep(len(steps) + 1, "", look)]


def cautions_for(names: Iterable[str]) -> list[Caution]:
    """What to watch with each substance of a recipe, ending with whose rules come first.

    Parameters
    ----------
    names : iterable of str
        Names of the substances [-].

    Returns
    -------
    list of Caution
        In the order of the names, then one for all flammable ones; an unknown substance gets a sentence
        too. The last has no substance.

    References
    ----------
    .. [1] `reagents/data/cautions.csv`, each row with its source or "common practice".
    """
    found: list[Caution] = []
    flammable: list[str] = []
    for name in dict.fromkeys(names):
        known = _known(name)
        if known is None:
            unknown = f"Nothing is known here about {name}: read its safety data sheet before use."
            found.append(Caution(name, unknown, ("common_practice",), "common practice"))
            continue
        found += _shipped(known)
        if _FLAMMABLE & set(known.hazard_codes):
            flammable.append(known.name)
    if flammable:
        found.append(Caution(", ".join(flammable), FIRE, ("clp_flam", "common_practice"), "common practice"))
    return [*found, Caution("", DEFER, ("common_practice",), "common practice")]


def _shipped(known: Substance) -> list[Caution]:
    return [
        Caution(known.name, row["caution"], tuple(row["source_key"].split(";")), row["read_or_memory"])
        for row in rows("cautions")
        if row["substance"] == known.name
    ]
