"""What a batch holds, as its label says it, with the hazards that follow; of one layer, if it splits."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from reagents.calculations.hazard_terms import Component
from reagents.calculations.hazards import Classification, classify_layers
from reagents.calculations.layers import Layer
from reagents.calculations.phases import LAYER_DOUBT, phase_check
from reagents.calculations.prep_plan import contents
from reagents.calculations.preparation import PARTS, PARTS_BY_MASS, SHARES, PartWanted
from reagents.calculations.quantities import format_quantity
from reagents.calculations.recipe_hazards import classify_parts
from reagents.models import Batch

WHOLE = "whole"
TWO_LAYERS = "in two layers: "
TOO_CLOSE = (
    "Whether this mixture stays one liquid is too close to call. If it parts, a bottle that holds one layer "
    "needs the label of that layer, which cannot be told here."
)


@dataclass(frozen=True)
class Contents:
    """Sentence, hazards (None where nothing can be told) and doubts; `layer` names the layer, if one."""

    said: str
    hazards: Classification | None
    doubts: tuple[str, ...] = ()
    layer: str = ""


def contents_of(batch: Batch, layer: str) -> Contents:
    """By what was measured, where the recipe is a mixture in parts; else by the strengths of the recipe.

    `layer` is one of `layers_of`; without it, the first of them where the mixture splits.
    """
    parts = as_made(batch)
    check = phase_check(parts)
    layers = check.layers if check else ()
    if layers and layer != WHOLE:
        return _of_layer(layers, layer or layers[0].place)
    found = classify_parts(parts)
    by_mass = found.components and all(part.basis in SHARES for part in parts)
    said = _by_mass(found.components) if by_mass else contents(parts)
    close = check is not None and check.verdict == "too close"
    return Contents(
        said=f"{TWO_LAYERS}{said}" if layers else said,
        hazards=found.classification,
        doubts=(*((TOO_CLOSE,) if close else ()), *found.doubts),
    )


def layers_of(batch: Batch) -> tuple[tuple[str, str], ...]:
    """The layers that may go into a bottle, as choices; none where the mixture stays one."""
    check = phase_check(as_made(batch))
    if not check or not check.layers:
        return ()
    each = [(one.place, f"the {one.place} layer, {one.character}") for one in check.layers]
    return (*each, (WHOLE, "both layers together"))


def as_made(batch: Batch) -> list[PartWanted]:
    """The parts of the recipe; where they are mere parts, in amounts of what was really measured."""
    parts = list(batch.recipe.wanted_parts())
    measured = {one.part.order: one for one in batch.amounts.all()}
    units = {one.unit for one in measured.values()}
    if len(units) != 1 or {part.key for part in parts} != set(measured):
        return parts
    if not all(part.basis in SHARES for part in parts):
        return parts
    basis = PARTS if units == {"mL"} else PARTS_BY_MASS
    return [replace(part, amount=measured[part.key].measured, basis=basis) for part in parts]


def _of_layer(layers: Sequence[Layer], place: str) -> Contents:
    """One layer from its own composition; both share one vapour, so both are as flammable."""
    held = [_components(one) for one in layers]
    chosen = next((number for number, one in enumerate(layers) if one.place == place), 0)
    made = classify_layers(held)[chosen]
    return Contents(
        said=_by_mass(held[chosen]),
        hazards=made,
        doubts=(LAYER_DOUBT, *made.doubts),
        layer=f"{layers[chosen].place} layer",
    )


def _components(layer: Layer) -> tuple[Component, ...]:
    shares = layer.composition.mass_shares
    return tuple(Component(name, share) for name, share in shares.items() if share)


def _by_mass(components: Sequence[Component]) -> str:
    shares = [f"{one.substance} {format_quantity(one.percent, '%', digits=2)}" for one in components]
    return f"{', '.join(shares)} by mass"
