"""Dilution from a stock, once or in a series, in volumes that stand on a mark, and how errors build up."""

from dataclasses import dataclass
from decimal import Decimal
from math import hypot, sqrt

from reagents.calculations.portions import (
    Taking,
    flasks_and_cylinders,
    on_a_mark,
    pipettes_and_cylinders,
    taking,
)
from reagents.calculations.quantities import format_quantity
from reagents.calculations.solutions import ImpossibleSolution, dilution_volume
from reagents.calculations.strength import UNITS, convert_strength, stock_mass

LARGEST_FACTOR = Decimal(1000)
MOST_STEPS = 12
LARGEST_ML = Decimal(100_000)
SOME_MORE = Decimal(2)  # up to twice the least volume for better vessels: common practice, no source
MOST_WASTE = Decimal(4)  # a series that needs more than four times the volume asked for is questioned


@dataclass(frozen=True)
class Dilution:
    """How much of a stock makes a solution; by mass, `take` is None and the figures are in grams."""

    exact: Decimal
    unit: str
    total: Decimal
    take: Taking | None
    times: Decimal
    strength: Decimal
    strength_unit: str
    standard_percent: float
    steps: tuple[str, ...]
    remarks: tuple[str, ...] = ()

    @property
    def shown(self) -> str:
        """The strength that this gives, four digits at most, with its unit."""
        return _figure(self.strength, self.strength_unit)


@dataclass(frozen=True)
class SerialStep:
    """One step of a series; `standard_percent` (k = 1) is what has built up from the stock to here."""

    number: int
    strength: Decimal
    standard_percent: float

    @property
    def shown(self) -> str:
        """The strength in figures, four digits at most."""
        return _figure(self.strength, "")

    @property
    def expanded_percent(self) -> float:
        """Built up to here, k = 2 [%]."""
        return 2 * self.standard_percent


@dataclass(frozen=True)
class Series:
    """A serial dilution: in each step `take` of the one before is made up in `fill`."""

    factor: Decimal
    take: Taking
    fill: Taking
    usable_ml: Decimal
    steps: tuple[SerialStep, ...]
    remarks: tuple[str, ...] = ()


def _above_zero(value: Decimal, what: str) -> Decimal:
    if not value.is_finite() or value <= 0:
        raise ImpossibleSolution(f"The {what} must be above zero.", value)
    return value


def dilute(
    stock: tuple[Decimal, str],
    wanted: tuple[Decimal, str],
    total: Decimal,
    *,
    by_mass: bool = False,
    molar_mass: Decimal | None = None,
    stock_density_g_per_ml: Decimal | None = None,
    solute_density_g_per_ml: Decimal | None = None,
) -> Dilution:
    """How much of a stock makes a weaker solution, whichever way both are stated.

    Parameters
    ----------
    stock, wanted : tuple of Decimal and str
        Strength and its unit: "mol/L", "% w/v", "% w/w" or "% v/v" [-].
    total : Decimal
        Volume of the finished solution [mL], or its mass [g] with `by_mass`.
    by_mass : bool, optional
        Both strengths are % w/w and everything is weighed [-].
    molar_mass : Decimal, optional
        Of the solute; needed when one strength is in mol/L and the other is not [g/mol].
    stock_density_g_per_ml : Decimal, optional
        Density of the stock; needed when it is in % w/w [g/mL].
    solute_density_g_per_ml : Decimal, optional
        Density of the pure solute; needed when only one strength is in % v/v [g/mL].

    Returns
    -------
    Dilution
        How much stock, unrounded and as it can be measured [mL or g], the strength that this gives, its
        standard uncertainty from the vessels, k = 1 [%], and the steps.

    Raises
    ------
    ImpossibleSolution
        A value out of range, a target stronger than the stock, or a density or molar mass that is missing.

    References
    ----------
    .. [1] V1 = C2 V2 / C1: OpenStax, Chemistry 2e, section Molarity (`ost_m68703` in SOURCES.csv).
    .. [2] Worked value 11.49 mL of 17.4 mol/L for 100 mL of 2 mol/L: `partition_lab` in SOURCES.csv.
    """
    _above_zero(total, "mass" if by_mass else "volume")
    if total > LARGEST_ML:
        raise ImpossibleSolution(
            "That is more than 100 L or 100 kg, more than a prep room makes; check the figure.", total
        )
    for value, unit in (stock, wanted):
        if unit not in UNITS:
            raise ImpossibleSolution(f"“{unit}” is no unit of strength here; use {', '.join(UNITS)}.", unit)
        _above_zero(value, "strength")
    if by_mass or wanted[1] == "% w/w":
        return _by_mass(stock, wanted, total, by_mass=by_mass)
    held = convert_strength(
        *stock,
        wanted[1],
        molar_mass=molar_mass,
        density_g_per_ml=stock_density_g_per_ml,
        solute_density_g_per_ml=solute_density_g_per_ml,
    )
    if wanted[0] > held:
        has, asked = (_figure(value, wanted[1]) for value in (held, wanted[0]))
        raise ImpossibleSolution(
            f"The stock has {has}, weaker than the {asked} wanted; a dilution can only make it weaker. "
            "Take a stronger stock.",
            wanted[0],
        )
    exact = dilution_volume(held, wanted[0], total)
    return _by_volume(exact, held, wanted, total, stock)


