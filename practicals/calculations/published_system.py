"""Finds the published values that belong to a practical's own system, whatever the order of its parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from practicals.calculations.published import PublishedRf, all_published, published


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


def _ratios_as_printed(printed: str, parts: Sequence[PhasePart]) -> tuple[str, ...]:
    by_volume = {part.substance.casefold(): part.amount for part in parts if part.basis == "parts by volume"}
    names = printed.casefold().split("/")
    if len(by_volume) == len(parts) and sorted(names) == sorted(by_volume):
        return (":".join(str(by_volume[name]) for name in names),)
    solution = {part.basis: part for part in parts}
    if len(parts) != 2 or set(solution) != {"% w/v", "to volume"}:
        return ()
    solid, liquid = solution["% w/v"], solution["to volume"]
    if solid.amount is None or printed.casefold() != f"{solid.substance} in {liquid.substance}".casefold():
        return ()
    amount = f"{solid.amount.normalize():f}"
    return (f"{amount} % m/v", f"{amount} % w/v")
