"""What a prep list says about one liquid: how much of what, in what, in which order, with what care."""

from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from reagents.calculations.glassware import NoVessel
from reagents.calculations.mass_plan import mass_plan
from reagents.calculations.mixing import DEFER, FIRE, cautions_for
from reagents.calculations.mixture_plan import MixturePlan, mixture_plan
from reagents.calculations.phases import USE_UPPER, PhaseCheck, phase_check
from reagents.calculations.preparation import (
    MOLE_PARTS,
    PARTS,
    PARTS_BY_MASS,
    PERCENT_VV,
    PERCENT_WW,
    SHARES,
    SIGNS,
    STOCK,
    TO_VOLUME,
    Cautions,
    Filling,
    Hazards,
    PartWanted,
    PrepPlan,
    Sign,
    Wanted,
)
from reagents.calculations.proportions import (
    ImpossibleProportion,
    chamber_volume_ml,
    check_depth,
    total_needed,
)
from reagents.calculations.quantities import format_quantity
from reagents.calculations.recipe_tree import canonical, substances_of
from reagents.calculations.solution_plan import solution_plan
from reagents.calculations.solutions import ImpossibleSolution
from reagents.calculations.substances import Substance, UnknownSubstance, hazard_sentences, substance
from reagents.calculations.ternary import ternary_diagram

MOBILE_PHASE = "mobile phase"  # the kind of recipe that fills chambers
STOCK_TO_SPARE = Decimal("0.1")  # so that the last of it can still be pipetted: common practice, no source
SAME_TOTAL = Decimal("0.01")  # a total typed to the nearest mL agrees with the sum; more than 1 % does not


def plan_for(wanted: Wanted) -> PrepPlan:
    """Work out one liquid of a prep list.

    What cannot be worked out becomes a sentence under `doubts`; the rest of the plan stands.

    Parameters
    ----------
    wanted : Wanted
        Recipe and fillings [mL].

    Returns
    -------
    PrepPlan
        What to measure [mL or g], steps, cautions, hazards and what to question.

    References
    ----------
    .. [1] `mixture_plan.mixture_plan` and `solution_plan.solution_plan` name the rules.
    """
    names = list(substances_of(wanted.parts))
    plan = PrepPlan(
        wanted=wanted,
        made_ml=wanted.total_ml,
        how=_hows(wanted.fillings),
        doubts=tuple(dict.fromkeys(said for filling in wanted.fillings for said in _doubts(filling))),
        cautions=_cautions(wanted.cautions, names),
        hazards=hazards_of(names),
        contents=contents(wanted.parts),
    )
    try:
        measured = _measured(plan)
        return replace(_told_apart(measured), stocks=stocks_first([measured]))
    except (ImpossibleProportion, ImpossibleSolution, NoVessel) as trouble:
        return replace(plan, doubts=(*plan.doubts, f"This cannot be worked out: {trouble}"))


def _told_apart(plan: PrepPlan) -> PrepPlan:
    """Whether it stays one liquid; where it parts, the last step is to part it, not to wait."""
    phase = phase_check(plan.wanted.parts, wanted_ml=plan.wanted.total_ml)
    if phase is None:
        return plan
    if phase.verdict == "two":
        plan = _for_the_layer_in_use(plan, phase)
        plan = replace(plan, steps=(*plan.steps[:-1], f"Stopper it. {USE_UPPER}"))
    return replace(plan, phase=phase, diagram=ternary_diagram(phase))


def _for_the_layer_in_use(plan: PrepPlan, phase: PhaseCheck) -> PrepPlan:
    """A mobile phase that parts: as much of the whole as gives the volume wanted of its upper layer."""
    wanted = plan.wanted
    if wanted.kind != MOBILE_PHASE or phase.upper is None:
        return plan
    try:
        mixture = _mixture(wanted.parts, phase.upper.mix_ml(wanted.total_ml))
    except (ImpossibleProportion, NoVessel):  # more than is made here: the sentence of the phases stands
        return plan
    if mixture is None:
        return plan
    mix, layer, rest = (
        format_quantity(volume.quantize(Decimal(1)), "mL")
        for volume in (
            mixture.made_ml,
            wanted.total_ml,
            mixture.made_ml * (1 - phase.upper.volume_share),
        )
    )
    return replace(
        plan,
        made_ml=mixture.made_ml,
        how=(
            *plan.how[:-1],
            f"Mix {mix}, to have {layer} of the upper layer; about {rest} is the lower one.",
        ),
        measures=mixture.measures,
        steps=mixture.steps,
        doubts=tuple(dict.fromkeys((*plan.doubts, *mixture.doubts))),
        ratio=mixture.ratio,
    )


