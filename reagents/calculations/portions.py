"""Which pipette, flask or cylinder has a mark at a volume, and how far off it may be there."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from functools import cache
from math import sqrt

from reagents.calculations.glassware import LEAST_FILL, Vessel, class_b_cylinders, vessels
from reagents.calculations.quantities import format_quantity
from reagents.calculations.solutions import ImpossibleSolution


@dataclass(frozen=True)
class Taking:
    """A volume in the vessel that measures it best; `standard_percent` is k = 1."""

    volume_ml: Decimal
    vessel: Vessel
    standard_percent: float

    @property
    def words(self) -> str:
        """Such as "10 mL, 10 mL one-mark pipette"."""
        return f"{format_quantity(self.volume_ml.normalize(), 'mL')}, {self.vessel}"


def _scaled(volume_ml: Decimal, vessel: Vessel) -> Taking | None:
    """The volume in a vessel, if it stands on its mark or on a division of a scale filled to a third."""
    on_mark = volume_ml == vessel.nominal_ml
    if not on_mark:
        division = vessel.division_ml
        fits = division is not None and vessel.nominal_ml * LEAST_FILL <= volume_ml <= vessel.nominal_ml
        if not fits or not division or volume_ml % division:
            return None
    return Taking(volume_ml, vessel, 100 * float(vessel.limit_ml) / sqrt(3) / float(volume_ml))


@cache
def pipettes_and_cylinders() -> tuple[Vessel, ...]:
    """What a portion of a stock is taken with.

    Returns
    -------
    tuple of Vessel
        Class B pipettes, one-mark and graduated, and cylinders [mL].

    References
    ----------
    .. [1] `reagents/data/glassware_tolerances.csv`: ISO 648, 835 and 4788, from memory as the table says.
    """
    kinds = {"one-mark pipette", "graduated pipette"}
    return (*(v for v in vessels() if v.item in kinds and v.grade == "B"), *class_b_cylinders())


@cache
def flasks_and_cylinders() -> tuple[Vessel, ...]:
    """What a solution is made up to its volume in.

    Returns
    -------
    tuple of Vessel
        Class B volumetric flasks and cylinders [mL].

    References
    ----------
    .. [1] `reagents/data/glassware_tolerances.csv`: ISO 1042 and 4788, from memory as the table says.
    """
    flasks = (v for v in vessels() if v.item == "one-mark volumetric flask" and v.grade == "B")
    return (*flasks, *class_b_cylinders())


def on_a_mark(volume_ml: Decimal, choice: Sequence[Vessel]) -> Taking | None:
    """The vessel that measures exactly this volume best.

    Parameters
    ----------
    volume_ml : Decimal
        Volume wanted, above zero [mL].
    choice : sequence of Vessel
        The vessels to choose from [mL].

    Returns
    -------
    Taking or None
        None when none of them has a mark or division there, in one fill and to a third at least.

    References
    ----------
    .. [1] One fill and at least a third of the vessel: common practice, no source.
    """
    found = [one for vessel in choice if (one := _scaled(volume_ml, vessel))]
    return min(found, key=lambda one: one.standard_percent, default=None)


def taking(volume_ml: Decimal) -> Taking:
    """The vessel that takes a volume of stock best, and the volume nearest to it that stands on a mark.

    Parameters
    ----------
    volume_ml : Decimal
        Volume wanted [mL].

    Returns
    -------
    Taking
        Volume on a mark [mL], the vessel and the standard uncertainty, k = 1 [%].

    Raises
    ------
    ImpossibleSolution
        A volume that is not above zero, or that no class B pipette or cylinder takes in one fill.

    References
    ----------
    .. [1] Class B limits: `reagents/data/glassware_tolerances.csv`; limit/sqrt(3): JCGM 100:2008, 4.3.7.
    """
    if not volume_ml.is_finite() or volume_ml <= 0:
        raise ImpossibleSolution("The volume must be above zero.", volume_ml)
    exact = on_a_mark(volume_ml, pipettes_and_cylinders())
    if exact:
        return exact
    found: list[tuple[float, Taking]] = []
    for vessel in pipettes_and_cylinders():
        if vessel.division_ml is None or not vessel.nominal_ml * LEAST_FILL <= volume_ml <= vessel.nominal_ml:
            continue
        divisions = (volume_ml / vessel.division_ml).quantize(Decimal(1), rounding=ROUND_HALF_UP)
        near = _scaled(divisions * vessel.division_ml, vessel)
        if near:
            off = 100 * abs(float(near.volume_ml / volume_ml) - 1)
            found.append((sqrt(near.standard_percent**2 + off**2), near))
    if not found:
        raise ImpossibleSolution(
            f"No pipette or cylinder here takes {format_quantity(volume_ml, 'mL', digits=3)} in one fill; "
            f"{'make more, or dilute in two steps' if volume_ml < 1 else 'take it in several portions'}.",
            volume_ml,
        )
    return min(found, key=lambda pair: pair[0])[1]
