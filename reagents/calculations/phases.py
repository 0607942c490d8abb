"""One phase or two: butan-1-ol, ethanoic acid and water against the measured curve, said in words.

No model predicts here: those that were tried call the 12 : 3 : 5 mixture two phases, which it is not. What
was not measured is called "no data"; what lies within the doubt of the curve is called so too.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from reagents.calculations.binodal import (
    ACID,
    BAND,
    BUTANOL,
    MEASURED_AT_C,
    TERNARY,
    U_ORGANIC,
    U_WATERY,
    WATER,
    Point,
    TieLine,
    acid_on_curve,
    doubt,
    tie_line,
)
from reagents.calculations.composition import Composition, Given, from_amounts, of_recipe
from reagents.calculations.layers import Layer, layers_of
from reagents.calculations.preparation import PERCENT_VV, PERCENT_WW, SHARES, TO_VOLUME, PartWanted
from reagents.calculations.proportions import ImpossibleProportion
from reagents.calculations.quantities import format_quantity
from reagents.calculations.recipe_tree import substances_of
from reagents.calculations.substances import UnknownSubstance, substance

Verdict = Literal["one", "two", "too close", "no data"]
WORDS: dict[Verdict, str] = {
    "one": "one phase",
    "two": "two phases",
    "too close": "too close to call",
    "no data": "no data",
}
HUNDRED_ML = Decimal(100)
#: The curve was measured at 20 °C; its ends at 25 and 30 °C agree within the doubt. Further away: no data.
WARMER_OR_COLDER = Decimal(5)
LOOK = "Mix a few mL in a stoppered tube and look: clear, or cloudy and then two layers."
WARMTH = (
    "The curve was measured at 20\u00a0°C; it moves with the temperature, so look again if the room is much "
    "colder or warmer."
)
EXPANSION = (
    "From 20 to 25\u00a0°C the liquids expand unevenly, which shifts the ratio by about 0.4\u00a0%: less "
    "than a cylinder's error, so nothing need be corrected (computed)."
)
CURVE = (
    "The curve is drawn through 12 cloud points from titrations by two student groups near 20\u00a0°C and "
    "the published solubilities without acid (all read); no printed table of research was at hand."
)
USE_UPPER = (
    "Shake, let it stand in a separating funnel until both layers are clear, run the lower layer off and use "
    "the upper one (common practice; the sheet of the method decides)."
)
NOT_TO_SINK = "Keep the lower layer for flammable solvent waste: it carries butan-1-ol and acid as well."
LAYER_DOUBT = "Shares of a layer are good to about 3\u00a0% by mass: three pairs of layers were measured."
BEYOND_LINES = "These layers lie beyond those that were measured: take the figures as a rough guide."


@dataclass(frozen=True)
class PhaseCheck:
    """Whether a mixture stays one liquid. `margin` is its acid above the curve, share of the mass [-].

    `headline` is the verdict in a sentence, `sentences` what to do, `details` what else to know, `given` the
    figures used.
    """

    verdict: Verdict
    headline: str
    sentences: tuple[str, ...] = ()
    details: tuple[str, ...] = ()
    composition: Composition | None = None
    point: Point | None = None
    margin: float | None = None
    layers: tuple[Layer, ...] = ()
    tie_line: TieLine | None = None
    temperature_c: Decimal = MEASURED_AT_C
    given: tuple[Given, ...] = ()
    source_keys: tuple[str, ...] = ()

    @property
    def words(self) -> str:
        """The verdict as one says it: "one phase", "two phases", "too close to call", "no data"."""
        return WORDS[self.verdict]

    @property
    def upper(self) -> Layer | None:
        """The layer that is used as a mobile phase, where two are told apart."""
        return self.layers[0] if self.layers else None

    @property
    def rests_on(self) -> str:
        """What the verdict rests on, each figure with read, computed or from memory; empty without data."""
        figures = [one.words for one in self.given if not one.what.startswith("molar mass")]
        if not self.source_keys or not figures:
            return ""
        return f"{CURVE} Figures used: {'; '.join(figures)}."


@dataclass(frozen=True)
class MeasuredPhase:
    """What was really measured against the recipe: the verdict of both and what that means."""

    recipe: PhaseCheck
    measured: PhaseCheck
    changed: bool
    sentence: str


def phases(
    composition: Composition, *, temperature_c: Decimal | None = None, wanted_ml: Decimal = HUNDRED_ML
) -> PhaseCheck:
    """One phase, two, too close to call, or no data.

    Parameters
    ----------
    composition : Composition
        The liquids and their shares [-].
    temperature_c : Decimal, optional
        Temperature of the room; the curve's 20 °C where it is not said [°C].
    wanted_ml : Decimal, optional
        How much of the layer in use is wanted, to say how much to mix [mL].

    Returns
    -------
    PhaseCheck
        Verdict, sentences, and for two phases the layers with their shares [-].

    References
    ----------
    .. [1] `binodal.acid_on_curve`, `binodal.doubt` and `binodal.tie_line` name the measurements.
    .. [2] Butan-1-ol with ethanoic acid, and ethanoic acid with water, mix in all proportions: the curve
       closes on butan-1-ol with water alone.
    """
    names = composition.names
    if not names <= set(TERNARY):
        return _no_data_for(sorted(names), composition)
    shares = composition.mass_shares
    butanol, acid, water = (float(shares.get(name, 0)) for name in TERNARY)
    point = Point(butanol, acid, water, "mixture")
    check = PhaseCheck(
        "one",
        "",
        composition=composition,
        point=point,
        margin=acid - acid_on_curve(point.u),
        temperature_c=MEASURED_AT_C if temperature_c is None else temperature_c,
        given=composition.given,
    )
    if len(names) < 3 and names != {BUTANOL, WATER}:
        return replace(check, margin=None, headline=_cannot_part(names))
    if not -WARMER_OR_COLDER <= check.temperature_c - MEASURED_AT_C <= WARMER_OR_COLDER:
        return _no_data_at(check)
    check = replace(check, source_keys=("calc_interp", "lab_report_a", "lab_report_b_masses", "nist_butanol"))
    between = doubt(point.u)
    if between and acid < between[0]:
        return _two(check, wanted_ml)
    if between and acid <= between[1]:
        return _too_close(check)
    return _one(check)


def phase_check(
    parts: Sequence[PartWanted], *, wanted_ml: Decimal = HUNDRED_ML, temperature_c: Decimal | None = None
) -> PhaseCheck | None:
    """Whether a recipe makes one liquid or two layers.

    Parameters
    ----------
    parts : sequence of PartWanted
        The recipe; parts by volume, mass or moles, or percentages that fill the whole [-].
    wanted_ml : Decimal, optional
        How much of the layer in use is wanted, to say how much to mix [mL].
    temperature_c : Decimal, optional
        Temperature of the room [°C].

    Returns
    -------
    PhaseCheck or None
        None where the question does not arise: a single liquid, a solution of a solid, or a recipe whose
        parts make no mixture, which the plan of it says.

    References
    ----------
    .. [1] `phases`.
    """
    bases = {part.basis for part in parts}
    if not bases or not (bases <= set(SHARES) or bases <= {PERCENT_VV} or bases <= {PERCENT_WW, TO_VOLUME}):
        return None
    names = {_usual_name(name) for name in substances_of(parts)}
    if len(names) < 2 or any(_is_solid(name) for name in names):
        return None
    if not names <= set(TERNARY):
        return _no_data_for(sorted(names), None)
    try:
        return phases(of_recipe(parts), temperature_c=temperature_c, wanted_ml=wanted_ml)
    except ImpossibleProportion:
        return None


def phases_as_measured(
    recipe: Sequence[PartWanted],
    *,
    volumes_ml: Mapping[str, Decimal] | None = None,
    masses_g: Mapping[str, Decimal] | None = None,
    temperature_c: Decimal | None = None,
) -> MeasuredPhase | None:
    """What the amounts really measured do to the verdict of the recipe.

    Parameters
    ----------
    recipe : sequence of PartWanted
        The recipe [-].
    volumes_ml : mapping of str to Decimal, optional
        Volume of each liquid as measured, by name [mL].
    masses_g : mapping of str to Decimal, optional
        Mass of each liquid as weighed, by name [g].
    temperature_c : Decimal, optional
        Temperature of the room [°C].

    Returns
    -------
    MeasuredPhase or None
        None where `phase_check` has no verdict on the recipe, or a part of it is not among the amounts: what
        is really 0 mL must be said so.

    Raises
    ------
    ImpossibleProportion
        A negative amount, or nothing measured at all.

    References
    ----------
    .. [1] `phases`.
    """
    planned = phase_check(recipe, temperature_c=temperature_c)
    names = {_usual_name(name) for name in (*(volumes_ml or {}), *(masses_g or {}))}
    wanted = {_usual_name(name) for name in substances_of(recipe)}
    if planned is None or planned.verdict == "no data" or not wanted <= names:
        return None
    if not names <= set(TERNARY):
        made = _no_data_for(sorted(names), None)
    else:
        made = phases(from_amounts(volumes_ml=volumes_ml, masses_g=masses_g), temperature_c=temperature_c)
    changed = made.verdict != planned.verdict
    return MeasuredPhase(planned, made, changed, _measured_sentence(planned, made))


def _measured_sentence(planned: PhaseCheck, made: PhaseCheck) -> str:
    holds = f"; by mass {made.composition.by_mass}" if made.composition else ""
    if made.verdict == planned.verdict:
        return f"As measured, this is {made.words}, like the recipe{holds}."
    if made.verdict == "no data":
        return f"The recipe is {planned.words}. {made.headline} {LOOK}"
    what_now = {
        "one": "It should be clear; if two layers were wanted, it has to be made again.",
        "two": "Make it again if one liquid was wanted; otherwise use the layer that the method names.",
        "too close": LOOK,
    }[made.verdict]
    return f"As measured, this is {made.words}; the recipe is {planned.words}{holds}. {what_now}"


def _usual_name(name: str) -> str:
    try:
        return substance(name).name
    except UnknownSubstance:
        return name


def _is_solid(name: str) -> bool:
    """A known substance without a density here is a solid, or a solution of its own."""
    try:
        return substance(name).density_20 is None
    except UnknownSubstance:
        return False


def _cannot_part(names: frozenset[str]) -> str:
    if len(names) == 1:
        return f"One phase: there is nothing in it but {next(iter(names))}."
    missing = BUTANOL if BUTANOL not in names else WATER
    pair = " and ".join(name for name in TERNARY if name in names)
    return f"One phase: {pair} mix in all proportions; there is no {missing} to part from."


def _no_data_for(names: Sequence[str], composition: Composition | None) -> PhaseCheck:
    others = [name for name in names if name not in TERNARY]
    if set(TERNARY) <= set(names):
        headline = (
            f"No data: the measured curve holds for {BUTANOL}, {ACID} and {WATER} alone. What "
            f"{_listed(others)} does to it is not known here."
        )
    else:
        headline = f"No data here on whether {_listed(names)} stay in one phase."
    return PhaseCheck("no data", headline, (LOOK,), composition=composition)


def _no_data_at(check: PhaseCheck) -> PhaseCheck:
    asked = format_quantity(check.temperature_c.normalize(), "°C")
    return replace(
        check,
        verdict="no data",
        headline=f"No data at {asked}: the curve was measured at 20\u00a0°C and moves with the temperature.",
        sentences=(f"{LOOK} Do so at the temperature of the room where it is used.",),
        margin=None,
    )


def _listed(names: Sequence[str]) -> str:
    return " and ".join(filter(None, [", ".join(names[:-1]), names[-1]]))


def _points(share: float) -> str:
    return f"{abs(share) * 100:.1f}"


def _one(check: PhaseCheck) -> PhaseCheck:
    point, margin = check.point, check.margin or 0.0
    if point and not U_WATERY < point.u < U_ORGANIC:
        scarce, plenty = (BUTANOL, WATER) if point.u <= U_WATERY else (WATER, BUTANOL)
        why = f"there is so little {scarce} that the {plenty} takes it all up"
    else:
        why = f"its acid is {_points(margin)} percentage points (by mass) above the measured curve"
    return replace(
        check,
        verdict="one",
        headline=f"One phase at 20\u00a0°C: {why}.",
        sentences=("If it stays cloudy, something was mismeasured: do not use it.",),
        details=(WARMTH, EXPANSION),
    )


def _too_close(check: PhaseCheck) -> PhaseCheck:
    if check.point and acid_on_curve(check.point.u):
        side = "below" if (check.margin or 0.0) < 0 else "above"
        why = (
            f"its acid is {_points(check.margin or 0.0)} percentage points (by mass) {side} the measured "
            f"curve, which is good to {BAND * 100:.1f} in acid and 1 in the share of {BUTANOL}"
        )
    else:
        why = f"it lies where {BUTANOL} and {WATER} just saturate each other"
    return replace(
        check,
        verdict="too close",
        headline=f"Too close to call at 20\u00a0°C: {why}.",
        sentences=(
            LOOK,
            f"If it parts, the upper layer is the one rich in {BUTANOL}. {USE_UPPER}",
        ),
        details=(WARMTH, EXPANSION),
    )


def _two(check: PhaseCheck, wanted_ml: Decimal) -> PhaseCheck:
    found = tie_line(check.point) if check.point else None
    below = f"its acid is {_points(check.margin or 0.0)} percentage points (by mass) below the measured curve"
    headline = f"Two phases at 20\u00a0°C: {below}."
    if found is None or check.composition is None:
        untold = (
            "It lies so near the top of the two-phase region that the layers cannot be told in figures: "
            f"nothing was measured there. The upper layer is the one rich in {BUTANOL}."
        )
        return replace(
            check,
            verdict="two",
            headline=headline,
            sentences=(untold, USE_UPPER, NOT_TO_SINK),
            details=(WARMTH, EXPANSION),
        )
    upper, lower = layers = layers_of(found)
    told = LAYER_DOUBT if found.measured_range else f"{LAYER_DOUBT} {BEYOND_LINES}"
    ratio = Given(
        "ratio of acid between layers when there is little",
        Decimal("1.613"),
        "",
        "from memory",
        ("perry_k_mem",),
    )
    return replace(
        check,
        verdict="two",
        headline=headline,
        sentences=(USE_UPPER, upper.mix_sentence(wanted_ml), NOT_TO_SINK),
        details=(upper.sentence, lower.sentence, told, WARMTH, EXPANSION),
        layers=layers,
        tie_line=found,
        given=(*check.given, ratio),
        source_keys=(*check.source_keys, "lab_report_c", "perry_k_mem"),
    )
