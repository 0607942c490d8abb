"""What was really made beside what the list asked for."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from math import sqrt

from reagents.calculations.glassware import NoVessel, balance_check, measuring
from reagents.calculations.preparation import MOLAR, PARTS, PERCENT_WV, TO_VOLUME
from reagents.calculations.quantities import format_quantity

COARSE, FINE = Decimal("0.01"), Decimal("0.001")
ENOUGH = Decimal("0.99")  # a batch a hair below the total still fills every chamber: spare is in the total


class ImpossibleBatch(ValueError):
    """What was entered makes no batch; the message is a sentence."""


@dataclass(frozen=True)
class Amount:
    """One part as measured, in mL or g as `unit` says; `recipe_amount` and `basis` are the recipe's."""

    substance: str
    basis: str
    unit: str
    wanted: Decimal
    measured: Decimal
    recipe_amount: Decimal | None = None


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
        readability = COARSE if balance_check(amount.wanted, COARSE).enough else FINE
        limit = 2 * readability * Decimal(sqrt(1 / 6))
        return limit, f"{format_quantity(readability, 'g')} balance"
    try:
        found = measuring(amount.wanted)
    except NoVessel:
        return None, "No vessel"
    return found.tolerance.limit_ml, str(found.vessel)


def batch_total_ml(amounts: Sequence[Amount]) -> Decimal:
    """Volume of a batch: what it was filled up to, or else the sum of its liquids.

    Parameters
    ----------
    amounts : sequence of Amount
        Every part as measured [mL or g].

    Returns
    -------
    Decimal
        Volume, to 0.001 mL; shrinking on mixing is left out [mL].

    Raises
    ------
    ImpossibleBatch
        When that is not above zero.

    References
    ----------
    No formula.
    """
    filled = [amount.measured for amount in amounts if amount.basis == TO_VOLUME]
    liquids = [amount.measured for amount in amounts if amount.unit == "mL"]
    total = sum(filled or liquids, Decimal(0)).quantize(Decimal("0.001"), rounding=ROUND_HALF_UP)
    if total <= 0:
        raise ImpossibleBatch("No volume was made; enter what was really measured.")
    return total


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
