"""Where the flash point of a mixture is expected, on the cautious side, and which category that gives."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache, lru_cache

from reagents.calculations.hazard_terms import (
    COMPUTED,
    MEMORY,
    Ingredient,
    Input,
    Reason,
    status_of,
    weakest,
)
from reagents.calculations.substances import substance
from reagents.calculations.tables import number, rows
from reagents.calculations.vapour import vapour_pressure_kpa

COLD_C, WARM_C, BOILS_EARLY_C = Decimal(23), Decimal(60), Decimal(35)
HIGHEST_C = 150  # above this no flash point is of interest: the categories end at 60
MOST_UNKNOWN = Decimal(10)
ALIKE_PERCENT = Decimal(3)
CODES = {"H224": "Flam. Liq. 1", "H225": "Flam. Liq. 2", "H226": "Flam. Liq. 3"}
HAZARD = "Flammable liquid"
CATEGORIES = "flash point below 23 °C and boiling from 35 °C down: H224; below 23 °C: H225; 23 to 60 °C: H226"
SUSTAINS = (
    "A liquid that a test shows not to sustain combustion may leave category 3; no such test is known here."
)
TERNARY = ("butan-1-ol", "ethanoic acid", "water")


@dataclass(frozen=True)
class Fuel:
    """What is needed of a flammable liquid; `activity_in_water` bounds how water drives it into the air."""

    name: str
    flash_low_c: Decimal
    flash_high_c: Decimal
    boiling_c: Decimal
    activity_in_water: Decimal | None
    status: str
    source_keys: tuple[str, ...]


@dataclass(frozen=True)
class FlashEstimate:
    """A cautious flash point [°C], or None where none can be told or none is expected below 150 °C."""

    flash_c: Decimal | None
    boiling_c: Decimal | None
    told: bool
    sentence: str
    inputs: tuple[Input, ...]
    second_opinion: str


@cache
def fuels() -> dict[str, Fuel]:
    """Every flammable liquid of the tables by name.

    Returns
    -------
    dict of str to Fuel
        Flash points, boiling point [°C] and activity coefficient in much water [-].

    References
    ----------
    .. [1] `reagents/data/fuels.csv`: IEC 60079-20-1 through a library; activity by original UNIFAC.
    """
    return {
        row["substance"]: Fuel(
            row["substance"],
            Decimal(row["flash_low_c"]),
            Decimal(row["flash_high_c"]),
            Decimal(row["boiling_c"]),
            number(row["activity_in_water"]),
            status_of(row["read_or_memory"]),
            tuple(row["source_key"].split(";")),
        )
        for row in rows("fuels")
    }


def _moles(ingredients: Sequence[Ingredient]) -> dict[str, Decimal] | None:
    """Mole fractions; what has no molar mass and is no fuel is left out, which errs towards fire."""
    amounts: dict[str, Decimal] = {}
    for one in ingredients:
        mass = substance(one.name).molar_mass if one.known else None
        if mass:
            amounts[one.name] = one.percent / mass
        elif one.name in fuels():
            return None
    whole = sum(amounts.values(), Decimal(0))
    return {name: amount / whole for name, amount in amounts.items()} if whole else None


def activities(moles: dict[str, Decimal]) -> dict[str, Decimal]:
    """Cautious activity of each fuel: x g with ln g = x_w^2 ln g_inf, at most 1, and at most 1 in all.

    Water drives a solvent out: g_inf is its activity coefficient in much water and x_w the mole fraction of
    all that does not burn. Fuels are taken as ideal among themselves.

    Parameters
    ----------
    moles : dict of str to Decimal
        Mole fractions by name [-].

    Returns
    -------
    dict of str to Decimal
        Share of its own vapour pressure that each fuel is taken to show [-].

    References
    ----------
    .. [1] One-constant Margules equation (from memory); g_inf in `reagents/data/fuels.csv`.
    .. [2] Liaw and co-workers, flash points of mixtures by activity coefficients (from memory).
    """
    rest = sum((x for name, x in moles.items() if name not in fuels()), Decimal(0))
    found = {}
    for name, fraction in moles.items():
        fuel = fuels().get(name)
        if fuel is not None:
            driven = (rest * rest * (fuel.activity_in_water or Decimal(1)).ln()).exp()
            found[name] = min(Decimal(1), fraction * driven)
    whole = sum(found.values(), Decimal(0))
    return {name: a / whole for name, a in found.items()} if whole > 1 else found


def flash_point_c(shares: dict[str, Decimal]) -> Decimal | None:
    """Temperature at which sum of a_i p_i(T)/p_i(flash_i) reaches 1.

    Parameters
    ----------
    shares : dict of str to Decimal
        Activity of each fuel by name [-].

    Returns
    -------
    Decimal or None
        Flash point [°C]; None when it is not reached up to 150 °C.

    References
    ----------
    .. [1] Le Chatelier's rule for vapours at the flash points of the fuels (from memory).
    """
    return _solved(tuple(sorted(shares.items())))


@lru_cache(maxsize=256)
def _solved(shares: tuple[tuple[str, Decimal], ...]) -> Decimal | None:
    """By halving; the same liquid is asked for several times on one page."""
    at_flash = {name: vapour_pressure_kpa(name, fuels()[name].flash_low_c) for name, _ in shares}

    def reached(temperature: Decimal) -> Decimal:
        whole = Decimal(0)
        for name, activity in shares:
            now, flash = vapour_pressure_kpa(name, temperature), at_flash[name]
            whole += activity * now / flash if now and flash else Decimal(0)
        return whole

    low, high = Decimal(-60), Decimal(HIGHEST_C)
    if reached(high) < 1:
        return None
    while high - low > Decimal("0.05"):
        middle = (low + high) / 2
        low, high = (low, middle) if reached(middle) >= 1 else (middle, high)
    return high.quantize(Decimal("0.1"))


def estimate_flash(ingredients: Sequence[Ingredient]) -> FlashEstimate | None:
    """Cautious flash point of a mixture.

    Parameters
    ----------
    ingredients : sequence of Ingredient
        What is in it [% w/w].

    Returns
    -------
    FlashEstimate or None
        None when nothing flammable is in it; `told` is False when no figure can be given.

    References
    ----------
    .. [1] `flash_point_c` and `activities`; tabled mixtures by `reagents/data/flash_estimates.csv`.
    """
    burning = [one for one in ingredients if one.name in fuels()]
    if not burning:
        return None
    boiling = min(fuels()[one.name].boiling_c for one in burning)
    unknown = sum((one.percent for one in ingredients if not one.known), Decimal(0))
    moles = _moles(ingredients)
    if moles is None or unknown >= MOST_UNKNOWN:
        inputs = tuple(_input(one, None) for one in burning)
        return FlashEstimate(None, boiling, False, _untold(unknown), inputs, "")
    shares = activities(moles)
    inputs = tuple(_input(one, shares[one.name]) for one in burning)
    flash = flash_point_c(shares)
    return FlashEstimate(flash, boiling, True, _said(flash, burning), inputs, _tabled(ingredients))


def _untold(unknown: Decimal) -> str:
    why = (
        f"{unknown:.0f} % of it is unknown" if unknown >= MOST_UNKNOWN else "one of its liquids is a mixture"
    )
    return (
        f"No flash point can be told here, since {why}: the most severe of its flammable ingredients counts."
    )


def _input(one: Ingredient, activity: Decimal | None) -> Input:
    fuel = fuels()[one.name]
    shown = f"flash point {_figure(fuel.flash_low_c)}"
    if fuel.flash_high_c != fuel.flash_low_c:
        shown += f" (sources go up to {_figure(fuel.flash_high_c)})"
    if activity is not None:
        shown += f", shows {activity * 100:.0f} % of its own vapour pressure at most"
    return Input(one.name, one.percent, shown, activity, fuel.status, fuel.source_keys)


def _figure(value: Decimal) -> str:
    return f"{value.normalize():f}".replace("-", "−") + " °C"


def _said(flash: Decimal | None, burning: Sequence[Ingredient]) -> str:
    if flash is None:
        return f"So thin that no flash point is expected up to {HIGHEST_C} °C."
    if len(burning) == 1 and flash - fuels()[burning[0].name].flash_low_c < Decimal("0.5"):
        return f"Taken as that of {burning[0].name}: {_figure(flash)}."
    return f"Estimated on the cautious side: {_figure(flash)} or above."


def _tabled(ingredients: Sequence[Ingredient]) -> str:
    shares = {one.name: one.percent for one in ingredients}
    if set(shares) != set(TERNARY):
        return ""
    for row in rows("flash_estimates"):
        tabled = {
            name: Decimal(row[name.replace("-", "_").replace(" ", "_") + "_percent"]) for name in TERNARY
        }
        if all(abs(shares[name] - tabled[name]) <= ALIKE_PERCENT for name in TERNARY):
            return (
                f"Computed for {row['mixture']}, with activity coefficients: {row['flash_low_c']} to "
                f"{row['flash_high_c']} °C; no measured value was found."
            )
    return ""


def flammable(ingredients: Sequence[Ingredient]) -> Reason | None:
    """Whether and how a mixture is classified as a flammable liquid.

    Parameters
    ----------
    ingredients : sequence of Ingredient
        What is in it [% w/w].

    Returns
    -------
    Reason or None
        None when nothing flammable is in it.

    References
    ----------
    .. [1] CLP Annex I, 2.6.2, Table 2.6.1: source `clp_flam`.
    """
    estimate = estimate_flash(ingredients)
    if estimate is None:
        return None
    code = _code(estimate, ingredients)
    said = [estimate.sentence]
    if estimate.second_opinion:
        said.append(estimate.second_opinion)
    if code and estimate.told and estimate.boiling_c is not None:
        boils = (
            f"Boiling is taken to begin at that of its first flammable liquid, {_figure(estimate.boiling_c)}."
        )
        said.append(boils)
    said.append(f"{code}." if code else "Above 60 °C: not classified.")
    if code == "H226":
        said.append(SUSTAINS)
    marks = [one.status for one in estimate.inputs] + ([COMPUTED] if estimate.told else [MEMORY])
    return Reason(
        hazard=HAZARD,
        rule=CATEGORIES,
        inputs=estimate.inputs,
        total=estimate.flash_c,
        limit=WARM_C,
        conclusion=" ".join(sentence for sentence in said if sentence),
        classes=(CODES[code],) if code else (),
        codes=(code,) if code else (),
        status=weakest(marks),
        source_keys=("clp_flam", "flash_le_chatelier"),
    )


def _code(estimate: FlashEstimate, ingredients: Sequence[Ingredient]) -> str:
    if not estimate.told:
        own = [kind.code for one in ingredients for kind in one.of_class("Flam. Liq.")]
        return min(own, default="")
    if estimate.flash_c is None or estimate.flash_c > WARM_C:
        return ""
    if estimate.flash_c >= COLD_C:
        return "H226"
    early = estimate.boiling_c is not None and estimate.boiling_c <= BOILS_EARLY_C
    return "H224" if early else "H225"
