"""Can the vapour over a liquid catch fire: at room temperature, and in a warm oven or under a dryer."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from reagents.calculations.substances import Substance, UnknownSubstance, substance
from reagents.calculations.vapour import saturated_percent

ROOM_C = Decimal(20)
GREATER_RISK = (
    "The spray is the greater fire risk, not the butanol mixture: over ethanol at 20 °C the vapour stands "
    "inside its flammable range, and a mist of droplets burns even colder. No flame, spark or hot surface in "
    "the room; spray in the fume cupboard only."
)
OVEN = (
    "In a drying oven or under a hot-air dryer the butanol mixture becomes flammable as well: let papers dry "
    "in the fume cupboard before anything warm comes near them."
)
MIST = "A mist of droplets can burn even where the vapour alone would be too thin."


@dataclass(frozen=True)
class Fire:
    """Vapour that stands over one pure liquid at one temperature, against its flammable range [% v/v]."""

    substance: str
    temperature_c: Decimal
    saturated_percent: Decimal
    lower_percent: Decimal
    upper_percent: Decimal
    verdict: str
    sentence: str
    status: str = "computed"
    source_keys: tuple[str, ...] = ("chem_lib",)


def _known(name: str) -> Substance | None:
    try:
        return substance(name)
    except UnknownSubstance:
        return None


def over_liquid(name: str, temperature_c: Decimal) -> Fire | None:
    """Saturated vapour over a pure liquid against its lower and upper flammable limits.

    Parameters
    ----------
    name : str
        Name of the liquid [-].
    temperature_c : Decimal
        Temperature [°C].

    Returns
    -------
    Fire or None
        None where no vapour pressure or no limits are known.

    References
    ----------
    .. [1] IEC 60079-20-1:2010 through a library (limits) and thermo 0.6.0 (vapour pressure): `chem_lib`.
    """
    known = _known(name)
    if known is None or known.lower_flammable_percent is None or known.upper_flammable_percent is None:
        return None
    vapour = saturated_percent(known.name, temperature_c)
    if vapour is None:
        return None
    low, high = known.lower_flammable_percent, known.upper_flammable_percent
    verdict = "below" if vapour < low else "inside" if vapour <= high else "above"
    return Fire(
        known.name,
        temperature_c,
        vapour,
        low,
        high,
        verdict,
        _sentence(known.name, temperature_c, vapour, (low, high), verdict),
    )


def _sentence(
    name: str, temperature_c: Decimal, vapour: Decimal, limits: tuple[Decimal, Decimal], verdict: str
) -> str:
    warm = f"{temperature_c.normalize():f}".replace("-", "−")
    shown = f"{vapour:.2f}" if vapour < 1 else f"{vapour:.1f}"
    low, high = (f"{limit.normalize():f}" for limit in limits)
    start = (
        f"Over {name} at {warm} °C the air holds up to {shown} % of vapour; it burns from {low} to {high} %."
    )
    rest = {
        "below": f"That is below the range at this temperature, and warming changes it. {MIST}",
        "inside": "That is inside the range: a spark or a hot surface is enough.",
        "above": "That is above the range in the bottle, and passes through it wherever it mixes with the "
        "room's air: a spark or a hot surface is enough there.",
    }[verdict]
    return f"{start} {rest}"


def fires(names: Sequence[str], oven_c: Decimal | None = None) -> tuple[Fire, ...]:
    """Each liquid at 20 °C, and again at the temperature of an oven or dryer.

    Parameters
    ----------
    names : sequence of str
        Names of the liquids [-].
    oven_c : Decimal, optional
        Temperature of whatever warms the papers [°C].

    Returns
    -------
    tuple of Fire
        Liquids without figures are left out.

    References
    ----------
    .. [1] `over_liquid`.
    """
    warm = [ROOM_C] + ([oven_c] if oven_c is not None else [])
    found = (over_liquid(name, temperature) for temperature in warm for name in dict.fromkeys(names))
    return tuple(one for one in found if one is not None)