def _figure(value: Decimal, unit: str) -> str:
    return format_quantity(Decimal(f"{value:.4g}").normalize(), unit)


def _by_volume(
    exact: Decimal, held: Decimal, wanted: tuple[Decimal, str], total: Decimal, stock: tuple[Decimal, str]
) -> Dilution:
    took = taking(exact)
    filled = on_a_mark(total, flasks_and_cylinders())
    remarks = []
    if filled is None:
        remarks.append(
            f"No flask or cylinder here has a mark at {format_quantity(total.normalize(), 'mL')}: "
            "make the next volume that one has."
        )
    got = held * took.volume_ml / total
    if stock[1] != wanted[1]:
        remarks.append(f"The stock, {_figure(*stock)}, is {_figure(held, wanted[1])}.")
    if took.volume_ml != exact:
        remarks.append(f"{_figure(exact, 'mL')} exactly; measured so, it is {_figure(got, wanted[1])}.")
    made, take = (format_quantity(value.normalize(), "mL") for value in (total, took.volume_ml))
    fill = f"the {filled.vessel}" if filled else "the measuring vessel"
    u_fill = filled.standard_percent if filled else 0.0
    return Dilution(
        exact=exact,
        unit="mL",
        total=total,
        take=took,
        times=held / wanted[0],
        strength=got,
        strength_unit=wanted[1],
        standard_percent=sqrt(took.standard_percent**2 + u_fill**2),
        steps=(
            f"Put about half of the water or solvent into {fill}: acid goes into water, never the reverse.",
            f"Add {take} of the stock, measured with a {took.vessel}, and swirl.",
            f"Fill up to {made}. Do not measure the solvent by itself: volumes do not add.",
            "Stopper it, turn it over ten times, label it at once.",
        ),
        remarks=tuple(remarks),
    )


def _by_mass(
    stock: tuple[Decimal, str], wanted: tuple[Decimal, str], total: Decimal, *, by_mass: bool
) -> Dilution:
    if not by_mass or {stock[1], wanted[1]} != {"% w/w"}:
        raise ImpossibleSolution(
            "A strength in % w/w is made by mass: give the total in g, and both strengths in % w/w. "
            "For a volume, give the strength wanted in mol/L or % w/v.",
            wanted[1],
        )
    mass = stock_mass(stock[0], wanted[0], total)
    took, rest = (format_quantity(Decimal(f"{value:.4g}").normalize(), "g") for value in (mass, total - mass))
    return Dilution(
        exact=mass,
        unit="g",
        total=total,
        take=None,
        times=stock[0] / wanted[0],
        strength=wanted[0],
        strength_unit="% w/w",
        standard_percent=0.0,
        steps=(
            f"Weigh {rest} of water or solvent into a bottle.",
            f"Add {took} of the stock to it, slowly if it is an acid, and swirl.",
            "Stopper it, turn it over ten times, label it at once.",
        ),
    )


