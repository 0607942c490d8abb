"""The largest batch that what is left on the shelf allows, and what stays over."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import ROUND_FLOOR, Decimal

from reagents.calculations.glassware import NoVessel, Vessel, measuring
from reagents.calculations.proportions import ImpossibleProportion, Part, Share, volumes_for
from reagents.calculations.quantities import format_quantity

LEAST_OF_THE_LIMIT = Decimal("0.8")  # rounding down beyond this wastes more than an exact ratio is worth


@dataclass(frozen=True)
class LargestBatch:
    """The largest batch, what limits it, and what is left of each part that was counted.

    `measurable` is the largest batch not above it whose parts all stand on a division, or None.
    """

    limiting: str
    total_ml: Decimal
    shares: tuple[Share, ...]
    left_over_ml: Mapping[str, Decimal]
    measurable: tuple[Share, ...] | None
    sentence: str


def largest_batch(
    parts: Sequence[Part],
    remaining_ml: Mapping[str, Decimal],
    available: Sequence[Vessel] | None = None,
) -> LargestBatch:
    """The largest batch that the remainders allow: the least of V_i sum(p) / p_i.

    Parameters
    ----------
    parts : sequence of Part
        The recipe, by volume [-].
    remaining_ml : mapping of str to Decimal
        What is left, for one part or for several; a part that is not named is taken as plenty [mL].
    available : sequence of Vessel, optional
        Cylinders in the prep room; the shipped class B sizes unless given [mL].

    Returns
    -------
    LargestBatch
        Total and parts [mL], the part that runs out first, and what stays over [mL].

    Raises
    ------
    ImpossibleProportion
        As `proportions.volumes_for`; a remainder of something that is not in the recipe, of nothing, or
        below zero.

    References
    ----------
    .. [1] Proportion: the part whose remainder makes the least total is the limiting one.
    """
    if not remaining_ml:
        raise ImpossibleProportion("Say of which part how much is left.")
    volumes_for(parts, Decimal(1))
    by_name = {part.name.strip().casefold(): part for part in parts}
    whole = sum((part.parts for part in parts), Decimal(0))
    totals: dict[str, Decimal] = {}
    for name, left in remaining_ml.items():
        part = by_name.get(name.strip().casefold())
        if part is None:
            raise ImpossibleProportion(
                f"{name} is not in the recipe, so what is left of it limits nothing.", name
            )
        if not left.is_finite() or left <= 0:
            raise ImpossibleProportion(
                f"What is left of {part.name} must be above 0 mL; nothing can be made of {left} mL.",
                left,
            )
        totals[part.name] = left * whole / part.parts
    limiting = min(totals, key=lambda name: totals[name])
    total = totals[limiting]
    shares = tuple(volumes_for(parts, total))
    volumes = {share.name: share.volume_ml for share in shares}
    left_over = {
        part.name: max(Decimal(0), left - volumes[part.name])
        for name, left in remaining_ml.items()
        for part in (by_name[name.strip().casefold()],)
    }
    return LargestBatch(
        limiting=limiting,
        total_ml=total,
        shares=shares,
        left_over_ml=left_over,
        measurable=_measurable(parts, total, available),
        sentence=_said(limiting, total, left_over, len(totals)),
    )


def _said(limiting: str, total: Decimal, left_over: Mapping[str, Decimal], counted: int) -> str:
    most = format_quantity(total.normalize(), "mL", digits=4)
    if counted == 1:
        return f"What is left of {limiting} makes {most} at most, if there is enough of the rest."
    over = ", ".join(
        f"{format_quantity(volume.normalize(), 'mL', digits=3)} of {name}"
        for name, volume in left_over.items()
        if name != limiting
    )
    return f"{limiting} runs out first: {most} at most. Then {over} is left."


def _measurable(
    parts: Sequence[Part], total: Decimal, available: Sequence[Vessel] | None
) -> tuple[Share, ...] | None:
    """The largest total, not above the one allowed, that leaves every part on a division of its vessel."""
    whole = sum((part.parts for part in parts), Decimal(0))
    per_part = total / whole
    step = Decimal(1).scaleb((per_part / 200).adjusted())
    unit = (per_part / step).to_integral_value(rounding=ROUND_FLOOR) * step
    while unit * whole >= total * LEAST_OF_THE_LIMIT and unit > 0:
        try:
            if all(
                measuring(part.parts * unit, available).measured_ml == part.parts * unit for part in parts
            ):
                return tuple(Share(part.name, part.parts, part.parts * unit) for part in parts)
        except NoVessel:
            return None
        unit -= step
    return None
