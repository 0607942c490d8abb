"""Acute toxicity of a mixture from that of its ingredients: 100/ATE = sum of share/ATE."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache

from reagents.calculations.hazard_terms import (
    GENERAL_CUT_OFF,
    MEMORY,
    ComponentClass,
    ImpossibleMixture,
    Ingredient,
    Input,
    Reason,
    status_of,
    weakest,
)
from reagents.calculations.tables import rows

ROUTES = {"oral": "swallowed", "dermal": "through the skin", "vapour": "breathed in as vapour"}
MOST_UNKNOWN = Decimal(10)
CUT_OFF_STRONG = Decimal("0.1")
SOURCES = ("clp_annex1", "ate_bands", "catpe", "unece_2008_23")


@dataclass(frozen=True)
class Band:
    """One category of one route, with the estimate that stands for the category."""

    category: int
    up_to: Decimal
    point: Decimal
    unit: str
    code: str
    status: str


@cache
def bands(route: str) -> tuple[Band, ...]:
    """Categories 1 to 4 of a route.

    Parameters
    ----------
    route : str
        "oral", "dermal" or "vapour" [-].

    Returns
    -------
    tuple of Band
        Upper bounds and converted point estimates [mg/kg, for vapour mg/L].

    References
    ----------
    .. [1] CLP Annex I, Tables 3.1.1 and 3.1.2: sources `ate_bands` and `catpe`.
    """
    return tuple(
        Band(
            int(row["category"]),
            Decimal(row["up_to"]),
            Decimal(row["point_estimate"]),
            row["unit"],
            row["h_code"],
            status_of(row["read_or_memory"]),
        )
        for row in rows("acute_toxicity")
        if row["route"] == route
    )


def ate_of_mixture(
    known: Sequence[tuple[Decimal, Decimal]], unknown_percent: Decimal = Decimal(0)
) -> Decimal | None:
    """Acute toxicity estimate of a mixture: 100/ATE = sum(C_i/ATE_i).

    Above 10 % of ingredients of unknown toxicity, 100 becomes 100 minus their share.

    Parameters
    ----------
    known : sequence of (Decimal, Decimal)
        Share and estimate of each ingredient that is acutely toxic [% w/w, mg/kg or mg/L].
    unknown_percent : Decimal, optional
        Share of ingredients of which nothing is known [% w/w].

    Returns
    -------
    Decimal or None
        In the unit of the estimates [mg/kg or mg/L]; None when no ingredient is toxic.

    Raises
    ------
    ImpossibleMixture
        When a share is negative, they are more than 100 %, or an estimate is not above zero.

    References
    ----------
    .. [1] UN GHS, 3.1.3.6.1 and 3.1.3.6.2.3; worked example ST/SG/AC.10/C.4/2008/23.
    """
    whole = sum((share for share, _ in known), unknown_percent)
    if unknown_percent < 0 or any(share < 0 for share, _ in known) or whole > Decimal("100.5"):
        raise ImpossibleMixture(whole, "The shares are not those of one mixture: each 0 to 100 %.")
    if any(estimate <= 0 for _, estimate in known):
        raise ImpossibleMixture(None, "An acute toxicity estimate must be above zero.")
    total = sum((share / estimate for share, estimate in known), Decimal(0))
    if not total:
        return None
    return (100 - unknown_percent if unknown_percent > MOST_UNKNOWN else Decimal(100)) / total


def category(route: str, estimate: Decimal | None) -> Band | None:
    """Category of an estimate.

    Parameters
    ----------
    route : str
        "oral", "dermal" or "vapour" [-].
    estimate : Decimal or None
        Acute toxicity estimate [mg/kg, for vapour mg/L].

    Returns
    -------
    Band or None
        None above the last band, or without an estimate.

    References
    ----------
    .. [1] CLP Annex I, Table 3.1.1: source `ate_bands`; skin and vapour bands from memory.
    """
    if estimate is None:
        return None
    return next((band for band in bands(route) if estimate <= band.up_to), None)


def acute_toxicity(ingredients: Sequence[Ingredient], *, stricter: bool) -> list[Reason]:
    """Work out the acute toxicity of a mixture by each route, once by each kind of estimate.

    Parameters
    ----------
    ingredients : sequence of Ingredient
        What is in it [% w/w].
    stricter : bool
        Whether the stricter of two answers counts; else measured values come first [-].

    Returns
    -------
    list of Reason
        One for a route; two where measured values and point estimates both exist, and the one that
        counts carries the code.

    References
    ----------
    .. [1] CLP Annex I, 3.1.3.6; an ingredient counts from 1 %, from 0.1 % in categories 1 to 3.
    """
    found: list[Reason] = []
    unknown = sum((one.percent for one in ingredients if not one.known), Decimal(0))
    for route in ROUTES:
        toxic = [
            (one, kind)
            for one in ingredients
            for kind in one.of_class("Acute Tox.")
            if kind.hazard_class.endswith(route)
        ]
        if toxic:
            found += _route(route, toxic, unknown, stricter=stricter)
    return found


def _route(
    route: str, toxic: list[tuple[Ingredient, ComponentClass]], unknown: Decimal, *, stricter: bool
) -> list[Reason]:
    by_point = _worked(route, toxic, unknown, measured=False)
    if not any(kind.measured_ate for _, kind in toxic):
        return [by_point]
    by_measured = _worked(route, toxic, unknown, measured=True)
    first, second = (by_measured, by_point)
    counts = min((first, second), key=lambda one: one.total or Decimal("Infinity")) if stricter else first
    return [one if one is counts else _set_aside(one, counts) for one in (first, second)]


def _set_aside(one: Reason, counts: Reason) -> Reason:
    if one.codes == counts.codes:
        said = "The same answer."
    else:
        said = "The answer turns on which value is used; the stricter is shown."
        if set(one.codes) - set(counts.codes):
            said = "The answer turns on which value is used; here only measured values count."
    return Reason(
        one.hazard,
        one.rule,
        one.inputs,
        one.total,
        one.limit,
        f"{one.conclusion} {said}",
        (),
        (),
        one.status,
        one.source_keys,
    )


def _worked(
    route: str, toxic: list[tuple[Ingredient, ComponentClass]], unknown: Decimal, *, measured: bool
) -> Reason:
    inputs, known = [], []
    unit = bands(route)[0].unit
    for one, kind in toxic:
        grade = int(kind.hazard_class.split()[2])
        point = bands(route)[grade - 1].point
        estimate = kind.measured_ate if measured and kind.measured_ate else point
        which = (
            "measured LD50"
            if estimate == kind.measured_ate
            else f"converted point estimate, category {grade}"
        )
        counts = one.percent >= (GENERAL_CUT_OFF if grade == 4 else CUT_OFF_STRONG)
        share = one.percent / estimate if counts else None
        if counts:
            known.append((one.percent, estimate))
        what = f"{which} {estimate.normalize():f} {unit}" + ("" if counts else "; below the cut-off")
        inputs.append(Input(one.name, one.percent, what, share, kind.status, kind.source_keys))
    estimate_of_mix = ate_of_mixture(known, unknown)
    band = category(route, estimate_of_mix)
    kind_of_value = "measured values where there are any" if measured else "converted point estimates"
    return Reason(
        hazard=f"Acute toxicity, {ROUTES[route]}",
        rule=f"100/ATE = sum of share/ATE, by {kind_of_value}"
        + (f"; {unknown:.1f} % is unknown, so 100 is less by that" if unknown > MOST_UNKNOWN else ""),
        inputs=tuple(inputs),
        total=estimate_of_mix,
        limit=bands(route)[-1].up_to,
        conclusion=_concluded(estimate_of_mix, band, unit, bands(route)[-1].up_to),
        classes=(f"Acute Tox. {band.category} {route}",) if band else (),
        codes=(band.code,) if band else (),
        status=weakest(one.status for one in inputs) if route == "oral" else MEMORY,
        source_keys=SOURCES,
    )


def _concluded(estimate: Decimal | None, band: Band | None, unit: str, last: Decimal) -> str:
    if estimate is None:
        return "Too little to count."
    said = f"ATE of the mixture {estimate:.0f} {unit}" if estimate >= 10 else f"ATE {estimate:.2g} {unit}"
    if band is None:
        return f"{said}, above {last:f} {unit}: not classified."
    return f"{said}, category {band.category}: {band.code}."
