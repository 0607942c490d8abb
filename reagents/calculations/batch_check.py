"""What was really made beside what the list asked for."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from math import ceil, sqrt

from reagents.calculations.glassware import NoVessel, Vessel, balance_check, measuring, tolerance, vessels
from reagents.calculations.preparation import MOLAR, PARTS, PERCENT_WV, TO_VOLUME
from reagents.calculations.quantities import format_quantity
from reagents.calculations.stock import converted

COARSE, FINE = Decimal("0.01"), Decimal("0.001")
ENOUGH = Decimal("0.99")  # a batch a hair below the total still fills every chamber: spare is in the total


class ImpossibleBatch(ValueError):
    """What was entered makes no batch; the message is a sentence."""


@dataclass(frozen=True)
class Amount:
    """One part as measured, in mL or g as `unit` says; `recipe_amount` and `basis` are the recipe's.

    `vessel` is what it was really measured in, such as "100 mL measuring cylinder" or "0.01 g balance"; where
    it is empty or not known here, the vessel that the list chooses stands in for it.
    """

    substance: str
    basis: str
    unit: str
    wanted: Decimal
    measured: Decimal
    recipe_amount: Decimal | None = None
    vessel: str = ""


@dataclass(frozen=True)
class Deviation:
    """One part's deviation; `verdict` is "as wanted", "within" or "more"."""

    percent: Decimal | None
    verdict: str
    sentence: str

    @property
    def shown(self) -> str:
        """Percentage with its sign, a real minus [%]."""
        return f"{self.percent:+}".replace("-", "\u2212") if self.percent else f"{self.percent or ''}"


@dataclass(frozen=True)
class Composition:
    """How far one part of what is in the bottle is from the recipe; None where it has no share of its own."""

    substance: str
    percent: Decimal | None
    within: bool
    sentence: str

    @property
    def shown(self) -> str:
        """Percentage with its sign, a real minus [%]."""
        return f"{self.percent:+}".replace("-", "\u2212") if self.percent else f"{self.percent or ''}"


def deviation(amount: Amount) -> Deviation:
    """How far a measured amount is from the one wanted, and whether the vessel explains it.

    Parameters
    ----------
    amount : Amount
        What was wanted and measured [mL or g].

    Returns
    -------
    Deviation
        Percentage of the amount wanted, to one decimal [%], verdict and sentence.

    References
    ----------
    .. [1] Limit of the vessel that `glassware.measuring` chooses, ISO 4788; balance: two rounded readings,
       k = 2, JCGM 100:2008, 4.3.7.
    """
    if amount.wanted <= 0:
        return Deviation(None, "more", "Nothing of it was asked for.")
    difference = amount.measured - amount.wanted
    percent = (100 * difference / amount.wanted).quantize(Decimal("0.1"), rounding=ROUND_HALF_UP)
    if not difference:
        return Deviation(percent, "as wanted", "as wanted")
    limit, vessel = _limit(amount)
    if limit is None:
        return Deviation(percent, "more", f"{vessel} is known here to compare with")
    shown = f"± {format_quantity(limit, amount.unit, digits=2)}"
    if abs(difference) <= limit:
        return Deviation(percent, "within", f"within what a {vessel} can measure ({shown})")
    return Deviation(percent, "more", f"more than a {vessel} explains ({shown})")


def _limit(amount: Amount) -> tuple[Decimal | None, str]:
    if amount.unit == "g":
        readability = _balance_named(amount.vessel) or (
            COARSE if balance_check(amount.wanted, COARSE).enough else FINE
        )
        limit = 2 * readability * Decimal(sqrt(1 / 6))
        return limit, f"{format_quantity(readability, 'g')} balance"
    named = _vessel_named(amount.vessel)
    if named is not None and amount.measured > 0:
        fills = ceil(amount.measured / named.nominal_ml)
        often = "" if fills == 1 else f", filled {fills} times"
        return tolerance(amount.measured, named, fills).limit_ml, f"{named}{often}"
    try:
        found = measuring(amount.wanted)
    except NoVessel:
        return None, "No vessel"
    return found.tolerance.limit_ml, str(found.vessel)


