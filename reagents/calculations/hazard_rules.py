"""The rules for the health and the water of a mixture: each a sum of shares against a limit, in % by mass."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from reagents.calculations.hazard_exceptions import allergy, corrosive_grade, extreme_ph, remarks
from reagents.calculations.hazard_terms import (
    GENERAL_CUT_OFF,
    MEMORY,
    READ,
    Ingredient,
    Input,
    Reason,
    shown,
    weakest,
)

ONE = Decimal(1)
SKIN = ("echa_exercises", "nz_guide", "hpr_ca", "clp_scl_sum")
EYE = ("clp_eye_gesi", "hpr_ca", "clp_scl_sum")

#: Which limit an ingredient fills [% w/w] and where that comes from; None where the class is not its own.
LimitOf = Callable[[Ingredient], tuple[Decimal, str, str] | None]


@dataclass(frozen=True)
class Rule:
    """One line of a table of limits: what is counted, against which limit, and what it gives."""

    hazard: str
    said: str
    limit_of: LimitOf
    hazard_class: str
    code: str
    source_keys: tuple[str, ...]
    status: str = READ
    remark: str = ""


def summed(rule: Rule, ingredients: Sequence[Ingredient]) -> Reason | None:
    """Work one rule: sum of share/limit, met from 1.

    An ingredient counts from the lower of its own limit and the general cut-off.

    Parameters
    ----------
    rule : Rule
        What to count against which limit [-].
    ingredients : sequence of Ingredient
        What is in it [% w/w].

    Returns
    -------
    Reason or None
        None when no ingredient has such a class.

    References
    ----------
    .. [1] CLP Annex I, 1.1.2.2 and the ratio of concentration to limit: source `clp_scl_sum`.
    """
    inputs, total = [], Decimal(0)
    for one in ingredients:
        found = rule.limit_of(one)
        if found is None:
            continue
        limit, whose, status = found
        cut_off = min(limit, GENERAL_CUT_OFF)
        share = one.percent / limit if one.percent >= cut_off else None
        total += share or Decimal(0)
        below = "" if share is not None else f"; below the cut-off of {shown(cut_off)} %"
        keys = tuple(dict.fromkeys(key for kind in one.classes for key in kind.source_keys))
        inputs.append(Input(one.name, one.percent, f"{whose} {shown(limit)} %{below}", share, status, keys))
    if not inputs:
        return None
    met = total >= 1
    verdict = f"{rule.hazard_class}, {rule.code}" if met else "not reached"
    said = f"Sum {shown(total)} against 1: {verdict}." + (f" {rule.remark}" if met and rule.remark else "")
    return Reason(
        rule.hazard,
        rule.said,
        tuple(inputs),
        total,
        ONE,
        said,
        (rule.hazard_class,) if met else (),
        (rule.code,) if met else (),
        weakest([rule.status, *(one.status for one in inputs)]),
        rule.source_keys,
    )


def _limit(start: tuple[str, ...], own: str, general: Decimal, code: str = "") -> LimitOf:
    def limit_of(one: Ingredient) -> tuple[Decimal, str, str] | None:
        kinds = [kind for kind in one.of_class(*start) if not code or kind.code == code]
        if not kinds:
            return None
        mine = one.own_limit(own, code)
        if mine is not None:
            return mine.from_percent, "its own limit", weakest([mine.status, kinds[0].status])
        return general, "limit", kinds[0].status

    return limit_of


def _first(*choices: LimitOf) -> LimitOf:
    """The first that concerns the ingredient: the strongest class is counted, not each."""

    def limit_of(one: Ingredient) -> tuple[Decimal, str, str] | None:
        return next((found for choice in choices if (found := choice(one)) is not None), None)

    return limit_of


CORROSIVE, DAMAGING = ("Skin Corr.",), ("Eye Dam.",)
ROUTINE = (
    Rule(
        "Skin corrosion",
        "sum of Skin Corr. 1 shares over their limits, in general 5 %",
        _limit(CORROSIVE, "Skin Corr.", Decimal(5)),
        "Skin Corr. 1",
        "H314",
        SKIN,
    ),
    Rule(
        "Skin irritation",
        "sum of Skin Irrit. 2 over 10 %, Skin Corr. 1 weighing ten times as much (over 1 %)",
        _first(
            _limit(CORROSIVE, "Skin Irrit.", Decimal(1)), _limit(("Skin Irrit.",), "Skin Irrit.", Decimal(10))
        ),
        "Skin Irrit. 2",
        "H315",
        SKIN,
    ),
    Rule(
        "Eye damage",
        "sum of Eye Dam. 1 and Skin Corr. 1 over 3 %, or where a corrosive has its own limit, over that",
        _first(_limit(CORROSIVE, "Skin Corr.", Decimal(3)), _limit(DAMAGING, "Eye Dam.", Decimal(3))),
        "Eye Dam. 1",
        "H318",
        EYE,
    ),
    Rule(
        "Eye irritation",
        "sum of Eye Irrit. 2 over 10 %, Eye Dam. 1 and Skin Corr. 1 weighing ten times as much (over 1 %)",
        _first(
            _limit((*CORROSIVE, *DAMAGING), "Eye Irrit.", Decimal(1)),
            _limit(("Eye Irrit.",), "Eye Irrit.", Decimal(10)),
        ),
        "Eye Irrit. 2",
        "H319",
        EYE,
    ),
    Rule(
        "Irritation of the airways",
        "sum of STOT SE 3 (H335) over 20 %, apart from H336",
        _limit(("STOT SE 3",), "STOT SE 3", Decimal(20), "H335"),
        "STOT SE 3",
        "H335",
        ("trgs201",),
    ),
    Rule(
        "Drowsiness",
        "sum of STOT SE 3 (H336) over 20 %, apart from H335",
        _limit(("STOT SE 3",), "STOT SE 3", Decimal(20), "H336"),
        "STOT SE 3",
        "H336",
        ("trgs201",),
    ),
    Rule(
        "Aspiration",
        "sum of Asp. Tox. 1 over 10 %, and viscosity at 40 °C of 20.5 mm²/s or less",
        _limit(("Asp. Tox.",), "Asp. Tox.", Decimal(10)),
        "Asp. Tox. 1",
        "H304",
        ("clp_asp",),
        remark="The viscosity is not known here and is taken as low.",
    ),
)


def _each(hazard: str, start: str, code: str, general: str, gives: str, status: str = MEMORY) -> Rule:
    return Rule(
        hazard,
        f"each {start} ingredient alone against its limit, in general {general} %; not added up",
        _limit((start,), start, Decimal(general)),
        gives,
        code,
        ("clp_repr",) if start.startswith("Repr") else ("memory",),
        status,
    )


ALONE = (
    _each("Reproduction", "Repr. 2", "H361f", "3", "Repr. 2", READ),
    _each("Genes", "Muta. 2", "H341", "1", "Muta. 2"),
    _each("Organs, repeated exposure", "STOT RE 1", "H372", "10", "STOT RE 1"),
    _each("Organs, repeated exposure", "STOT RE 1", "H373", "1", "STOT RE 2"),
    _each("Organs, repeated exposure", "STOT RE 2", "H373", "10", "STOT RE 2"),
)


def _water(hazard: str, weights: dict[str, int], code: str, gives: str) -> Rule:
    def limit_of(one: Ingredient) -> tuple[Decimal, str, str] | None:
        for start, weight in weights.items():
            for kind in one.of_class(start):
                factor = (kind.m_factor or ONE) * weight
                return Decimal(25) / factor, "limit", MEMORY
        return None

    return Rule(
        hazard, f"sum of shares, weighted, over 25 % ({gives})", limit_of, gives, code, ("memory",), MEMORY
    )


WATER = (
    _water("Water life, at once", {"Aquatic Acute 1": 1}, "H400", "Aquatic Acute 1"),
    _water("Water life, lasting", {"Aquatic Chronic 1": 1}, "H410", "Aquatic Chronic 1"),
    _water(
        "Water life, lasting", {"Aquatic Chronic 1": 10, "Aquatic Chronic 2": 1}, "H411", "Aquatic Chronic 2"
    ),
    _water(
        "Water life, lasting",
        {"Aquatic Chronic 1": 100, "Aquatic Chronic 2": 10, "Aquatic Chronic 3": 1},
        "H412",
        "Aquatic Chronic 3",
    ),
)


def health_and_water(ingredients: Sequence[Ingredient], *, stricter: bool) -> list[Reason]:
    """Every rule on skin, eyes, airways, organs and water, worked through.

    Parameters
    ----------
    ingredients : sequence of Ingredient
        What is in it [% w/w].
    stricter : bool
        Whether an unmeasured pH counts as extreme [-].

    Returns
    -------
    list of Reason
        One for each rule that concerns an ingredient; a rule that a stronger one makes idle says so.

    References
    ----------
    .. [1] CLP Annex I, part 3: sources named at each rule in `hazard_rules`.
    """
    found = [
        *_graded(_worked(ROUTINE, ingredients), ingredients),
        *_alone(ingredients),
        *_worked(WATER, ingredients),
    ]
    found += [*extreme_ph(ingredients, stricter=stricter), *allergy(ingredients), *remarks(ingredients)]
    return _stronger_first(found)


def _worked(rules: Iterable[Rule], ingredients: Sequence[Ingredient]) -> list[Reason]:
    return [reason for rule in rules if (reason := summed(rule, ingredients)) is not None]


def _graded(found: list[Reason], ingredients: Sequence[Ingredient]) -> list[Reason]:
    grade = corrosive_grade(ingredients)
    return [
        replace(one, classes=(grade,), conclusion=one.conclusion.replace("Skin Corr. 1,", f"{grade},"))
        if "H314" in one.codes
        else one
        for one in found
    ]


def _alone(ingredients: Sequence[Ingredient]) -> list[Reason]:
    return [reason for rule in ALONE for one in ingredients if (reason := summed(rule, [one])) is not None]


IDLE = {
    "H314": {"H315", "H319"},
    "H318": {"H319"},
    "H372": {"H373"},
    "H410": {"H411", "H412"},
    "H411": {"H412"},
}


def _stronger_first(found: list[Reason]) -> list[Reason]:
    """A weaker class of the same harm is not given beside the stronger one."""
    codes = {code for reason in found for code in reason.codes}
    idle = {weaker: code for code in sorted(codes) for weaker in IDLE.get(code, set())}
    if "H314" in codes and "H318" not in codes:
        found = [*found, _burns_eyes()]
    return [
        reason
        if not set(reason.codes) & set(idle)
        else replace(
            reason,
            conclusion=f"{reason.conclusion} {idle[reason.codes[0]]} says more, so it is not given.",
            classes=(),
            codes=(),
        )
        for reason in found
    ]


def _burns_eyes() -> Reason:
    return Reason(
        "Eye damage",
        "what burns skin damages eyes",
        (),
        None,
        None,
        "Eye Dam. 1, H318, by way of H314; it need not stand beside it on the label.",
        ("Eye Dam. 1",),
        ("H318",),
        READ,
        ("clp_annex1",),
    )
