"""What the coming days need of each substance, what of it stands on the shelf in date, and what to order."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from decimal import ROUND_CEILING, Decimal

from reagents.calculations.quantities import format_quantity
from reagents.calculations.stock import (
    Held,
    choices,
    condition,
    converted,
    form_factor,
    known_substance,
    one_name,
)

#: Taken from the site's own still or cartridge, so nobody orders it: common practice, no source.
NOT_ORDERED = {"water"}


@dataclass(frozen=True)
class Need:
    """So much of a substance on a day, for a liquid of a requisition."""

    substance: str
    unit: str
    amount: Decimal
    day: date
    liquid: str


@dataclass(frozen=True)
class OrderLine:
    """One substance: needed, in date, short; all in `unit`. `short` is nought where the shelf is enough."""

    substance: str
    unit: str
    needed: Decimal
    usable: Decimal
    expired: Decimal
    short: Decimal
    first_day: date
    short_from: date | None
    liquids: tuple[str, ...]
    remarks: tuple[str, ...]

    @property
    def needed_shown(self) -> str:
        """What is needed, with its unit [-]."""
        return format_quantity(self.needed.normalize(), self.unit, digits=4)

    @property
    def usable_shown(self) -> str:
        """What is in date today, with its unit [-]."""
        return format_quantity(self.usable.normalize(), self.unit, digits=4)

    @property
    def expired_shown(self) -> str:
        """What stands there past its date, with its unit [-]."""
        return format_quantity(self.expired.normalize(), self.unit, digits=4)

    @property
    def to_order(self) -> Decimal:
        """At least so much, to two figures and never rounded down [mL or g]."""
        if not self.short:
            return Decimal(0)
        return self.short.quantize(Decimal(1).scaleb(self.short.adjusted() - 1), rounding=ROUND_CEILING)


def order_list(needs: Iterable[Need], held: Sequence[Held], *, day: date) -> tuple[OrderLine, ...]:
    """Set what is needed against what is on the shelf and in date on the day of use.

    Each need takes from the container that ends first and is still in date that day, so that a bottle which
    ends before it is needed covers nothing. Salts, hydrates and purity are reckoned as the substance itself.

    Parameters
    ----------
    needs : iterable of Need
        Every amount with its day [mL or g].
    held : sequence of Held
        Every container on the shelf [mL or g].
    day : date
        Today [-].

    Returns
    -------
    tuple of OrderLine
        What is short first, then by first day needed [mL or g].

    References
    ----------
    .. [1] First to expire, first out; purified water is made on the site: common practice, no source.
    """
    by_substance: dict[str, list[Need]] = {}
    for need in sorted(needs, key=lambda need: need.day):
        if one_name(need.substance) not in NOT_ORDERED:
            by_substance.setdefault(one_name(need.substance), []).append(need)
    lines = [_line(name, wanted, held, day) for name, wanted in by_substance.items()]
    return tuple(
        sorted(lines, key=lambda line: (not line.short, line.short_from or line.first_day, line.substance))
    )


def _line(name: str, wanted: list[Need], held: Sequence[Held], day: date) -> OrderLine:
    unit = wanted[0].unit
    bottles, remarks = _as_substance(name, unit, choices(held, name, day=day))
    left = {one.key: one.remaining for one in bottles}
    needed = short = Decimal(0)
    short_from: date | None = None
    for need in wanted:
        amount = converted(need.amount, name, unit=need.unit, to=unit)
        if amount is None:
            remarks.append(
                f"{need.liquid} asks for it in {need.unit}, the rest in {unit}; its density is not known."
            )
            continue
        needed += amount
        missing = _take(amount, bottles, left, need.day)
        if missing and short_from is None:
            short_from = need.day
        short += missing
    return OrderLine(
        substance=name if known_substance(name) else wanted[0].substance,
        unit=unit,
        needed=needed,
        usable=sum((one.remaining for one in bottles if condition(one, day=day) != "expired"), Decimal(0)),
        expired=sum((one.remaining for one in bottles if condition(one, day=day) == "expired"), Decimal(0)),
        short=short,
        first_day=wanted[0].day,
        short_from=short_from,
        liquids=tuple(dict.fromkeys(need.liquid for need in wanted)),
        remarks=(*dict.fromkeys(remarks), *_ends_first(bottles, wanted, day)),
    )


def _take(amount: Decimal, bottles: list[Held], left: dict[int, Decimal], on: date) -> Decimal:
    """Take from what is in date on that day; gives what is missing."""
    for one in bottles:
        if condition(one, day=on) != "expired":
            part = min(amount, left[one.key])
            left[one.key] -= part
            amount -= part
    return amount


def _as_substance(name: str, unit: str, alike: Sequence[Held]) -> tuple[list[Held], list[str]]:
    """The containers counted as the substance itself, in one unit."""
    counted, remarks = [], []
    for one in alike:
        amount = converted(one.remaining, name, unit=one.unit, to=unit)
        if amount is None:
            remarks.append(f"A bottle of it is counted in {one.unit} and left out: its density is not known.")
            continue
        if unit == "g":
            amount /= form_factor(name, one.form, one.purity_percent)
        counted.append(replace(one, remaining=amount, unit=unit))
    return counted, remarks


def _ends_first(bottles: list[Held], wanted: list[Need], day: date) -> list[str]:
    """A bottle that is good today and no longer so when it is needed last."""
    last = wanted[-1].day
    return [
        f"A bottle ends on {one.expires_on:%a} {one.expires_on.day} {one.expires_on:%b}, "
        "before it is needed last."
        for one in bottles
        if one.expires_on and day <= one.expires_on < last
    ]
