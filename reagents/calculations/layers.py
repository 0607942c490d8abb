"""The two layers into which a mixture parts: which is which, how much of each, how much to mix for some."""

from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal
from typing import Literal

from reagents.calculations.binodal import BUTANOL, TERNARY, Point, TieLine
from reagents.calculations.composition import Composition, from_masses
from reagents.calculations.quantities import format_quantity


@dataclass(frozen=True)
class Layer:
    """One of two layers: where it lies, what it holds, and its share of the whole [0 to 1]."""

    place: Literal["upper", "lower"]
    character: str
    composition: Composition
    volume_share: Decimal
    mass_share: Decimal
    sentence: str

    def mix_ml(self, wanted_ml: Decimal) -> Decimal:
        """How much of the whole to mix for a volume of this layer, rounded up to what one measures [mL]."""
        exact = wanted_ml / self.volume_share
        step = Decimal(1) if exact < 50 else Decimal(5) if exact < 500 else Decimal(10)
        return (exact / step).quantize(Decimal(1), rounding=ROUND_CEILING) * step

    def mix_sentence(self, wanted_ml: Decimal) -> str:
        """Such as "For 100 mL of the upper layer mix about 165 mL (100 mL mixed give 61 mL)."."""
        wanted, mix = (format_quantity(v.normalize(), "mL") for v in (wanted_ml, self.mix_ml(wanted_ml)))
        gives = format_quantity(wanted_ml * self.volume_share, "mL", digits=2)
        return f"For {wanted} of the {self.place} layer mix about {mix} ({wanted} mixed give {gives})."


def layers_of(found: TieLine) -> tuple[Layer, Layer]:
    """The upper layer, rich in butan-1-ol, and the lower, watery one, by the lever rule.

    Parameters
    ----------
    found : TieLine
        The tie line through the mixture [-].

    Returns
    -------
    tuple of Layer
        Upper and lower layer; shares of the volume before mixing and of the mass [-].

    References
    ----------
    .. [1] Lever rule: conservation of mass.
    .. [2] The lighter layer is the one rich in butan-1-ol: 0.880 to 0.887 g/mL against 0.987 to 0.992,
       `lab_report_a` and `lab_report_b_masses`.
    """
    share = Decimal(repr(found.organic_mass_share))
    organic, watery = _held(found.organic, share), _held(found.watery, 1 - share)
    volume = organic.volume_ml + watery.volume_ml
    return (
        _layer("upper", f"rich in {BUTANOL}", organic, organic.volume_ml / volume, share),
        _layer("lower", "watery", watery, watery.volume_ml / volume, 1 - share),
    )


def _held(point: Point, mass_share: Decimal) -> Composition:
    shares = zip(TERNARY, (point.butanol, point.acid, point.water), strict=True)
    return from_masses({name: Decimal(repr(max(0.0, share))) * mass_share for name, share in shares})


def _layer(
    place: Literal["upper", "lower"], character: str, held: Composition, by_volume: Decimal, by_mass: Decimal
) -> Layer:
    holds = ", ".join(
        f"{one.name} {one.mass_share * 100:.0f}\u00a0%" for one in held.constituents if one.mass_g
    )
    sentence = (
        f"{place.capitalize()} layer, {character}: about {by_volume * 100:.0f}\u00a0% of the volume "
        f"({by_mass * 100:.0f}\u00a0% of the mass); by mass {holds}."
    )
    return Layer(place, character, held, by_volume, by_mass, sentence)
