"""A ratio of parts scaled to the volume a class needs."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from math import gcd, lcm

from reagents.calculations.quantities import format_quantity

PI = Decimal("3.14159265358979323846")
LARGEST_PARTS = Decimal(1_000_000)
LARGEST_TOTAL_ML = Decimal(100_000)
DEPTH_MARGIN_MM = Decimal(5)  # common practice, no source
USUAL_DEPTH_MM = (Decimal(5), Decimal(10))


class ImpossibleProportion(ValueError):
    """The parts or the total make no mixture; the message is a sentence, `value` what caused it."""

    def __init__(self, message: str, value: object = None) -> None:
        super().__init__(message)
        self.value = value


@dataclass(frozen=True)
class Part:
    """One liquid of a recipe and how many parts of it."""

    name: str
    parts: Decimal


@dataclass(frozen=True)
class Share:
    """One liquid of a recipe scaled to a total."""

    name: str
    parts: Decimal
    volume_ml: Decimal


def _exact(value: Fraction) -> Decimal:
    return Decimal(value.numerator) / Decimal(value.denominator)


def _above_zero(value: Decimal, sentence: str) -> Decimal:
    if not value.is_finite() or value <= 0:
        raise ImpossibleProportion(sentence, value)
    return value


def _checked_total(total_ml: Decimal) -> Decimal:
    _above_zero(total_ml, "The total volume must be above 0 mL.")
    if total_ml > LARGEST_TOTAL_ML:
        raise ImpossibleProportion(
            f"A total of {format_quantity(total_ml, 'mL')} is more than 100 L; check size and depth.",
            total_ml,
        )
    return total_ml


def _checked_parts(parts: Sequence[Part]) -> Sequence[Part]:
    if not parts:
        raise ImpossibleProportion("The recipe has no parts; enter at least one liquid.")
    nothing = "" if any(part.parts for part in parts) else "The parts add up to nothing: "
    for part in parts:
        _above_zero(
            part.parts,
            f"{nothing}{part.name} has {part.parts} parts; give it a number above zero or leave it out.",
        )
        if part.parts > LARGEST_PARTS:
            raise ImpossibleProportion(
                f"{part.name} has {part.parts} parts; use smaller numbers.", part.parts
            )
    names = [part.name.strip().casefold() for part in parts]
    for part, name in zip(parts, names, strict=True):
        if names.count(name) > 1:
            raise ImpossibleProportion(
                f"{part.name} is in the recipe twice; put its parts together.", part.name
            )
    return parts


def in_lowest_terms(parts: Sequence[Part]) -> tuple[Part, ...]:
    """The same ratio in the smallest whole numbers: 6 : 1.5 : 2.5 is 12 : 3 : 5.

    Two recipes are the same ratio when their lowest terms are, whatever multiple was written.

    Parameters
    ----------
    parts : sequence of Part
        The recipe; each number of parts above zero [-].

    Returns
    -------
    tuple of Part
        In the order given, without a common divisor [-].

    Raises
    ------
    ImpossibleProportion
        As `volumes_for`.

    References
    ----------
    .. [1] A ratio is unchanged when every part is multiplied by one number: Euclid, Elements, VII.17.
    """
    shares = [Fraction(part.parts) for part in _checked_parts(parts)]
    common = lcm(*(share.denominator for share in shares))
    whole = [int(share * common) for share in shares]
    divisor = gcd(*whole)
    return tuple(
        Part(part.name, Decimal(number // divisor)) for part, number in zip(parts, whole, strict=True)
    )


def volumes_for(parts: Sequence[Part], total_ml: Decimal) -> list[Share]:
    """Scale a ratio by volume to a total: V_i = V p_i / sum(p).

    6 : 1.5 : 2.5 gives exactly what 12 : 3 : 5 gives. Liquids that shrink on mixing give slightly less
    than the total; the ratio is unaffected.

    Parameters
    ----------
    parts : sequence of Part
        The recipe; each number of parts above zero [-].
    total_ml : Decimal
        Sum of the volumes before mixing, at most 100 L [mL].

    Returns
    -------
    list of Share
        In the order given [mL].

    Raises
    ------
    ImpossibleProportion
        No parts, a part that is not above zero, the same liquid twice, or a total out of range.

    References
    ----------
    .. [1] Proportion; a ratio of a mobile phase is by volume unless it says otherwise: common practice,
       no source.
    """
    _checked_parts(parts)
    total = Fraction(_checked_total(total_ml))
    whole = sum((Fraction(part.parts) for part in parts), Fraction(0))
    return [Share(part.name, part.parts, _exact(total * Fraction(part.parts) / whole)) for part in parts]


def chamber_volume_ml(diameter_mm: Decimal, depth_mm: Decimal) -> Decimal:
    """Liquid that stands `depth_mm` deep in a round chamber: pi D^2 h / 4.

    Parameters
    ----------
    diameter_mm : Decimal
        Inner diameter of the chamber [mm].
    depth_mm : Decimal
        Depth of the liquid [mm].

    Returns
    -------
    Decimal
        Volume, unrounded [mL].

    Raises
    ------
    ImpossibleProportion
        A diameter or depth that is not above zero, or a volume above 100 L.

    References
    ----------
    .. [1] Volume of a cylinder.
    """
    _above_zero(diameter_mm, "The diameter of the chamber must be above 0 mm.")
    _above_zero(depth_mm, "The depth of the liquid must be above 0 mm.")
    return _checked_total(PI * diameter_mm * diameter_mm * depth_mm / 4 / 1000)


def rectangular_chamber_volume_ml(length_mm: Decimal, width_mm: Decimal, depth_mm: Decimal) -> Decimal:
    """Liquid that stands `depth_mm` deep in a rectangular chamber or trough: length x width x depth.

    Parameters
    ----------
    length_mm : Decimal
        Inner length [mm].
    width_mm : Decimal
        Inner width [mm].
    depth_mm : Decimal
        Depth of the liquid [mm].

    Returns
    -------
    Decimal
        Volume, unrounded [mL].

    Raises
    ------
    ImpossibleProportion
        A length, width or depth that is not above zero, or a volume above 100 L.

    References
    ----------
    .. [1] Volume of a cuboid; 1 mL is 1000 mm3.
    """
    _above_zero(length_mm, "The length of the chamber must be above 0 mm.")
    _above_zero(width_mm, "The width of the chamber must be above 0 mm.")
    _above_zero(depth_mm, "The depth of the liquid must be above 0 mm.")
    return _checked_total(length_mm * width_mm * depth_mm / 1000)


def total_needed(chambers: int, volume_per_chamber_ml: Decimal, overage_percent: Decimal) -> Decimal:
    """Volume to make for all chambers, with something to spare.

    Parameters
    ----------
    chambers : int
        Number of chambers to fill, 1 to 500 [-].
    volume_per_chamber_ml : Decimal
        Liquid in each [mL].
    overage_percent : Decimal
        To spare, 0 to 100 of the volume in the chambers; 10 to 20 is usual [%].

    Returns
    -------
    Decimal
        Volume, unrounded [mL].

    Raises
    ------
    ImpossibleProportion
        A number out of range, or a total above 100 L.

    References
    ----------
    .. [1] Overage of 10 to 20 %: common practice, no source.
    """
    if not 1 <= chambers <= 500:
        raise ImpossibleProportion(
            f"{chambers} chambers is not between 1 and 500; check the number.", chambers
        )
    if not overage_percent.is_finite() or not 0 <= overage_percent <= 100:
        raise ImpossibleProportion(
            f"{overage_percent} % to spare is not between 0 and 100; 10 to 20 is usual.", overage_percent
        )
    _above_zero(volume_per_chamber_ml, "The volume for each chamber must be above 0 mL.")
    return _checked_total(chambers * volume_per_chamber_ml * (1 + overage_percent / 100))


def check_depth(depth_mm: Decimal, origin_height_mm: Decimal) -> list[str]:
    """Sentences about a depth of liquid that would spoil the papers.

    The liquid must stay well below the origin line: spots that stand in it wash out. "Well below" is
    taken as 5 mm.

    Parameters
    ----------
    depth_mm : Decimal
        Depth of the liquid in the chamber [mm].
    origin_height_mm : Decimal
        Height of the origin line above the lower edge of the paper [mm].

    Returns
    -------
    list of str
        Sentences; empty when nothing is to be said.

    Raises
    ------
    ImpossibleProportion
        A depth or height that is not above zero.

    References
    ----------
    .. [1] Margin of 5 mm and depth of 5 to 10 mm: common practice, no source.
    .. [2] Liquid of 1 cm or less, origin above it: source `baw_fresh` in `reagents/data/SOURCES.csv`.
    """
    _above_zero(depth_mm, "The depth of the liquid must be above 0 mm.")
    _above_zero(origin_height_mm, "The height of the origin line must be above 0 mm.")
    depth, origin = format_quantity(depth_mm, "mm"), format_quantity(origin_height_mm, "mm")
    said = []
    if depth_mm >= origin_height_mm:
        said.append(
            f"Liquid {depth} deep covers the origin line at {origin}: the spots would wash out into it. "
            "Use less liquid or draw the line higher."
        )
    elif origin_height_mm - depth_mm < DEPTH_MARGIN_MM:
        margin = format_quantity(DEPTH_MARGIN_MM, "mm")
        said.append(
            f"Liquid {depth} deep comes within {margin} of the origin line at {origin}. "
            f"Keep at least {margin} between them (common practice)."
        )
    least, most = USUAL_DEPTH_MM
    if depth_mm > most:
        said.append(f"Liquid {depth} deep is more than usual; 5 to 10 mm is enough and wastes less.")
    elif depth_mm < least:
        said.append(f"Liquid {depth} deep may miss a paper if the chamber is not level; 5 to 10 mm is usual.")
    return said


def mass_fractions(shares: Sequence[Share], densities_g_per_ml: Mapping[str, Decimal]) -> dict[str, Decimal]:
    """Mass fractions of a mixture made by volume: w_i = V_i d_i / sum(V d).

    Parameters
    ----------
    shares : sequence of Share
        Volumes before mixing [mL].
    densities_g_per_ml : mapping of str to Decimal
        Density of each liquid by name [g/mL].

    Returns
    -------
    dict of str to Decimal
        Mass fraction by name [-].

    Raises
    ------
    ImpossibleProportion
        When a density is missing or not above zero, or there is nothing in the mixture.

    References
    ----------
    .. [1] Mass = volume x density; hazard rules count by mass: CLP Annex I, 1.1.1 and part 3.
    """
    if not shares:
        raise ImpossibleProportion("The mixture is empty; enter at least one liquid.")
    masses = {}
    for share in shares:
        density = densities_g_per_ml.get(share.name, Decimal(0))
        _above_zero(density, f"The density of {share.name} is not known; read it from the bottle.")
        masses[share.name] = share.volume_ml * density
    whole = sum(masses.values())
    return {name: mass / whole for name, mass in masses.items()}
