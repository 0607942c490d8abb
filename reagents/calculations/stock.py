"""Bottles on a shelf: which is still good, which to take, and what has to carry a date."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import ROUND_HALF_UP, Decimal
from functools import lru_cache

from reagents.calculations.quantities import format_quantity
from reagents.calculations.substances import Substance, UnknownSubstance, bottle_forms, substance
from reagents.calculations.tables import number, rows

ENDS_SOON = timedelta(days=14)  # a fortnight's warning, time enough to order: common practice, no source
HUNDRED = Decimal(100)


class NotEnough(ValueError):
    """The bottles hold less than was taken; the message is a sentence."""


@dataclass(frozen=True)
class Held:
    """One container as it stands on the shelf; `key` names it, `remaining` is in `unit`."""

    key: int
    substance: str
    unit: str
    remaining: Decimal
    received_on: date
    expires_on: date | None = None
    form: str = ""
    purity_percent: Decimal | None = None
    opened: bool = False


@dataclass(frozen=True)
class Taken:
    """So much out of one container."""

    key: int
    amount: Decimal


@dataclass(frozen=True)
class ShortLived:
    """What spoils: why it needs a date, and how long its solution keeps where that is known."""

    substance: str
    why: str
    solution_days: int | None
    read_or_memory: str


@lru_cache(maxsize=512)
def known_substance(name: str) -> Substance | None:
    """The shipped record of a substance, if there is one.

    Parameters
    ----------
    name : str
        As somebody wrote it [-].

    Returns
    -------
    Substance or None
        None for a name that is not known here.

    References
    ----------
    No formula.
    """
    try:
        return substance(name)
    except UnknownSubstance:
        return None


def one_name(name: str) -> str:
    """One name for a substance however it was written, so that a bottle and a recipe find each other.

    Parameters
    ----------
    name : str
        Such as "acetic acid" [-].

    Returns
    -------
    str
        The shipped name, such as "ethanoic acid"; what is not known keeps its own, in small letters.

    References
    ----------
    .. [1] Synonyms in `reagents/data/substances.csv`.
    """
    known = known_substance(name)
    return known.name if known else " ".join(name.split()).casefold()


def condition(held: Held, *, day: date) -> str:
    """How a container stands on a day.

    Parameters
    ----------
    held : Held
        The container [mL or g].
    day : date
        The day in question [-].

    Returns
    -------
    str
        "empty", "expired", "ends soon" (within 14 days), "in date" or "no date".

    References
    ----------
    .. [1] The date itself still counts as in date; 14 days' warning: common practice, no source.
    """
    if held.remaining <= 0:
        return "empty"
    if held.expires_on is None:
        return "no date"
    if held.expires_on < day:
        return "expired"
    return "ends soon" if held.expires_on <= day + ENDS_SOON else "in date"


def short_lived(name: str) -> ShortLived | None:
    """Why a substance, or its solution, has to carry a date.

    Parameters
    ----------
    name : str
        Name of the substance [-].

    Returns
    -------
    ShortLived or None
        None for what is not known to spoil.

    References
    ----------
    .. [1] `reagents/data/short_lived.csv`, each row with its source or "common practice".
    """
    for row in rows("short_lived"):
        if row["substance"] == one_name(name):
            days = number(row["solution_days"])
            return ShortLived(
                row["substance"], row["why"], None if days is None else int(days), row["read_or_memory"]
            )
    return None


def choices(held: Iterable[Held], name: str, *, day: date) -> tuple[Held, ...]:
    """Containers of one substance in the order in which to use them up.

    Those in date come first, the one that ends first at the front, an opened one before a full one; then
    those without a date; expired ones stand last and are to be chosen by a person, never by a program.

    Parameters
    ----------
    held : iterable of Held
        Every container on the shelf [mL or g].
    name : str
        The substance wanted [-].
    day : date
        When it is used [-].

    Returns
    -------
    tuple of Held
        Those that hold something of it.

    References
    ----------
    .. [1] First to expire, first out: common practice, no source.
    """
    wanted = one_name(name)
    alike = [one for one in held if one_name(one.substance) == wanted and one.remaining > 0]

    def turn(one: Held) -> tuple[bool, date, bool, date, int]:
        expired = condition(one, day=day) == "expired"
        return expired, one.expires_on or date.max, not one.opened, one.received_on, one.key

    return tuple(sorted(alike, key=turn))


def proposed(held: Iterable[Held], name: str, *, day: date) -> Held | None:
    """The container to take: the one in date that ends first. Never one that has expired.

    Parameters
    ----------
    held : iterable of Held
        Every container on the shelf [mL or g].
    name : str
        The substance wanted [-].
    day : date
        When it is used [-].

    Returns
    -------
    Held or None
        None when nothing in date is left.

    References
    ----------
    .. [1] First to expire, first out: common practice, no source.
    """
    first = next(iter(choices(held, name, day=day)), None)
    return None if first is None or condition(first, day=day) == "expired" else first


def converted(amount: Decimal, name: str, *, unit: str, to: str) -> Decimal | None:
    """An amount of a substance in the unit that its bottle is counted in.

    Parameters
    ----------
    amount : Decimal
        So much of it [mL or g].
    name : str
        The substance, for its density at 20 C [-].
    unit, to : str
        "mL" or "g" each [-].

    Returns
    -------
    Decimal or None
        The same in `to`; None when the density is not known [mL or g].

    References
    ----------
    .. [1] m = d V, densities in `reagents/data/substances.csv`.
    """
    if unit == to:
        return amount
    known = known_substance(name)
    if known is None or known.density_20 is None:
        return None
    return amount * known.density_20 if to == "g" else amount / known.density_20


def form_factor(name: str, form: str, purity_percent: Decimal | None) -> Decimal:
    """How much of what is in the bottle stands for 1 g of the substance itself.

    Parameters
    ----------
    name : str
        The substance that a recipe asks for [-].
    form : str
        Salt or hydrate as the bottle says, such as "hydrochloride"; "" for the substance itself [-].
    purity_percent : Decimal or None
        As the bottle says; None counts as pure [%].

    Returns
    -------
    Decimal
        M(form) / M(substance) / (purity / 100) [g/g]. A form that is not known counts as the substance.

    References
    ----------
    .. [1] m = c V M / purity; molar masses of the forms from memory, checked against their formulae:
       `reagents/data/bottle_forms.csv`.
    """
    factor = HUNDRED / purity_percent if purity_percent else Decimal(1)
    known = known_substance(name)
    if not form.strip() or known is None or known.molar_mass is None:
        return factor
    asked = form.casefold().strip()
    for one in bottle_forms(known.name):
        if asked in one.name.casefold() or one.name.casefold() in asked:
            return factor * one.molar_mass / known.molar_mass
    return factor


def mass_of_form(mass_g: Decimal, name: str, form: str, purity_percent: Decimal | None) -> Decimal:
    """What to weigh of the salt, hydrate or purity in a bottle, to the same last place.

    Parameters
    ----------
    mass_g : Decimal
        Mass of the substance itself, as the list rounds it [g].
    name, form : str
        The substance, and the form as the bottle says [-].
    purity_percent : Decimal or None
        As the bottle says; None counts as pure [%].

    Returns
    -------
    Decimal
        The mass itself where nothing differs [g].

    References
    ----------
    .. [1] `form_factor`.
    """
    factor = form_factor(name, form, purity_percent)
    return mass_g if factor == 1 else (mass_g * factor).quantize(mass_g, rounding=ROUND_HALF_UP)


def spread(amount: Decimal, chosen: Held, others: Sequence[Held], *, day: date) -> tuple[Taken, ...]:
    """Take an amount from the chosen container and, once that is empty, from the next ones in date.

    Parameters
    ----------
    amount : Decimal
        What was measured, in the unit of the containers [mL or g].
    chosen : Held
        The container that a person named [mL or g].
    others : sequence of Held
        The rest of the shelf; only the same substance, unit and form in date is taken [mL or g].
    day : date
        When it was taken [-].

    Returns
    -------
    tuple of Taken
        How much from which, none of it below zero [mL or g].

    Raises
    ------
    NotEnough
        When all of them together hold less.

    References
    ----------
    .. [1] First to expire, first out: common practice, no source.
    """
    next_ones = [
        one
        for one in choices(others, chosen.substance, day=day)
        if one.key != chosen.key
        and (one.unit, one.form, one.purity_percent) == (chosen.unit, chosen.form, chosen.purity_percent)
        and condition(one, day=day) != "expired"
    ]
    taken, left = [], amount
    for one in (chosen, *next_ones):
        part = min(left, one.remaining)
        if part > 0:
            taken.append(Taken(one.key, part))
            left -= part
    if left > 0:
        had = format_quantity((amount - left).normalize(), chosen.unit)
        raise NotEnough(
            f"The shelf holds {had} of {chosen.substance} by its record, and "
            f"{format_quantity(amount.normalize(), chosen.unit)} was taken. Count the bottle and put its "
            "record right, or choose another."
        )
    return tuple(taken)
