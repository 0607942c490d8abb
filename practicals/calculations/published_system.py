"""Finds the published values that belong to a practical's own system, whatever the order of its parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from practicals.calculations.published import PublishedRf, all_published, published, same_ratio


@dataclass(frozen=True, slots=True)
class PhasePart:
    """One part of a mobile phase; `basis` as the recipe has it, `amount` in that basis."""

    substance: str
    amount: Decimal | None
    basis: str


def published_in_system(analyte: str, *, support: str, parts: Sequence[PhasePart]) -> list[PublishedRf]:
    """Published values of an analyte for the mobile phase that a recipe makes.

    A recipe lists its parts in the order of mixing and tables print them in another, so the names are
    matched as a set and the ratio is brought into the printed order.

    Parameters
    ----------
    analyte : str
        Name of the substance [-].
    support : str
        "paper" or "tlc" [-].
    parts : Sequence[PhasePart]
        The mobile phase: parts by volume, or one solid in % w/v made up to volume [-].

    Returns
    -------
    list[PublishedRf]
        Confirmed and unconfirmed rows; empty if the system has none.

    References
    ----------
    .. [1] Each row names its own source.
    """
    found: list[PublishedRf] = []
    for name in dict.fromkeys(row.mobile_phase for row in all_published()):
        for ratio in _ratios_as_printed(name, parts):
            found += published(analyte, support=support, mobile_phase=name, ratio=ratio)
    return found


def is_system(mobile_phase: str, ratio: str, *, parts: Sequence[PhasePart]) -> bool:
    """Whether a printed mobile phase with its ratio is the one that a recipe makes.

    Parameters
    ----------
    mobile_phase : str
        Names joined by slashes, or "solid in liquid" [-].
    ratio : str
        Parts by volume in the same order, or a strength [-].
    parts : Sequence[PhasePart]
        The recipe's parts, in any order [-].

    Returns
    -------
    bool
        True if names and ratio are the same; a ratio that was not printed equals nothing.

    References
    ----------
    .. [1] Arithmetic.
    """
    return any(same_ratio(ratio, own) for own in _ratios_as_printed(mobile_phase, parts))


def printed_system(parts: Sequence[PhasePart]) -> tuple[str, str] | None:
    """Mobile phase and ratio of a recipe, as tables print them.

    Parameters
    ----------
    parts : Sequence[PhasePart]
        Parts by volume, or one solid in % w/v made up to volume [-].

    Returns
    -------
    tuple of (str, str) or None
        Names and ratio [-]; None for a mixture that has no such form.

    References
    ----------
    .. [1] Common practice, no source.
    """
    names = "/".join(part.substance for part in parts)
    solution = {part.basis: part.substance for part in parts}
    if "% w/v" in solution and "to volume" in solution:
        names = f"{solution['% w/v']} in {solution['to volume']}"
    ratios = _ratios_as_printed(names, parts) if parts else ()
    return (names, ratios[0]) if ratios else None


def _ratios_as_printed(printed: str, parts: Sequence[PhasePart]) -> tuple[str, ...]:
    by_volume = {part.substance.casefold(): part.amount for part in parts if part.basis == "parts by volume"}
    names = printed.casefold().split("/")
    if len(by_volume) == len(parts) and sorted(names) == sorted(by_volume):
        return (":".join(_plain(by_volume[name]) for name in names),)
    solution = {part.basis: part for part in parts}
    if len(parts) != 2 or set(solution) != {"% w/v", "to volume"}:
        return ()
    solid, liquid = solution["% w/v"], solution["to volume"]
    if solid.amount is None or printed.casefold() != f"{solid.substance} in {liquid.substance}".casefold():
        return ()
    amount = _plain(solid.amount)
    return (f"{amount} % m/v", f"{amount} % w/v")


def _plain(amount: Decimal | None) -> str:
    """Without the noughts that a record adds."""
    return "" if amount is None else f"{amount.normalize():f}"