def _measured(plan: PrepPlan) -> PrepPlan:
    wanted = plan.wanted
    mixture = _mixture(wanted.parts, wanted.total_ml)
    if mixture:
        return replace(
            plan,
            made_ml=mixture.made_ml,
            how=(*plan.how, mixture.how),
            measures=mixture.measures,
            steps=mixture.steps,
            doubts=(*plan.doubts, *mixture.doubts),
            ratio=mixture.ratio,
        )
    if any(part.basis in SHARES for part in wanted.parts):
        raise ImpossibleSolution("The recipe mixes parts with % or mol/L; ask which is meant.")
    solution = solution_plan(wanted.parts, wanted.total_ml, kind=wanted.kind, title=wanted.title)
    return replace(
        plan,
        made_ml=solution.made_ml,
        how=(*plan.how, solution.how),
        measures=solution.measures,
        steps=solution.steps,
        doubts=(*plan.doubts, *solution.doubts),
    )


def _taken(plan: PrepPlan) -> list[Wanted]:
    """What one liquid takes of its own stocks, with some to spare."""
    amounts = {measure.key: measure for measure in plan.measures}
    found = []
    for part in plan.wanted.parts:
        stock, measure = part.made_from, amounts.get(part.key)
        if stock is None or measure is None or measure.wanted is None:
            continue
        shown = format_quantity(measure.wanted.normalize(), measure.unit)
        needed = Filling(
            measure.wanted * (1 + STOCK_TO_SPARE),
            for_what=f"{shown} for “{plan.wanted.title}” and a tenth to spare.",
        )
        found.append(
            Wanted(
                title=stock.title,
                kind=STOCK,
                parts=stock.parts,
                fillings=(needed,),
                cautions=stock.cautions,
                made_on_the_day=stock.made_on_the_day,
                shelf_life_hours=stock.shelf_life_hours,
            )
        )
    return found


def stocks_first(plans: Iterable[PrepPlan]) -> tuple[PrepPlan, ...]:
    """All stocks that several liquids need, each once with what they need together, in the order of making.

    Parameters
    ----------
    plans : iterable of PrepPlan
        The liquids of a list [-].

    Returns
    -------
    tuple of PrepPlan
        The plans of the stocks, those of a stock before it [mL].

    References
    ----------
    .. [1] Same recipe, made once: `recipe_tree.canonical`.
    """
    waiting: dict[object, Wanted] = {}
    for plan in plans:
        _add(waiting, _taken(plan))
    made: list[PrepPlan] = []
    while waiting:
        # What another one still waiting takes from is planned after it, when all that is taken is known.
        key = next(key for key, one in waiting.items() if not _taken_by_others(one, waiting.values()))
        plan = plan_for(waiting.pop(key))
        _add(waiting, _taken(plan))
        made.append(replace(plan, stocks=()))
    return tuple(reversed(made))


def _same_stock(title: str, parts: tuple[PartWanted, ...]) -> object:
    try:
        return title, canonical(parts)
    except ImpossibleProportion:
        return title, parts


def _add(waiting: dict[object, Wanted], taken: Iterable[Wanted]) -> None:
    for one in taken:
        key = _same_stock(one.title, one.parts)
        before = waiting[key].fillings if key in waiting else ()
        waiting[key] = replace(one, fillings=(*before, *one.fillings))


def _taken_by_others(one: Wanted, waiting: Iterable[Wanted]) -> bool:
    key = _same_stock(one.title, one.parts)
    return any(key in _keys_within(other.parts) for other in waiting)


def _keys_within(parts: tuple[PartWanted, ...]) -> set[object]:
    found: set[object] = set()
    for part in parts:
        if part.made_from:
            found.add(_same_stock(part.made_from.title, part.made_from.parts))
            found |= _keys_within(part.made_from.parts)
    return found


def _mixture(parts: tuple[PartWanted, ...], total_ml: Decimal) -> MixturePlan | None:
    """The plan of a recipe whose parts share out the whole; None for solutions to a volume."""
    bases = {part.basis for part in parts}
    whole = sum((part.amount or Decimal(0) for part in parts), Decimal(0)) == 100
    if bases == {PARTS} or (bases == {PERCENT_VV} and whole):
        return mixture_plan(parts, total_ml)
    if bases and bases <= {PERCENT_WW, TO_VOLUME} and PERCENT_WW in bases:
        return mass_plan(parts, total_ml)
    return mass_plan(parts, total_ml) if bases in ({PARTS_BY_MASS}, {MOLE_PARTS}) else None


def contents(parts: Iterable[PartWanted]) -> str:
    """What a liquid holds, in words: for a coded unknown this is its key.

    Parameters
    ----------
    parts : iterable of PartWanted
        The recipe [parts by volume, % w/v or mol/L].

    Returns
    -------
    str
        Such as "L-alanine 0.01 mol/L, L-leucine 0.01 mol/L, in water".

    References
    ----------
    No formula.
    """
    said = []
    for part in parts:
        made_from = (
            f" (from “{part.made_from.title}”: {contents(part.made_from.parts)})" if part.made_from else ""
        )
        if part.amount is None:
            said.append(f"in {part.substance}{made_from}")
        else:
            unit = {PARTS: "parts"}.get(part.basis, part.basis)
            said.append(f"{part.substance} {format_quantity(part.amount.normalize(), unit)}{made_from}")
    return ", ".join(said)


