"""A mixture worked out for a technician: scaled to a total, to chambers or to what is left, and measured."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from reagents.calculations.composition import Composition, of_recipe
from reagents.calculations.glassware import NoVessel, Vessel
from reagents.calculations.hazard_terms import Component
from reagents.calculations.hazards import Classification, classify_layers
from reagents.calculations.mass_plan import mass_plan
from reagents.calculations.mixture_plan import MixturePlan, mixture_plan
from reagents.calculations.phases import USE_UPPER, PhaseCheck, phase_check
from reagents.calculations.preparation import PARTS, PERCENT_VV, PERCENT_WW, SHARES, PartWanted
from reagents.calculations.proportions import (
    ImpossibleProportion,
    Part,
    chamber_volume_ml,
    check_depth,
    in_lowest_terms,
    rectangular_chamber_volume_ml,
    total_needed,
)
from reagents.calculations.quantities import format_quantity
from reagents.calculations.recipe_hazards import classify_parts
from reagents.calculations.remainders import LargestBatch, largest_batch


@dataclass(frozen=True)
class Chambers:
    """How many chambers, of which size, how deep, and how much to spare; round unless it has a length."""

    count: int
    depth_mm: Decimal
    diameter_mm: Decimal | None = None
    length_mm: Decimal | None = None
    width_mm: Decimal | None = None
    overage_percent: Decimal = Decimal(0)
    origin_height_mm: Decimal | None = None


@dataclass(frozen=True)
class ChamberNeed:
    """What the chambers take [mL], how that came about, and what to question about the depth."""

    each_ml: Decimal
    total_ml: Decimal
    sentence: str
    doubts: tuple[str, ...]


@dataclass(frozen=True)
class Liquid:
    """One liquid to label: the mixture, or a layer of it, as classified by the rules."""

    name: str
    classification: Classification | None
    how: tuple[str, ...]
    doubts: tuple[str, ...]


@dataclass(frozen=True)
class MixtureSheet:
    """One mixture worked out. `batch` is there when it was scaled to what is left."""

    ratio: str
    total_ml: Decimal
    plan: MixturePlan
    how: tuple[str, ...]
    doubts: tuple[str, ...]
    batch: LargestBatch | None
    composition: Composition | None
    phases: PhaseCheck | None
    liquids: tuple[Liquid, ...] = ()


def liquids_to_label(parts: Sequence[PartWanted], phases: PhaseCheck | None) -> tuple[Liquid, ...]:
    """What is classified: the mixture, or where it splits each layer from its own composition.

    Parameters
    ----------
    parts : sequence of PartWanted
        The recipe [-].
    phases : PhaseCheck or None
        Whether it stays one liquid [-].

    Returns
    -------
    tuple of Liquid
        One, or the upper and the lower layer.

    References
    ----------
    .. [1] Layers in equilibrium share one vapour: `hazards.classify_layers`.
    """
    layers = phases.layers if phases else ()
    if not layers:
        made = classify_parts(parts)
        return (Liquid("", made.classification, made.how, made.doubts),)
    shares = [
        [Component(name, share) for name, share in layer.composition.mass_shares.items() if share]
        for layer in layers
    ]
    return tuple(
        Liquid(f"{layer.place} layer, {layer.character}", made, (layer.sentence,), made.doubts)
        for layer, made in zip(layers, classify_layers(shares), strict=True)
    )


def chambers_need(chambers: Chambers) -> ChamberNeed:
    """Volume for a number of chambers of one size, with something to spare.

    Parameters
    ----------
    chambers : Chambers
        Number, inner size, depth, height of the origin line [mm], and overage [%].

    Returns
    -------
    ChamberNeed
        Liquid in each and in all [mL].

    Raises
    ------
    ImpossibleProportion
        A number out of range, no size, or half of a size.

    References
    ----------
    .. [1] pi D^2 h / 4 and l w h: `proportions`. Depth below the origin line: common practice, no source.
    """
    deep = format_quantity(chambers.depth_mm.normalize(), "mm")
    if chambers.diameter_mm is not None:
        each = chamber_volume_ml(chambers.diameter_mm, chambers.depth_mm)
        size = f"{format_quantity(chambers.diameter_mm.normalize(), 'mm')} across"
    elif chambers.length_mm is not None and chambers.width_mm is not None:
        each = rectangular_chamber_volume_ml(chambers.length_mm, chambers.width_mm, chambers.depth_mm)
        length, width = (
            format_quantity(one.normalize(), "mm") for one in (chambers.length_mm, chambers.width_mm)
        )
        size = f"{length} by {width}"
    else:
        raise ImpossibleProportion(
            "Give the diameter of a round chamber, or the length and width of another."
        )
    total = total_needed(chambers.count, each, chambers.overage_percent)
    count = "1 chamber" if chambers.count == 1 else f"{chambers.count} chambers"
    spare = f" and {format_quantity(chambers.overage_percent.normalize(), '%')} to spare"
    doubts = check_depth(chambers.depth_mm, chambers.origin_height_mm) if chambers.origin_height_mm else []
    return ChamberNeed(
        each_ml=each,
        total_ml=total,
        sentence=(
            f"{count}, {size}, {deep} deep, take {format_quantity(each, 'mL', digits=4)} each"
            f"{spare if chambers.overage_percent else ''}: {format_quantity(total, 'mL', digits=4)}."
        ),
        doubts=tuple(doubts),
    )


def mixture_sheet(
    parts: Sequence[PartWanted],
    *,
    total_ml: Decimal | None = None,
    chambers: Chambers | None = None,
    remaining_ml: Mapping[str, Decimal] | None = None,
    available: Sequence[Vessel] | None = None,
    temperature_c: Decimal | None = None,
) -> MixtureSheet:
    """Work out a mixture of liquids for one of three scales.

    Parameters
    ----------
    parts : sequence of PartWanted
        The recipe, in parts by volume, mass or moles, or in % v/v or % w/w of the whole [-].
    total_ml : Decimal, optional
        Volume wanted [mL].
    chambers : Chambers, optional
        Chambers to fill, in place of a volume [mm].
    remaining_ml : mapping of str to Decimal, optional
        What is left of one part or of several, in place of a volume [mL].
    available : sequence of Vessel, optional
        Cylinders in the prep room; the shipped class B sizes unless given [mL].
    temperature_c : Decimal, optional
        Temperature of the room, for the phases [degC].

    Returns
    -------
    MixtureSheet
        Volumes or masses as they are measured, composition, phases, and what to question.

    Raises
    ------
    ImpossibleProportion
        Not exactly one of the three scales, or a recipe, total, chamber or remainder that makes no sense.
    NoVessel
        When nothing here measures a part.

    References
    ----------
    .. [1] `mixture_plan`, `mass_plan`, `remainders.largest_batch`, `phases.phase_check`.
    """
    if sum(one is not None for one in (total_ml, chambers, remaining_ml)) != 1:
        raise ImpossibleProportion("Scale it to a total, to chambers, or to what is left: one of the three.")
    recipe = _by_volume_or_mass(parts)
    how: tuple[str, ...] = ()
    doubts: tuple[str, ...] = ()
    batch = None
    if chambers is not None:
        need = chambers_need(chambers)
        total_ml, how, doubts = need.total_ml, (need.sentence,), need.doubts
    elif remaining_ml is not None:
        batch = largest_batch(_volumes(recipe), remaining_ml, available)
        total_ml, how = _no_more_than(batch), (batch.sentence, *_on_divisions(batch))
    total = total_ml or Decimal(0)
    phases = phase_check(recipe, wanted_ml=total, temperature_c=temperature_c)
    plan = _plan(recipe, total, available, measured=batch is not None)
    if phases and phases.verdict == "two":
        plan = replace(plan, steps=(*plan.steps[:-1], f"Stopper it. {USE_UPPER}"))
    return MixtureSheet(
        ratio=_ratio(recipe),
        total_ml=total,
        plan=plan,
        how=(*how, plan.how),
        doubts=(*doubts, *plan.doubts),
        batch=batch,
        composition=_composition(recipe, total),
        phases=phases,
        liquids=liquids_to_label(recipe, phases),
    )


def _by_volume_or_mass(parts: Sequence[PartWanted]) -> tuple[PartWanted, ...]:
    """% v/v of a whole are parts by volume; the rest stays."""
    bases = {part.basis for part in parts}
    if len(bases) > 1 or not bases <= {*SHARES, PERCENT_VV, PERCENT_WW}:
        raise ImpossibleProportion("All parts of a mixture are in one basis: parts, % v/v or % w/w.")
    in_lowest_terms(_named(parts))
    if bases != {PERCENT_VV}:
        return tuple(parts)
    whole = sum((part.amount or Decimal(0) for part in parts), Decimal(0))
    if whole != 100:
        raise ImpossibleProportion(f"The percentages by volume add up to {whole} %, not 100 %.", whole)
    return tuple(replace(part, basis=PARTS) for part in parts)


def _named(parts: Sequence[PartWanted]) -> list[Part]:
    return [Part(part.substance, part.amount or Decimal(0)) for part in parts]


def _volumes(parts: Sequence[PartWanted]) -> list[Part]:
    """The recipe by volume, whatever its basis; what is left is measured by volume."""
    if all(part.basis == PARTS for part in parts):
        return _named(parts)
    found = of_recipe(parts).constituents
    if len(found) != len(parts):
        raise ImpossibleProportion(
            "A liquid is in the recipe twice, under two names; put its parts together."
        )
    return [Part(part.substance, one.volume_ml) for part, one in zip(parts, found, strict=True)]


def _no_more_than(batch: LargestBatch) -> Decimal:
    """The largest total that can be measured, or the largest there is."""
    shares = batch.measurable or batch.shares
    return sum((share.volume_ml for share in shares), Decimal(0))


def _on_divisions(batch: LargestBatch) -> tuple[str, ...]:
    total = _no_more_than(batch)
    if batch.measurable is None or total == batch.total_ml:
        return ()
    shown = format_quantity(total.normalize(), "mL")
    return (f"The largest batch whose parts all stand on a division is {shown}.",)


def _plan(
    parts: Sequence[PartWanted], total: Decimal, available: Sequence[Vessel] | None, *, measured: bool
) -> MixturePlan:
    if not all(part.basis == PARTS for part in parts):
        return mass_plan(parts, total)
    plan = mixture_plan(parts, total, available)
    if measured and plan.made_ml > total:
        said = (
            "Rounded up to divisions it takes a little more than is left: measure the part that runs out as "
            "far as it goes, and the others in proportion."
        )
        return replace(plan, doubts=(*plan.doubts, said))
    return plan


def _ratio(parts: Sequence[PartWanted]) -> str:
    lowest = " : ".join(format_quantity(part.parts, "") for part in in_lowest_terms(_named(parts)))
    names = " : ".join(part.substance for part in parts)
    basis = parts[0].basis
    return f"{names} is {lowest}, {'parts by mass' if basis == PERCENT_WW else basis}."


def _composition(parts: Sequence[PartWanted], total: Decimal) -> Composition | None:
    try:
        return of_recipe(parts, total)
    except (ImpossibleProportion, NoVessel):
        return None