def _balance_named(text: str) -> Decimal | None:
    """Readability of "0.01 g balance"; None for anything else."""
    found = re.match(r"([0-9]*\.?[0-9]+)\s*g\b.*balance", text.casefold().replace(",", "."))
    readability = Decimal(found[1]) if found else Decimal(0)
    return readability if readability > 0 else None


def _vessel_named(text: str) -> Vessel | None:
    """The vessel of that name, of class B where both are known."""
    wanted = " ".join(text.casefold().split())
    alike = [one for one in vessels() if " ".join(str(one).casefold().split()) == wanted]
    return next((one for one in alike if one.grade == "B"), alike[0] if alike else None)


def vessel_names() -> tuple[str, ...]:
    """Names of vessels and balances whose limits are known here, to offer while one types.

    Returns
    -------
    tuple of str
        Such as "25 mL measuring cylinder" and "0.01 g balance" [-].

    References
    ----------
    .. [1] `reagents/data/glassware_tolerances.csv`.
    """
    balances = (
        f"{format_quantity(readability, 'g')} balance" for readability in (FINE, COARSE, Decimal("0.1"))
    )
    return tuple(dict.fromkeys([*(str(one) for one in vessels()), *balances]))


def against_recipe(amounts: Sequence[Amount], tolerance_percent: Decimal) -> tuple[Composition, ...]:
    """How far what is in the bottle is from the recipe, part by part, and whether the recipe allows it.

    In a mixture the share of each part counts, since all of them 2 % up make the same liquid. In a solution
    the strength counts: the mass and the volume it was filled up to.

    Parameters
    ----------
    amounts : sequence of Amount
        Every part as measured [mL or g].
    tolerance_percent : Decimal
        How far a part may be off by the recipe [%].

    Returns
    -------
    tuple of Composition
        One for each part, in the same order; what is only filled up to has no deviation.

    References
    ----------
    .. [1] share = (a/a0) / (sum a/sum a0); strength = (m/m0) / (V/V0); hand-worked.
    """
    filled = next((one for one in amounts if one.basis == TO_VOLUME and one.unit == "mL"), None)
    scale = _scale(amounts, filled)
    found = []
    for one in amounts:
        if one is filled or not one.wanted or not scale:
            found.append(Composition(one.substance, None, True, ""))
            continue
        off = (100 * (one.measured / one.wanted / scale - 1)).quantize(Decimal("0.1"), ROUND_HALF_UP)
        within = abs(off) <= tolerance_percent
        limit = format_quantity(tolerance_percent.normalize(), "%")
        said = f"within the recipe's ± {limit}" if within else f"beyond the recipe's ± {limit}"
        found.append(Composition(one.substance, off, within, said))
    return tuple(found)


def _scale(amounts: Sequence[Amount], filled: Amount | None) -> Decimal:
    """By how much the whole batch is larger than was wanted; nought when there is nothing to compare."""
    alike = [filled] if filled else list(amounts)
    if len({one.unit for one in alike}) > 1:
        return Decimal(1)
    wanted = sum((one.wanted for one in alike), Decimal(0))
    return sum((one.measured for one in alike), Decimal(0)) / wanted if wanted else Decimal(0)


def recipe_verdict(found: Sequence[Composition], tolerance_percent: Decimal) -> str:
    """The verdict on a whole batch, in a sentence.

    Parameters
    ----------
    found : sequence of Composition
        As `against_recipe` gives them [%].
    tolerance_percent : Decimal
        How far a part may be off by the recipe [%].

    Returns
    -------
    str
        That it agrees with the recipe, or which parts do not and what to do.

    References
    ----------
    No formula.
    """
    limit = format_quantity(tolerance_percent.normalize(), "%")
    off = [one.substance for one in found if not one.within]
    if not off:
        return f"Every part lies within the recipe's ± {limit}."
    names = off[0] if len(off) == 1 else f"{', '.join(off[:-1])} and {off[-1]}"
    ask = "Make it again, or ask whoever wanted it whether it will do."
    return f"Beyond the recipe's ± {limit}: {names}. {ask}"


