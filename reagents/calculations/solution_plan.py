"""A recipe in % w/v or mol/L becomes masses to weigh and a vessel to fill up."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_UP, Decimal

from reagents.calculations.glassware import NoVessel, Vessel, balance_check, measuring, tolerance, vessels
from reagents.calculations.mixing import is_acid
from reagents.calculations.portions import taking
from reagents.calculations.preparation import (
    IN_VOLUME,
    MOLAR,
    PERCENT_VV,
    STOCK,
    TO_VOLUME,
    Measure,
    PartWanted,
)
from reagents.calculations.quantities import format_quantity
from reagents.calculations.recipe_tree import stock_volume_ml
from reagents.calculations.solutions import (
    ImpossibleSolution,
    dissolves,
    mass_for_molar,
    mass_for_percent_wv,
    plausible_strength,
    stock_for,
)
from reagents.calculations.substances import Substance, UnknownSubstance, bottle_forms, substance

COARSE, FINE = Decimal("0.01"), Decimal("0.001")  # balances of a prep room: common practice, no source
LARGEST_BATCH_ML = Decimal(2000)  # what the largest flask holds
PURITY_EXAMPLE = Decimal("0.98")
SMALLEST_TAKEN_ML = Decimal(1)  # less of a stock is not worth the way through it: common practice, no source
MOST_WASTE = 2  # a flask of more than twice the volume wastes more than a cylinder's error is worth


@dataclass(frozen=True)
class SolutionPlan:
    """Masses and the final volume of one solution."""

    measures: tuple[Measure, ...]
    steps: tuple[str, ...]
    made_ml: Decimal
    how: str
    doubts: tuple[str, ...] = ()


def solution_plan(
    parts: Sequence[PartWanted], total_ml: Decimal, *, kind: str = "solution", title: str = ""
) -> SolutionPlan:
    """Masses to weigh for a volume that a flask or cylinder measures.

    Parameters
    ----------
    parts : sequence of PartWanted
        Solutes in % w/v, % v/v or mol/L, or stocks that are made first, and one liquid to volume
        [% w/v, % v/v or mol/L].
    total_ml : Decimal
        Volume wanted [mL].
    kind, title : str, optional
        Of the recipe; a locating agent's and a standard's strength are questioned when unusual [-].

    Returns
    -------
    SolutionPlan
        Masses [g], or volumes of solutes that are liquids, and the volume to fill up to [mL].

    Raises
    ------
    ImpossibleSolution
        Not exactly one liquid to volume, no solute, or a strength that makes no solution.
    NoVessel
        A total that no vessel measures.

    References
    ----------
    .. [1] m = c V / 100 and m = c V M: `solutions.mass_for_percent_wv` and `solutions.mass_for_molar`.
    .. [2] A flask for mol/L, a cylinder for % w/v: common practice, no source.
    """
    liquids = [part for part in parts if part.basis == TO_VOLUME]
    solutes = [part for part in parts if part.basis != TO_VOLUME]
    for part in solutes:
        if part.basis not in IN_VOLUME:
            raise ImpossibleSolution(
                f"{part.substance} in {part.basis} does not go with “to volume”; use % w/v, % v/v or mol/L.",
                part.basis,
            )
    if len(liquids) != 1 or not solutes:
        raise ImpossibleSolution(
            "The recipe needs at least one substance to dissolve and exactly one liquid to fill up with."
        )
    liquid = liquids[0]
    made, vessel, marked = _vessel(total_ml, exact=any(part.basis == MOLAR for part in solutes))
    measured = [_solute(part, made, liquid.substance) for part in solutes]
    doubts = [doubt for _, said in measured for doubt in said]
    doubts += [said for part in solutes for said in _implausible(part, kind, title)]
    filled = Measure(
        key=liquid.key,
        substance=liquid.substance,
        unit="mL",
        wanted=made,
        shown=f"fill up to {format_quantity(made, 'mL', digits=9)}",
        vessel=vessel,
        tolerance=marked,
        fills_up=True,
    )
    shown, wanted = (format_quantity(value.normalize(), "mL", digits=9) for value in (made, total_ml))
    return SolutionPlan(
        measures=(*(measure for measure, _ in measured), filled),
        steps=_steps([measure for measure, _ in measured], filled),
        made_ml=made,
        how=f"Make {shown}."
        if made == total_ml
        else f"Make {shown}, what the vessel measures; {wanted} is needed.",
        doubts=tuple(doubts),
    )


def _vessel(total_ml: Decimal, *, exact: bool) -> tuple[Decimal, str, str]:
    """Volume to make, the vessel, and how far off its mark may be."""
    flasks = sorted(
        (v for v in vessels() if v.item == "one-mark volumetric flask" and v.grade == "B"),
        key=lambda vessel: vessel.nominal_ml,
    )
    flask: Vessel | None = next((v for v in flasks if v.nominal_ml >= total_ml), None)
    if exact and flask and flask.nominal_ml <= MOST_WASTE * total_ml:
        mark = tolerance(flask.nominal_ml, flask).limit_ml
        name = f"{format_quantity(flask.nominal_ml, 'mL')} volumetric flask"
        return flask.nominal_ml, name, f"± {format_quantity(mark, 'mL')}"
    found = measuring(total_ml)
    fills = f", {found.fills} fills" if found.fills > 1 else ""
    limit = format_quantity(found.tolerance.limit_ml, "mL")
    return (
        found.measured_ml,
        f"{found.vessel}{fills}",
        f"± {limit}, {found.tolerance.words}",
    )


def _known(name: str) -> Substance | None:
    try:
        return substance(name)
    except UnknownSubstance:
        return None


def _solute(part: PartWanted, made: Decimal, liquid: str) -> tuple[Measure, list[str]]:
    if part.made_from:
        return _from_stock(part, made)
    known = _known(part.substance)
    amount = part.amount or Decimal(0)
    if part.basis == PERCENT_VV:
        return _by_volume(part, amount * made / 100, ())
    if part.basis == MOLAR and (known is None or known.molar_mass is None):
        moles = format_quantity(amount * made / 1000, "mol", digits=4)
        said = (
            f"{part.substance}: its molar mass is not known here. Read M from the bottle; mass = {moles} × M."
        )
        return Measure(part.key, part.substance, "g", None, "mass = see below", "balance", ""), [said]
    mass = _mass(part, made, known)
    if known is not None and known.density_20 is not None:
        return _liquid_solute(part, mass, known.density_20)
    doubts = []
    remarks = _weighing(part.substance, mass, made, liquid)
    if known is not None:
        remarks += [*_forms(part, made, known), _purity(mass)]
    dissolving = _dissolving(known, 100 * mass / made, liquid)
    if dissolving:
        doubts.append(dissolving)
    fine = not balance_check(mass, COARSE).enough
    readability = FINE if fine else COARSE
    wanted = _to_balance(mass, readability)
    measure = Measure(
        key=part.key,
        substance=part.substance,
        unit="g",
        wanted=wanted,
        shown=format_quantity(wanted, "g", digits=9),
        vessel=f"{format_quantity(readability, 'g')} balance",
        tolerance=balance_check(mass, readability).words,
        remarks=tuple(remarks),
    )
    return measure, doubts


def _to_balance(mass: Decimal, readability: Decimal) -> Decimal:
    """Round to the balance; a mass far below it keeps three digits, for the stock it is made through."""
    step = readability if mass >= 10 * readability else Decimal(1).scaleb(max(mass.adjusted() - 2, -6))
    return max(mass.quantize(step, rounding=ROUND_HALF_UP), step)


def _mass(
    part: PartWanted, volume: Decimal, known: Substance | None, molar_mass: Decimal | None = None
) -> Decimal:
    """Mass of the substance itself, or of the form in the bottle when its molar mass is given."""
    amount = part.amount or Decimal(0)
    own = known.molar_mass if known else None
    if part.basis == MOLAR and (molar_mass or own):
        return mass_for_molar(amount, volume, molar_mass or own or Decimal(0))
    mass = mass_for_percent_wv(amount, volume)
    return mass * molar_mass / own if molar_mass and own else mass


def _from_stock(part: PartWanted, made: Decimal) -> tuple[Measure, list[str]]:
    """So much of a stock that is made first, with the vessel that takes it best."""
    title = part.made_from.title if part.made_from else ""
    volume = stock_volume_ml(part, made)
    took = taking(volume)
    shown = format_quantity(took.volume_ml.normalize(), "mL", digits=9)
    limit = format_quantity(took.vessel.limit_ml, "mL")
    remarks = [f"Of “{title}”, which is made first."]
    if took.volume_ml != volume:
        remarks.append(f"{format_quantity(volume, 'mL', digits=4)} exactly.")
    measure = Measure(
        key=part.key,
        substance=title if part.basis == PERCENT_VV else f"{title} (for {part.substance})",
        unit="mL",
        wanted=took.volume_ml,
        shown=shown,
        vessel=str(took.vessel),
        tolerance=f"± {limit}, {tolerance(took.volume_ml, took.vessel).words}",
        from_stock=True,
        remarks=tuple(remarks),
    )
    return measure, []


def _liquid_solute(part: PartWanted, mass: Decimal, density: Decimal) -> tuple[Measure, list[str]]:
    remark = f"{format_quantity(mass, 'g', digits=4)} of it, taken as pure, by its density at 20 °C."
    return _by_volume(part, mass / density, (remark,))


def _by_volume(part: PartWanted, volume: Decimal, remarks: tuple[str, ...]) -> tuple[Measure, list[str]]:
    try:
        found = measuring(volume)
    except NoVessel as trouble:
        wanted = volume.quantize(Decimal("0.001"), rounding=ROUND_HALF_UP) or Decimal("0.001")
        shown = format_quantity(wanted, "mL")
        none = Measure(
            part.key, part.substance, "mL", wanted, shown, "no vessel known here", "", remarks=remarks
        )
        return none, [f"{part.substance}: {trouble}"]
    division = found.vessel.division_ml or Decimal("0.1")
    # To the nearest division, not up: here the strength matters more than having enough.
    wanted = (volume / division).quantize(Decimal(1), rounding=ROUND_HALF_UP) * division
    measure = Measure(
        key=part.key,
        substance=part.substance,
        unit="mL",
        wanted=wanted,
        shown=format_quantity(wanted, "mL", digits=9),
        vessel=str(found.vessel),
        tolerance=f"± {format_quantity(found.tolerance.limit_ml, 'mL')}",
        remarks=remarks,
    )
    return measure, []


def _weighing(name: str, mass: Decimal, volume: Decimal, liquid: str) -> list[str]:
    """What each balance can do with this mass, and the stock to make where it cannot."""
    shown = _to_balance(mass, FINE)
    if balance_check(mass, COARSE).enough:
        return [balance_check(shown, COARSE).sentence]
    fine = balance_check(mass, FINE)
    said = [balance_check(shown, FINE).sentence if fine.enough else _too_little(fine.expanded_percent)]
    through = (COARSE,) if fine.enough else (FINE, COARSE)
    said += [_through_stock(name, mass, volume, liquid, readability) for readability in through]
    return [*filter(None, said), *_bigger_batch(mass, volume)]


def _bigger_batch(mass: Decimal, volume: Decimal) -> list[str]:
    """From which volume on the coarser balance weighs the mass well."""
    least = (volume * balance_check(mass, COARSE).smallest_g / mass).to_integral_value(ROUND_CEILING)
    if least > LARGEST_BATCH_ML:
        return []
    shown, balance = format_quantity(least, "mL"), format_quantity(COARSE, "g")
    return [f"Or a bigger batch: from {shown} on, a {balance} balance weighs it to 1 %."]


def _too_little(percent: float) -> str:
    return f"Little for a {format_quantity(FINE, 'g')} balance: uncertain by about {_percent(percent)}."


def _percent(value: float) -> str:
    return format_quantity(Decimal(f"{value:.2g}"), "%")


def _through_stock(name: str, mass: Decimal, volume: Decimal, liquid: str, readability: Decimal) -> str:
    balance = f"On a {format_quantity(readability, 'g')} balance"
    try:
        stock = stock_for(mass, volume, readability)
    except ImpossibleSolution as trouble:
        return f"{balance}: {trouble}"
    if stock is None or stock.take_ml < SMALLEST_TAKEN_ML:
        return ""
    weigh = format_quantity(_to_balance(stock.mass_g, readability), "g")
    whole, take = (format_quantity(v, "mL") for v in (stock.volume_ml, stock.take_ml))
    known = _known(name)
    insoluble = _dissolving(known, 100 * stock.mass_g / volume, liquid)
    if insoluble:
        return f"{balance} there is no way through a stock: {insoluble}"
    return (
        f"{balance}: weigh {weigh} into {whole} of {liquid} (a stock {stock.factor} times as strong), then "
        f"take {take} of that and fill up to {whole}."
    )


def _dissolving(known: Substance | None, grams_per_100ml: Decimal, liquid: str) -> str:
    """A sentence when it will not dissolve in water, or only just."""
    solvent = _known(liquid)
    if known is None or solvent is None or solvent.name != "water":
        return ""
    found = dissolves(known.name, grams_per_100ml)
    return " ".join((found.sentence, *found.remedies)) if found.verdict in {"no", "marginal"} else ""


def _forms(part: PartWanted, made: Decimal, known: Substance) -> list[str]:
    return [
        f"Ask which form is in the bottle. {form.name}: weigh "
        f"{format_quantity(_mass(part, made, known, form.molar_mass), 'g', digits=3)} instead "
        f"(M {form.molar_mass} g/mol, {form.read_or_memory.partition(';')[0]}; compare with the bottle)."
        for form in bottle_forms(known.name)
    ]


def _purity(mass: Decimal) -> str:
    impure = format_quantity(mass / PURITY_EXAMPLE, "g", digits=3)
    return f"Taken as pure. If the bottle says less, divide by it: at 98 % weigh {impure}."


def _implausible(part: PartWanted, kind: str, title: str) -> list[str]:
    known = _known(part.substance)
    if known is None or not part.amount or kind == STOCK:
        return []
    percent = part.amount
    if part.basis == MOLAR:
        if known.molar_mass is None:
            return []
        percent = part.amount * known.molar_mass / 10
    if known.name == "ninhydrin":
        return plausible_strength(
            "ninhydrin dip" if "dip" in title.casefold() else "ninhydrin spray", percent
        )
    if kind == "solution" and (known.name.startswith("L-") or known.name == "glycine"):
        return plausible_strength("amino acid standard", percent)
    return []


def _steps(solutes: Sequence[Measure], filled: Measure) -> tuple[str, ...]:
    some = format_quantity((filled.wanted or Decimal(0)) * 2 / 3, "mL", digits=2)
    steps = [f"Put about {some} of {filled.substance} into a beaker."]
    for measure in solutes:
        if measure.unit == "mL" and is_acid(measure.substance):
            steps.append(
                f"In the fume cupboard, add {measure.shown} of {measure.substance} to it slowly, swirling; "
                "never water into acid."
            )
        elif measure.unit == "mL":
            steps.append(f"Add {measure.shown} of {measure.substance}.")
        elif measure.wanted is None:
            steps.append(f"Weigh the {measure.substance} and dissolve it, stirring.")
        else:
            steps.append(f"Weigh {measure.shown} of {measure.substance} and dissolve it, stirring.")
    steps.append(
        f"Pour it into the {filled.vessel}, rinse the beaker into it, and {filled.shown} "
        f"with {filled.substance}."
    )
    return (*steps, "Stopper it and turn it over ten times. Label it at once.")
