"""Which vessel measures a volume, how finely, and how far off it may be; and what a balance can weigh."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_HALF_EVEN, Decimal
from functools import cache
from math import ceil, sqrt

from reagents.calculations.proportions import Part, Share, volumes_for
from reagents.calculations.quantities import format_quantity
from reagents.calculations.tables import number, rows

MOST_ROUNDED_UP = Decimal("1.25")  # beyond a quarter more, the remedy wastes more than it saves
LEAST_FILL = Decimal(1) / Decimal(3)  # of the nominal volume; common practice, no source
READABILITIES_FOR_ONE_PERCENT = 82
BALANCE_AIM_PERCENT = 1.0


class NoVessel(ValueError):
    """No measuring vessel takes the volume; the message is a sentence, `volume_ml` the volume."""

    def __init__(self, message: str, volume_ml: Decimal) -> None:
        super().__init__(message)
        self.volume_ml = volume_ml


@dataclass(frozen=True)
class Vessel:
    """One size of measuring vessel and its limit of error, with where the limit was found."""

    item: str
    standard: str
    nominal_ml: Decimal
    division_ml: Decimal | None
    grade: str
    limit_ml: Decimal
    source_key: str
    read_or_memory: str

    def __str__(self) -> str:
        return f"{format_quantity(self.nominal_ml, 'mL')} {self.item}"


@dataclass(frozen=True)
class Tolerance:
    """How far off one measured volume may be; `standard` is k = 1, `expanded` is k = 2."""

    limit_ml: Decimal
    standard_ml: float
    standard_percent: float
    expanded_percent: float

    @property
    def words(self) -> str:
        """Such as "1.9 % (k = 2: 3.8 %)": the standard uncertainty, and twice it."""
        return _percents(self.standard_percent)


@dataclass(frozen=True)
class Measuring:
    """How to measure one volume: so many fills of one vessel."""

    vessel: Vessel
    fills: int
    per_fill_ml: Decimal
    measured_ml: Decimal
    tolerance: Tolerance


@dataclass(frozen=True)
class BalanceCheck:
    """Whether a balance weighs a mass well enough; `expanded_percent` is k = 2."""

    enough: bool
    smallest_g: Decimal
    expanded_percent: float
    sentence: str

    @property
    def words(self) -> str:
        """Such as "2 % (k = 2: 4.1 %)": the standard uncertainty, and twice it."""
        return _percents(self.expanded_percent / 2)


def _percents(standard: float) -> str:
    once, twice = (format_quantity(Decimal(f"{value:.2g}"), "%") for value in (standard, 2 * standard))
    return f"{once} (k = 2: {twice})"


@cache
def vessels() -> tuple[Vessel, ...]:
    """Every vessel of the shipped table.

    Returns
    -------
    tuple of Vessel
        In the order of the table [mL].

    References
    ----------
    .. [1] `reagents/data/glassware_tolerances.csv`: ISO 4788, 1042, 648, 835, 8655-2 and ASTM E1272,
       each row marked read or memory.
    """
    return tuple(
        Vessel(
            item=row["item"],
            standard=row["standard"],
            nominal_ml=Decimal(row["nominal_ml"]),
            division_ml=number(row["division_ml"]),
            grade=row["class"],
            limit_ml=Decimal(row["mpe_ml"]),
            source_key=row["source_key"],
            read_or_memory=row["read_or_memory"],
        )
        for row in rows("glassware_tolerances")
    )


@cache
def class_b_cylinders() -> tuple[Vessel, ...]:
    """Class B measuring cylinders by the international standard, smallest first.

    Returns
    -------
    tuple of Vessel
        Nominal volumes 5 to 2000 mL [mL].

    References
    ----------
    .. [1] ISO 4788:2005; limits from memory, as the table says row by row.
    """
    chosen = (
        v for v in vessels() if v.item == "measuring cylinder" and v.grade == "B" and "ISO" in v.standard
    )
    return tuple(sorted(chosen, key=lambda vessel: vessel.nominal_ml))


def _checked(volume_ml: Decimal) -> Decimal:
    if not volume_ml.is_finite() or volume_ml <= 0:
        raise NoVessel("A volume to measure must be above 0 mL.", volume_ml)
    return volume_ml


def choose_cylinder(volume_ml: Decimal, available: Sequence[Vessel] | None = None) -> Vessel:
    """The smallest class B cylinder that takes the volume in one fill, filled to a third at least.

    Parameters
    ----------
    volume_ml : Decimal
        Volume to measure [mL].
    available : sequence of Vessel, optional
        Cylinders in the prep room; the shipped class B sizes unless given [mL].

    Returns
    -------
    Vessel
        The cylinder.

    Raises
    ------
    NoVessel
        When the volume is more than the largest takes, or less than a third of the one that would do.

    References
    ----------
    .. [1] One fill and at least a third of the vessel: common practice, no source.
    """
    _checked(volume_ml)
    by_size = sorted(class_b_cylinders() if available is None else available, key=lambda v: v.nominal_ml)
    for vessel in by_size:
        if vessel.nominal_ml < volume_ml:
            continue
        if volume_ml < vessel.nominal_ml * LEAST_FILL:
            raise NoVessel(
                f"{format_quantity(volume_ml, 'mL')} fills less than a third of a {vessel}; "
                "use a graduated pipette or a smaller cylinder.",
                volume_ml,
            )
        return vessel
    largest = f"a {by_size[-1]}" if by_size else "any cylinder here"
    raise NoVessel(f"{format_quantity(volume_ml, 'mL')} is more than {largest} takes in one fill.", volume_ml)


def round_up_to_measurable(volume_ml: Decimal, vessel: Vessel) -> Decimal:
    """Round a volume up to a division of the vessel.

    Parameters
    ----------
    volume_ml : Decimal
        Volume wanted [mL].
    vessel : Vessel
        What it is measured in [mL].

    Returns
    -------
    Decimal
        The least number of whole divisions that is not below the volume [mL].

    Raises
    ------
    NoVessel
        When the vessel has no divisions or does not take the volume.

    References
    ----------
    .. [1] Rounding up, so that nobody runs short: common practice, no source.
    """
    _checked(volume_ml)
    if vessel.division_ml is None:
        raise NoVessel(f"A {vessel} has one mark only and measures nothing but its full volume.", volume_ml)
    if volume_ml > vessel.nominal_ml:
        raise NoVessel(f"{format_quantity(volume_ml, 'mL')} is more than a {vessel} takes.", volume_ml)
    divisions = (volume_ml / vessel.division_ml).to_integral_value(rounding=ROUND_CEILING)
    # A quotient of 28 digits may have been rounded down onto a whole number of divisions.
    if divisions * vessel.division_ml < volume_ml:
        divisions += 1
    return divisions * vessel.division_ml


def tolerance(volume_ml: Decimal, vessel: Vessel, fills: int = 1) -> Tolerance:
    """How far off a volume measured in a vessel may be.

    The limit holds at any point of the scale, so a small volume in a large cylinder carries the whole of
    it. Standard uncertainty is limit/sqrt(3). Several fills of one vessel share its calibration, so
    their limits add.

    Parameters
    ----------
    volume_ml : Decimal
        Volume measured, all fills together [mL].
    vessel : Vessel
        What it is measured in [mL].
    fills : int, optional
        Number of fills [-].

    Returns
    -------
    Tolerance
        Limit and standard uncertainty [mL], standard (k = 1) and expanded (k = 2) [%].

    Raises
    ------
    NoVessel
        When the volume is not above zero, or more than the fills take.

    References
    ----------
    .. [1] JCGM 100:2008, 4.3.7: rectangular distribution (from memory).
    .. [2] ISO 4788:2005: the limit holds at any point of the scale (read: `iso4788_mem` in SOURCES.csv).
    """
    _checked(volume_ml)
    if fills < 1 or volume_ml > fills * vessel.nominal_ml:
        raise NoVessel(f"{format_quantity(volume_ml, 'mL')} is more than a {vessel} takes.", volume_ml)
    limit = vessel.limit_ml * fills
    standard = float(limit) / sqrt(3)
    percent = 100 * standard / float(volume_ml)
    return Tolerance(limit, standard, percent, 2 * percent)


def measuring(volume_ml: Decimal, available: Sequence[Vessel] | None = None) -> Measuring:
    """How to measure a volume: one cylinder; equal fills for a large one, a graduated pipette for a small.

    Parameters
    ----------
    volume_ml : Decimal
        Volume wanted [mL].
    available : sequence of Vessel, optional
        Cylinders in the prep room; the shipped class B sizes unless given [mL].

    Returns
    -------
    Measuring
        Vessel, number of fills, volume of each and of all, rounded up to its divisions [mL].

    Raises
    ------
    NoVessel
        When the volume is not above zero, or too little for any vessel.

    References
    ----------
    .. [1] Equal fills of one vessel: common practice, no source.
    """
    _checked(volume_ml)
    cylinders = class_b_cylinders() if available is None else tuple(available)
    largest = max((v.nominal_ml for v in cylinders), default=Decimal(0))
    fills = max(1, ceil(volume_ml / largest)) if largest else 1
    share = volume_ml / fills
    try:
        vessel = choose_cylinder(share, cylinders)
    except NoVessel:
        vessel = _graduated_pipette(share)
    each = round_up_to_measurable(share, vessel)
    return Measuring(vessel, fills, each, each * fills, tolerance(each * fills, vessel, fills))


def round_up_keeping_ratio(
    parts: Sequence[Part], total_ml: Decimal, available: Sequence[Vessel] | None = None
) -> list[Share] | None:
    """The least total, not below the one wanted, that leaves every part on a division of its vessel.

    Rounding each part up by itself bends the ratio a little; rounding the total up instead does not.

    Parameters
    ----------
    parts : sequence of Part
        The recipe [-].
    total_ml : Decimal
        Total wanted [mL].
    available : sequence of Vessel, optional
        Cylinders in the prep room; the shipped class B sizes unless given [mL].

    Returns
    -------
    list of Share or None
        Volumes in exactly the ratio given [mL]; None when that would take a quarter more than wanted:
        then round each part by `measuring` and show the deviation.

    Raises
    ------
    ImpossibleProportion
        As `volumes_for`.
    NoVessel
        When a part is too small to measure.

    References
    ----------
    .. [1] Search on a decimal grid of at least 200 steps to the total; no outside source.
    """
    volumes_for(parts, total_ml)
    whole = sum((part.parts for part in parts), Decimal(0))
    per_part = total_ml / whole
    step = Decimal(1).scaleb((per_part / 200).adjusted())
    unit = (per_part / step).to_integral_value(rounding=ROUND_CEILING) * step
    while unit * whole <= total_ml * MOST_ROUNDED_UP:
        if all(measuring(part.parts * unit, available).measured_ml == part.parts * unit for part in parts):
            return [Share(part.name, part.parts, part.parts * unit) for part in parts]
        unit += step
    return None


def _graduated_pipette(volume_ml: Decimal) -> Vessel:
    pipettes = (v for v in vessels() if v.item == "graduated pipette" and v.grade == "B")
    for vessel in sorted(pipettes, key=lambda v: v.nominal_ml):
        if vessel.nominal_ml * LEAST_FILL <= volume_ml <= vessel.nominal_ml:
            return vessel
    raise NoVessel(
        f"No cylinder or graduated pipette here measures {format_quantity(volume_ml, 'mL')} well; "
        "make more of the mixture.",
        volume_ml,
    )


def analytical_least_mass(spread_g: Decimal, readability_g: Decimal) -> Decimal:
    """The least mass for 0.10 %, as analytical work asks: 2000 s, and never below 820 d.

    Parameters
    ----------
    spread_g : Decimal
        Standard deviation s of at least ten weighings of one mass on the balance; 0 if it shows none [g].
    readability_g : Decimal
        Last place d of the balance [g].

    Returns
    -------
    Decimal
        Least mass [g].

    Raises
    ------
    ValueError
        A spread below zero, or a readability that is not above zero.

    References
    ----------
    .. [1] USP general chapter 41: 2 s/m <= 0.10 %, with s not taken below 0.41 d (`usp41` in SOURCES.csv).
    """
    if not readability_g.is_finite() or readability_g <= 0:
        raise ValueError("The readability of the balance must be above 0 g.")
    if not spread_g.is_finite() or spread_g < 0:
        raise ValueError("The spread of the weighings cannot be below 0 g.")
    return max(2000 * spread_g, 820 * readability_g)


def balance_check(mass_g: Decimal, readability_g: Decimal) -> BalanceCheck:
    """Whether a balance weighs a mass to 1 % at k = 2: at least 82 times its readability.

    A mass is the difference of two readings, each rounded to d: u = d/sqrt(6).

    Parameters
    ----------
    mass_g : Decimal
        Mass to weigh [g].
    readability_g : Decimal
        Last place d of the balance [g].

    Returns
    -------
    BalanceCheck
        Verdict, the least mass for 1 % [g], the expanded uncertainty (k = 2) [%] and a sentence.

    Raises
    ------
    ValueError
        When the mass or the readability is not above zero.

    References
    ----------
    .. [1] JCGM 100:2008, 4.3.7 and 5.1.2: rectangular distribution of two rounded readings; hand-worked.
       Analytical work asks ten times as much, 820 d: USP general chapter 41 (`usp41` in SOURCES.csv).
    """
    for value, name in ((mass_g, "mass"), (readability_g, "readability of the balance")):
        if not value.is_finite() or value <= 0:
            raise ValueError(f"The {name} must be above 0 g.")
    percent = 100 * 2 * float(readability_g) / sqrt(6) / float(mass_g)
    smallest = READABILITIES_FOR_ONE_PERCENT * readability_g
    mass, d = format_quantity(mass_g, "g"), format_quantity(readability_g, "g")
    if mass_g >= smallest:
        return BalanceCheck(True, smallest, percent, f"A {d} balance weighs {mass} to 1 % or better.")
    shown = Decimal(percent).quantize(Decimal(1) if percent >= 1 else Decimal("0.1"), ROUND_HALF_EVEN)
    least = format_quantity(smallest, "g")
    advice = f"Weigh at least {least}: make a stronger stock and dilute it, or use a finer balance."
    return BalanceCheck(
        False, smallest, percent, f"{mass} on a {d} balance is uncertain by about {shown} %. {advice}"
    )