def batch_total_ml(amounts: Sequence[Amount]) -> Decimal:
    """Volume of a batch: what it was filled up to, or else the sum of its liquids.

    Parameters
    ----------
    amounts : sequence of Amount
        Every part as measured [mL or g].

    Returns
    -------
    Decimal
        Volume, to 0.001 mL; shrinking on mixing is left out, weighed liquids count by density [mL].

    Raises
    ------
    ImpossibleBatch
        When that is not above zero.

    References
    ----------
    No formula.
    """
    filled = [one.measured for one in amounts if one.basis == TO_VOLUME and one.unit == "mL"]
    liquids = [amount.measured for amount in amounts if amount.unit == "mL"]
    masses = [_volume(amount) for amount in amounts] if not liquids else []
    total = sum(filled or liquids or masses, Decimal(0)).quantize(Decimal("0.001"), rounding=ROUND_HALF_UP)
    if total <= 0:
        raise ImpossibleBatch("No volume was made; enter what was really measured.")
    return total


def _volume(amount: Amount) -> Decimal:
    """Volume of a weighed liquid; nought where its density is not known."""
    return converted(amount.measured, amount.substance, unit="g", to="mL") or Decimal(0)


def as_made(amounts: Sequence[Amount]) -> str:
    """The recipe that the measured amounts really make.

    Parameters
    ----------
    amounts : sequence of Amount
        Every part as measured [mL or g].

    Returns
    -------
    str
        Such as "As made: 6.02 : 1.49 : 2.49, by volume" on the scale of the recipe, or the strength of each
        solute; empty when there is nothing to compare.

    References
    ----------
    .. [1] Proportion: parts scaled so that they add up to the recipe's; c = c0 (m/m0)/(V/V0).
    """
    parts = [amount for amount in amounts if amount.basis == PARTS and amount.recipe_amount]
    if parts and len(parts) == len(amounts):
        whole = sum((amount.recipe_amount or Decimal(0) for amount in parts), Decimal(0))
        made = sum((amount.measured for amount in parts), Decimal(0))
        if not made:
            return ""
        figures = " : ".join(_figure(amount.measured * whole / made) for amount in parts)
        names = " : ".join(amount.substance for amount in parts)
        return f"As made, {names} is {figures} by volume."
    filled = next((amount for amount in amounts if amount.basis == TO_VOLUME), None)
    if filled is None or not filled.wanted or not filled.measured:
        return ""
    scale = filled.measured / filled.wanted
    said = [
        f"{amount.substance} "
        f"{_figure(amount.recipe_amount * amount.measured / amount.wanted / scale)} {amount.basis}"
        for amount in amounts
        if amount.basis in {PERCENT_WV, MOLAR} and amount.recipe_amount and amount.wanted
    ]
    return f"As made: {', '.join(said)}." if said else ""


def _figure(value: Decimal) -> str:
    return format_quantity(Decimal(f"{value:.3g}").normalize(), "")


def state_of(*, needed_ml: Decimal, own_ml: Decimal, day_needed_ml: Decimal, day_made_ml: Decimal) -> str:
    """Whether a line of a prep list is made, by its own batch or by one made for the whole day.

    Parameters
    ----------
    needed_ml, own_ml : Decimal
        What the line needs, and what its own batches hold [mL].
    day_needed_ml, day_made_ml : Decimal
        The same for all lines of that recipe on that day [mL].

    Returns
    -------
    str
        "made", "covered" (by a batch for the whole day), "partly made" or "to make".

    References
    ----------
    No formula.
    """
    if own_ml >= needed_ml * ENOUGH:
        return "made"
    if day_made_ml >= day_needed_ml * ENOUGH:
        return "covered"
    return "partly made" if own_ml > 0 else "to make"