def serial_dilution(
    strength: Decimal, factor: Decimal, steps: int, needed_ml: Decimal, *, stock_percent: float = 0.0
) -> Series:
    """A series in which each solution is `factor` times weaker than the one before.

    Volumes are chosen so that both the portion and the finished volume stand on a mark, and so that enough
    is left of each solution after the portion for the next was taken.

    Parameters
    ----------
    strength : Decimal
        Strength of the stock [any].
    factor : Decimal
        How many times weaker each step is, above 1 and at most 1000 [-].
    steps : int
        Number of dilutions, 1 to 12 [-].
    needed_ml : Decimal
        Volume needed of each solution, after the next was made from it [mL].
    stock_percent : float, optional
        Standard uncertainty of the stock's strength, k = 1 [%].

    Returns
    -------
    Series
        Portion, finished volume [mL], and the strength of each step with the uncertainty built up, k = 1 [%].

    Raises
    ------
    ImpossibleSolution
        A value out of range, or a factor for which no volumes can be measured.

    References
    ----------
    .. [1] c_n = c_0 / f^n. One pipette for all steps shares its calibration, so its errors add fully; each
       flask has its own, so theirs add in quadrature: JCGM 100:2008, 5.1.2 and 5.2 (from memory).
    """
    _above_zero(strength, "strength")
    _above_zero(needed_ml, "volume needed")
    if not factor.is_finite() or not 1 < factor <= LARGEST_FACTOR:
        raise ImpossibleSolution(
            f"A factor of {factor} is not above 1 and at most {LARGEST_FACTOR}; use several steps.", factor
        )
    if not 1 <= steps <= MOST_STEPS:
        raise ImpossibleSolution(f"{steps} steps is not between 1 and {MOST_STEPS}; check the number.", steps)
    least = needed_ml * factor / (factor - 1)
    if least > 2000:
        raise ImpossibleSolution(
            f"Each step would take {_figure(least, 'mL')}; a flask here holds 2000 mL at most.",
            needed_ml,
        )
    take, fill = _volumes(factor, least, steps)
    remarks = []
    if fill.volume_ml > MOST_WASTE * least:
        remarks.append(
            f"Much is left over: {format_quantity(fill.volume_ml.normalize(), 'mL')} is the least that can "
            f"be measured at 1 in {_figure(factor, '')}. Several smaller steps waste less."
        )
    return Series(
        factor=factor,
        take=take,
        fill=fill,
        usable_ml=fill.volume_ml - take.volume_ml,
        steps=tuple(
            SerialStep(
                number,
                strength / factor**number,
                hypot(stock_percent, _built_up(number, take, fill)),
            )
            for number in range(1, steps + 1)
        ),
        remarks=tuple(remarks),
    )


def _built_up(steps: int, take: Taking, fill: Taking) -> float:
    """One pipette's error in every step adds fully; the flasks' errors in quadrature."""
    return hypot(steps * take.standard_percent, sqrt(steps) * fill.standard_percent)


def _volumes(factor: Decimal, least: Decimal, steps: int) -> tuple[Taking, Taking]:
    """The best measured pair up to twice the least volume, else the smallest that stands on marks."""
    flasks = [v.nominal_ml for v in flasks_and_cylinders() if v.division_ml is None]
    portions = [v.nominal_ml for v in pipettes_and_cylinders()] + [least / factor * n for n in (1, 2)]
    portions += [Decimal(n) / 2 for n in range(1, 101)]
    wanted = {nominal for nominal in flasks if nominal >= least}
    wanted |= {portion * factor for portion in portions if least <= portion * factor <= 2000}
    pairs = []
    for total in sorted(wanted):
        take = on_a_mark(total / factor, pipettes_and_cylinders())
        fill = on_a_mark(total, flasks_and_cylinders())
        if take and fill:
            pairs.append((take, fill))
    near = [pair for pair in pairs if pair[1].volume_ml <= SOME_MORE * least] or pairs[:1]
    if near:
        return min(near, key=lambda pair: _built_up(steps, *pair))
    root = format_quantity(Decimal(f"{factor.sqrt():.2g}"), "")
    raise ImpossibleSolution(
        f"At 1 in {_figure(factor, '')} no two volumes here stand on a mark together; use a "
        f"rounder factor, or two steps of about 1 in {root}.",
        factor,
    )
