"""Rules that are no plain sum: extreme pH, allergy of the skin, and remarks without a set limit."""

from collections.abc import Sequence
from decimal import Decimal

from reagents.calculations.hazard_terms import (
    GENERAL_CUT_OFF,
    MEMORY,
    READ,
    Ingredient,
    Input,
    Reason,
    shown,
)

ONE = Decimal(1)
EUH_FROM = Decimal(10)
WARNED_FROM = Decimal("0.1")
CORROSIVE_FROM = Decimal(5)
PH_RULE = (
    "pH of 2 or less, or 11.5 or more, counts as corrosive unless shown otherwise; 1 % of such an acid or "
    "base is enough for the eye class"
)
PH_SOURCES = ("clp_annex1", "hpr_ca")


def extreme_ph(ingredients: Sequence[Ingredient], *, stricter: bool) -> list[Reason]:
    """Strong acids and bases do not add up: 1 % is enough, unless the substance has limits of its own.

    Parameters
    ----------
    ingredients : sequence of Ingredient
        What is in it [% w/w].
    stricter : bool
        Whether an unmeasured pH counts as extreme [-].

    Returns
    -------
    list of Reason
        One for each acid or base that it concerns.

    References
    ----------
    .. [1] CLP Annex I, 3.2.3.3.4 and 3.3.3.3.4: sources `clp_annex1` and `hpr_ca`.
    """
    concerned = [one for one in ingredients if one.kind and one.of_class("Skin Corr.")]
    return [
        _own_limits(one) if one.own_limit("Skin Corr.") else _not_additive(one, stricter=stricter)
        for one in concerned
        if one.percent >= GENERAL_CUT_OFF or not one.own_limit("Skin Corr.")
    ]


def _own_limits(one: Ingredient) -> Reason:
    kind = one.of_class("Skin Corr.")[0]
    return Reason(
        "Extreme pH",
        PH_RULE,
        (Input(one.name, one.percent, "has limits of its own", None, kind.status, kind.source_keys),),
        None,
        None,
        f"The own limits of {one.name} take the place of this rule. Measure the pH all the same.",
        (),
        (),
        READ,
        PH_SOURCES,
    )


def _not_additive(one: Ingredient, *, stricter: bool) -> Reason:
    kind = one.of_class("Skin Corr.")[0]
    counts = one.percent >= GENERAL_CUT_OFF
    share = one.percent / GENERAL_CUT_OFF if counts else None
    codes: tuple[str, ...] = ()
    verdict = "not reached."
    if counts and stricter:
        codes, verdict = ("H314", "H318"), "H318, and H314 until the pH is shown not to be extreme."
    elif counts:
        codes, verdict = ("H318",), "H318."
    return Reason(
        "Extreme pH",
        PH_RULE,
        (Input(one.name, one.percent, f"a {one.kind}, limit 1 %", share, kind.status, kind.source_keys),),
        share,
        ONE,
        f"{shown(one.percent)} % against 1 %: {verdict} Measure the pH.",
        {2: ("Skin Corr. 1", "Eye Dam. 1"), 1: ("Eye Dam. 1",), 0: ()}[len(codes)],
        codes,
        READ,
        PH_SOURCES,
    )


def corrosive_grade(ingredients: Sequence[Ingredient]) -> str:
    """Which category of skin corrosion a corrosive mixture falls in.

    Parameters
    ----------
    ingredients : sequence of Ingredient
        What is in it [% w/w].

    Returns
    -------
    str
        The strongest that one ingredient reaches alone, such as "Skin Corr. 1B"; else "Skin Corr. 1" [-].

    References
    ----------
    .. [1] CLP Annex I, 3.2.3.3: sub-categories by an ingredient's own limits, or its own class from 5 %.
    """
    found = set()
    for one in ingredients:
        own = [limit for limit in one.limits if limit.hazard_class.startswith("Skin Corr.")]
        found |= {limit.hazard_class for limit in own if one.percent >= limit.from_percent}
        if not own and one.percent >= CORROSIVE_FROM:
            found |= {kind.hazard_class for kind in one.of_class("Skin Corr.")}
    return min(found, default="Skin Corr. 1")


def allergy(ingredients: Sequence[Ingredient]) -> list[Reason]:
    """Sensitisers of the skin: a class from 1 %, a name on the label from 0.1 %.

    Parameters
    ----------
    ingredients : sequence of Ingredient
        What is in it [% w/w].

    Returns
    -------
    list of Reason
        One for each sensitiser that it concerns.

    References
    ----------
    .. [1] CLP Annex II, 2.8: source `clp_euh208`; the limit of 1 % from memory.
    """
    found = []
    for one in ingredients:
        for kind in one.of_class("Skin Sens."):
            code = "H317" if one.percent >= 1 else "EUH208" if one.percent >= WARNED_FROM else ""
            said = {
                "H317": "Skin Sens. 1, H317.",
                "EUH208": f"below 1 %, but from 0.1 % the label names it: EUH208, contains {one.name}.",
                "": "below 0.1 %: not reached.",
            }[code]
            found.append(
                Reason(
                    "Allergy of the skin",
                    "Skin Sens. 1 from 1 %; from 0.1 % it is named",
                    (
                        Input(
                            one.name,
                            one.percent,
                            kind.note or "limit 1 %",
                            None,
                            kind.status,
                            kind.source_keys,
                        ),
                    ),
                    one.percent,
                    ONE,
                    f"{shown(one.percent)} %, {said}",
                    ("Skin Sens. 1",) if code == "H317" else (),
                    (code,) if code else (),
                    MEMORY,
                    ("clp_euh208", "memory"),
                )
            )
    return found


def remarks(ingredients: Sequence[Ingredient]) -> list[Reason]:
    """Further EUH remarks: no percentage is set for them; from a tenth of the mass is our choice.

    Parameters
    ----------
    ingredients : sequence of Ingredient
        What is in it [% w/w].

    Returns
    -------
    list of Reason
        One for each remark that it concerns.

    References
    ----------
    .. [1] CLP Annex II, part 1 (from memory).
    """
    found = []
    codes = sorted({kind.code for one in ingredients for kind in one.of_class("EUH")})
    for code in codes:
        bearing = [(one, k) for one in ingredients for k in one.of_class("EUH") if k.code == code]
        total = sum((one.percent for one, _ in bearing), Decimal(0))
        met = total >= EUH_FROM
        found.append(
            Reason(
                "Dry, cracked skin" if code == "EUH066" else "Further remark",
                "no limit is set for it; here from 10 % together, which is our choice",
                tuple(
                    Input(o.name, o.percent, code, o.percent / EUH_FROM, k.status, k.source_keys)
                    for o, k in bearing
                ),
                total,
                EUH_FROM,
                f"{shown(total)} % against 10 %: {code if met else 'not reached'}.",
                (),
                (code,) if met else (),
                MEMORY,
                ("memory",),
            )
        )
    return found
