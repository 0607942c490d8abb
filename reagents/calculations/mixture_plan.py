"""A recipe in parts by volume becomes volumes that can be measured, in the order of mixing."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, Decimal
from functools import lru_cache

from reagents.calculations.glassware import NoVessel, Vessel, measuring, round_up_keeping_ratio
from reagents.calculations.mixing import mixing_order
from reagents.calculations.preparation import Measure, PartWanted
from reagents.calculations.proportions import LARGEST_TOTAL_ML, Part, Share, volumes_for
from reagents.calculations.quantities import format_quantity
from reagents.calculations.ratio_tolerance import MeasuredPart, ratio_tolerance

# More of it than this only to keep the ratio exact would be poured away: common practice, no source.
MOST_MORE = Decimal("1.05")
SMALLEST_ML = Decimal("0.34")  # a third of a 1 mL graduated pipette, on its divisions
BEFORE_MIXING = (
    "Measure each part by itself before mixing, and do not fill up to a mark: liquids that mix shrink a "
    "little, so slightly less than the sum is in the bottle."
)


@dataclass(frozen=True)
class MixturePlan:
    """Volumes of one mixture; `keeps_ratio` is false when each part had to be rounded by itself."""

    measures: tuple[Measure, ...]
    steps: tuple[str, ...]
    made_ml: Decimal
    keeps_ratio: bool
    how: str
    doubts: tuple[str, ...] = ()
    ratio: tuple[str, ...] = ()


def mixture_plan(
    parts: Sequence[PartWanted], total_ml: Decimal, available: Sequence[Vessel] | None = None
) -> MixturePlan:
    """Scale a ratio to a total and round it up to what measuring cylinders read.

    The total is rounded up so that the ratio stays exact; where that would take a twentieth more, each
    part is rounded up by itself and the change in its share is said.

    Parameters
    ----------
    parts : sequence of PartWanted
        The recipe, each amount above zero [parts by volume].
    total_ml : Decimal
        Volume wanted [mL].
    available : sequence of Vessel, optional
        Cylinders in the prep room; the shipped class B sizes unless given [mL].

    Returns
    -------
    MixturePlan
        What to measure in what, how far off it may be, and the steps, acid last [mL].

    Raises
    ------
    ImpossibleProportion
        No parts, a part without an amount above zero, the same liquid twice, a total out of range.

    References
    ----------
    .. [1] Ratio by volume, acid last, rounding up: common practice, no source. Limits of vessels:
       `glassware.measuring`.
    """
    parts = [replace(one, substance=one.made_from.title) if one.made_from else one for one in parts]
    recipe = tuple(Part(part.substance, part.amount or Decimal(0)) for part in parts)
    exact = volumes_for(recipe, total_ml)
    try:
        kept = _kept_ratio(recipe, total_ml, None if available is None else tuple(available))
    except NoVessel:
        kept = None
    measures, shares, doubts = [], [], []
    for part, share in zip(parts, kept or exact, strict=True):
        measure, trouble = _measure(part, share, total_ml, available)
        measures.append(measure)
        shares.append(replace(share, volume_ml=measure.wanted or share.volume_ml))
        doubts += trouble
    made = sum((share.volume_ml for share in shares), Decimal(0))
    return MixturePlan(
        measures=tuple(measures),
        steps=tuple(step.instruction for step in mixing_order(shares)),
        made_ml=made,
        keeps_ratio=kept is not None,
        how=_rounding(shares, made, total_ml, kept is not None),
        doubts=tuple(doubts),
        ratio=_ratio(shares, doubts, available),
    )


def ratio_words(parts: Sequence[MeasuredPart]) -> tuple[str, ...]:
    """How far off the shares of a mixture may be, in a sentence.

    Parameters
    ----------
    parts : sequence of MeasuredPart
        As measured, in one unit [mL or g].

    Returns
    -------
    tuple of str
        One sentence; empty for fewer than two parts.

    References
    ----------
    .. [1] `ratio_tolerance.ratio_tolerance`; k = 2.
    """
    if len(parts) < 2:
        return ()
    off = ", ".join(
        f"{one.name} {format_quantity(Decimal(f'{one.expanded_share_percent:.2g}'), '%')}"
        for one in ratio_tolerance(parts)
    )
    return (f"Measured so, the share of each part in the whole is good to: {off} (k = 2).",)


def _ratio(
    shares: Sequence[Share], doubts: Sequence[str], available: Sequence[Vessel] | None
) -> tuple[str, ...]:
    if doubts or len(shares) < 2:
        return ()
    found = [(share, measuring(share.volume_ml, available).tolerance) for share in shares]
    parts = [MeasuredPart(share.name, float(share.volume_ml), one.standard_ml) for share, one in found]
    return (*ratio_words(parts), BEFORE_MIXING)


@lru_cache(maxsize=256)
def _kept_ratio(
    recipe: tuple[Part, ...], total_ml: Decimal, available: tuple[Vessel, ...] | None
) -> tuple[Share, ...] | None:
    kept = round_up_keeping_ratio(recipe, total_ml, available)
    if kept is None or sum(share.volume_ml for share in kept) > total_ml * MOST_MORE:
        return None
    # Recipes that are equal share the answer, however many noughts each was written with.
    return tuple(replace(share, volume_ml=_plain(share.volume_ml)) for share in kept)


def _plain(volume: Decimal) -> Decimal:
    whole = volume.to_integral_value()
    return whole.quantize(Decimal(1)) if whole == volume else volume.normalize()


def _from_which_total(share: Share, total_ml: Decimal) -> str:
    """From how much of the mixture on a small part can be measured."""
    if share.volume_ml >= SMALLEST_ML or share.volume_ml <= 0:
        return ""
    least = (total_ml * SMALLEST_ML / share.volume_ml).to_integral_value(rounding=ROUND_CEILING)
    if least > LARGEST_TOTAL_ML:
        return ""
    shown = format_quantity(least, "mL")
    return f" From {shown} of the mixture on it can be measured; or take it from a weaker stock."


def _measure(
    part: PartWanted, share: Share, total_ml: Decimal, available: Sequence[Vessel] | None
) -> tuple[Measure, list[str]]:
    try:
        found = measuring(share.volume_ml, available)
    except NoVessel as trouble:
        wanted = share.volume_ml.quantize(Decimal("0.001"))
        shown = format_quantity(wanted, "mL")
        nothing = Measure(part.key, part.substance, "mL", wanted, shown, "no vessel known here", "")
        return nothing, [f"{part.substance}: {trouble}{_from_which_total(share, total_ml)}"]
    shown = format_quantity(found.measured_ml, "mL", digits=9)
    if found.fills > 1:
        shown += f" ({found.fills} × {format_quantity(found.per_fill_ml, 'mL', digits=9)})"
    limit = format_quantity(found.tolerance.limit_ml, "mL")
    tolerance = f"± {limit}, {found.tolerance.words}"
    measure = Measure(
        part.key,
        part.substance,
        "mL",
        found.measured_ml,
        shown,
        str(found.vessel),
        tolerance,
        from_stock=part.made_from is not None,
    )
    return measure, []


def _rounding(shares: Sequence[Share], made: Decimal, total: Decimal, keeps_ratio: bool) -> str:
    made_shown, total_shown = (format_quantity(value.normalize(), "mL", digits=5) for value in (made, total))
    if keeps_ratio and made == total:
        return f"Make {made_shown}."
    if keeps_ratio:
        return f"Make {made_shown}: {total_shown} rounded up so that every part stands on a division."
    whole = sum((share.parts for share in shares), Decimal(0))
    bent = max(abs(share.volume_ml / made / (share.parts / whole) - 1) for share in shares)
    return (
        f"Make {made_shown}: each part of {total_shown} is rounded up to a division by itself, which changes "
        f"its share by {100 * bent:.2g} % at most."
    )
