"""What is measured for a liquid: its boxes, the bottle of each part, the mass of what that bottle holds."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal

from reagents.calculations.preparation import Measure, PrepPlan
from reagents.calculations.quantities import format_quantity
from reagents.calculations.stock import Held, form_factor, mass_of_form, one_name, proposed
from reagents.documents.prep_listed import Box, Measuring
from reagents.models import Container, RequisitionLine


def box_of(line: RequisitionLine, name: str, ticked: dict[str, RequisitionLine]) -> Box:
    """One box stands for all lines made together; it is named after the line that carries its tick."""
    return Box(f"{ticked.get(name, line).uuid} {name}", name in ticked)


def measuring_of(
    measure: Measure,
    line: RequisitionLine,
    ticked: dict[str, RequisitionLine],
    bottle: Container | None,
    kept: bool,
) -> Measuring:
    box = box_of(line, f"measure {measure.key}", ticked)
    if bottle is None:
        missing = "none in date on the shelf" if kept and measure.substance != "water" else ""
        return Measuring(measure, box, missing)
    lot = f", lot {bottle.lot}" if bottle.lot else ""
    ours = _of_bottle(measure, bottle)
    factor = form_factor(measure.substance, bottle.form, bottle.purity_percent)
    factor = Decimal(1) if ours is measure else factor
    return Measuring(ours, box, f"{bottle.place}{lot}", factor)


def by_name(held: Iterable[Held]) -> dict[str, list[Held]]:
    """The shelf by the one name of each substance, so that a long list does not search it again and again."""
    found: dict[str, list[Held]] = {}
    for one in held:
        found.setdefault(one_name(one.substance), []).append(one)
    return found


def bottles_for(
    plan: PrepPlan, day: date, held: Mapping[str, list[Held]], bottles: dict[int, Container]
) -> dict[int, Container]:
    """For each part the bottle that is in date on the day of making and ends first."""
    found = {
        measure.key: proposed(held.get(one_name(measure.substance), ()), measure.substance, day=day)
        for measure in plan.measures
    }
    return {key: bottles[one.key] for key, one in found.items() if one is not None}


def _of_bottle(measure: Measure, bottle: Container) -> Measure:
    """The mass of the salt, hydrate or purity that the bottle holds, in place of the substance itself."""
    if measure.unit != "g" or measure.wanted is None:
        return measure
    mass = mass_of_form(measure.wanted, measure.substance, bottle.form, bottle.purity_percent)
    if mass == measure.wanted:
        return measure
    kind = bottle.form or f"{bottle.purity_percent or 0:.3g} % pure"
    return replace(
        measure,
        wanted=mass,
        shown=format_quantity(mass, "g", digits=9),
        substance=f"{measure.substance} ({kind})",
    )


def steps_for(plan: PrepPlan, taken: dict[int, Container]) -> Iterator[str]:
    """The steps, with what is weighed of the bottle's own form."""
    said = {
        f"{one.shown} of {one.substance}": f"{other.shown} of {other.substance}"
        for one in plan.measures
        if one.key in taken and (other := _of_bottle(one, taken[one.key])) is not one
    }
    for step in plan.steps:
        for before, after in said.items():
            step = step.replace(before, after)
        yield step


def by_the_bottle(ours: Measuring) -> str:
    """That a mass is of the bottle's own form, beside remarks that are of the substance itself."""
    times = format_quantity(ours.form_factor, "", digits=4)
    return (
        f"The list asks for {ours.measure.shown} of what the bottle holds. Other masses named here are of "
        f"the pure substance itself: of the bottle take {times} times as much."
    )