def cautions_of(parts: Iterable[PartWanted]) -> tuple[Cautions, ...]:
    """What to watch with the substances of a recipe, those of its stocks too.

    Parameters
    ----------
    parts : iterable of PartWanted
        The recipe [-].

    Returns
    -------
    tuple of Cautions
        By substance, then fire; without the line that defers, which stands once on a page.

    References
    ----------
    .. [1] `mixing.cautions_for`.
    """
    return _cautions((), list(substances_of(tuple(parts))))


def hazards_of(names: Iterable[str]) -> tuple[Hazards, ...]:
    """What the supplier's labels of substances, as bought, are expected to say.

    Parameters
    ----------
    names : iterable of str
        Names of substances [-].

    Returns
    -------
    tuple of Hazards
        One for each known substance with a hazard, or with a remark in place of one.

    References
    ----------
    .. [1] `reagents/data/substances.csv`; sentences in our own words, see `substances.LABEL_NOTICE`.
    """
    found = []
    for name in dict.fromkeys(names):
        known = _known(name)
        if known is None:
            continue
        sentences = [sentence for code in known.hazard_codes for sentence in _sentence(code)]
        remark = "" if known.classification_note == "not classified" else known.classification_note
        if sentences or known.pictograms:
            found.append(
                Hazards(known.name, _signs(known.pictograms), known.signal_word, tuple(sentences), remark)
            )
    return tuple(found)


def _known(name: str) -> Substance | None:
    try:
        return substance(name)
    except UnknownSubstance:
        return None


def _sentence(code: str) -> list[str]:
    try:
        return hazard_sentences([code])
    except UnknownSubstance:
        return [f"{code}: read the label."]


def _signs(codes: Iterable[str]) -> tuple[Sign, ...]:
    return tuple(Sign(code, SIGNS[code]) for code in codes if code in SIGNS)


def _cautions(own: tuple[str, ...], names: list[str]) -> tuple[Cautions, ...]:
    """The recipe's own first, then by substance; the line that defers stands once on the whole list."""
    by_substance: dict[str, list[str]] = {}
    for caution in cautions_for(names):
        if caution.sentence == DEFER:
            continue
        about = caution.substance if caution.sentence != FIRE else f"{caution.substance}: fire"
        by_substance.setdefault(about, []).append(caution.sentence)
    found = [Cautions("The whole", (), own)] if own else []
    for about, sentences in by_substance.items():
        known = _known(about)
        signs = _signs(known.pictograms if known else ("GHS02",) if FIRE in sentences else ())
        found.append(Cautions(about.removesuffix(": fire"), signs, tuple(sentences)))
    return tuple(found)


def _hows(fillings: tuple[Filling, ...]) -> tuple[str, ...]:
    """Each total that was worked out; several that were merely asked for stand in the list's own table."""
    if any(filling.for_what for filling in fillings):
        return tuple(filling.for_what for filling in fillings if filling.for_what)
    if len(fillings) == 1:
        return (_how(fillings[0]),)
    return tuple(_how(filling) for filling in fillings if filling.chambers and filling.volume_per_chamber_ml)


def _how(filling: Filling) -> str:
    """How a total came about, from the figures that were asked for."""
    total = format_quantity(filling.total_ml.normalize(), "mL")
    if not filling.chambers or not filling.volume_per_chamber_ml:
        return f"{total} asked for."
    each = format_quantity(filling.volume_per_chamber_ml.normalize(), "mL", digits=4)
    size = ""
    if filling.diameter_mm and filling.depth_mm:
        across, deep = (format_quantity(v.normalize(), "mm") for v in (filling.diameter_mm, filling.depth_mm))
        size = f" ({across} across, {deep} deep)"
    chambers = "1 chamber" if filling.chambers == 1 else f"{filling.chambers} chambers"
    spare = f" and {format_quantity(filling.overage_percent.normalize(), '%')} to spare"
    return f"{chambers} × {each}{size}{spare if filling.overage_percent else ''}: {total}."


def _doubts(filling: Filling) -> list[str]:
    said: list[str] = []
    depth = _depth(filling)
    try:
        if depth and filling.origin_height_mm:
            said += check_depth(depth, filling.origin_height_mm)
        if filling.chambers and filling.volume_per_chamber_ml:
            needed = total_needed(filling.chambers, filling.volume_per_chamber_ml, filling.overage_percent)
            if filling.total_ml < needed * (1 - SAME_TOTAL):
                short, asked = (format_quantity(v, "mL", digits=4) for v in (needed, filling.total_ml))
                said.append(f"The chambers need {short}, but {asked} is asked for. Ask which is meant.")
    except ImpossibleProportion as trouble:
        said.append(str(trouble))
    return said


def _depth(filling: Filling) -> Decimal | None:
    """Depth as asked for, or as the volume stands in a chamber of that width."""
    if filling.depth_mm or not (filling.diameter_mm and filling.volume_per_chamber_ml):
        return filling.depth_mm
    per_mm = chamber_volume_ml(filling.diameter_mm, Decimal(1))
    return (filling.volume_per_chamber_ml / per_mm).quantize(Decimal("0.1"))
