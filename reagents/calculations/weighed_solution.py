"""A solution from a solid: what to weigh in which form and purity, on which balance, and does it dissolve."""

from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal

from reagents.calculations.glassware import BalanceCheck, balance_check
from reagents.calculations.quantities import format_quantity
from reagents.calculations.solutions import (
    Dissolving,
    ImpossibleSolution,
    Stock,
    dissolves,
    plausible_strength,
    stock_for,
)
from reagents.calculations.strength import DENSITY_ASKED, MOLAR_MASS_ASKED, convert_strength
from reagents.calculations.substances import Substance, UnknownSubstance, bottle_forms, substance

LARGEST_ML = Decimal(100_000)
SMALLEST_TAKEN_ML = Decimal(1)  # less of a stock is not worth the way through it: common practice, no source
WEAKEST_GRAMS = Decimal("0.0000001")
ROUND_BATCHES = tuple(Decimal(n) for n in (10, 20, 25, 50, 100, 200, 250, 500, 1000, 2000, 5000, 10000))


@dataclass(frozen=True)
class SolidAsked:
    """A solution to make from a solid: strength in mol/L, % w/v or % w/w, volume, and what is in the bottle.

    `molar_mass` is of the substance itself; `form_molar_mass` of the salt or hydrate in the bottle, where it
    differs. `total_g` replaces the volume for % w/w by mass. `purity_percent` is of the form in the bottle.
    """

    name: str
    strength: Decimal
    unit: str
    volume_ml: Decimal | None = None
    total_g: Decimal | None = None
    molar_mass: Decimal | None = None
    form: str = ""
    form_molar_mass: Decimal | None = None
    purity_percent: Decimal = Decimal(100)
    density_g_per_ml: Decimal | None = None
    solvent: str = "water"
    readability_g: Decimal = Decimal("0.01")
    kind: str = ""


@dataclass(frozen=True)
class SolidWeighed:
    """What to weigh, how well the balance does it, what else could be done, and what to question."""

    mass_g: Decimal
    rounded_g: Decimal
    of_the_substance_g: Decimal
    form: str
    amount_mol: Decimal | None
    mol_per_l: Decimal | None
    percent_wv: Decimal | None
    solvent_g: Decimal | None
    liquid_ml: Decimal | None
    balance: BalanceCheck
    stock: Stock | None
    bigger_batch_ml: Decimal | None
    dissolving: Dissolving | None
    working: tuple[str, ...]
    ways: tuple[str, ...]
    doubts: tuple[str, ...]

    @property
    def shown(self) -> str:
        """The mass as the balance shows it."""
        return format_quantity(self.rounded_g, "g", digits=9)

    @property
    def strengths(self) -> tuple[str, ...]:
        """The strength in mol/L and % w/v, where they are known, four digits at most."""
        known = ((self.mol_per_l, "mol/L"), (self.percent_wv, "% w/v"))
        return tuple(
            format_quantity(Decimal(f"{value:.4g}").normalize(), unit) for value, unit in known if value
        )


def _above_zero(value: Decimal, what: str) -> Decimal:
    if not value.is_finite() or value <= 0:
        raise ImpossibleSolution(f"The {what} must be above zero.", value)
    return value


def _known(name: str) -> Substance | None:
    try:
        return substance(name)
    except UnknownSubstance:
        return None


def form_of(name: str, form: str) -> Decimal:
    """Molar mass of a listed salt or hydrate.

    Parameters
    ----------
    name : str
        Name of the substance [-].
    form : str
        Name of the form, such as "L-lysine hydrochloride" [-].

    Returns
    -------
    Decimal
        Molar mass of the whole form [g/mol].

    Raises
    ------
    ImpossibleSolution
        When no such form of that substance is listed.

    References
    ----------
    .. [1] `reagents/data/bottle_forms.csv`: from memory, checked against the formula.
    """
    known = _known(name)
    for one in bottle_forms(known.name) if known else ():
        if one.name.casefold() == form.strip().casefold():
            return one.molar_mass
    raise ImpossibleSolution(
        f"No form “{form[:60]}” of {name} is listed here; enter its molar mass, from the bottle.",
        form,
    )


def weigh(asked: SolidAsked) -> SolidWeighed:
    """Work out one solution from a solid.

    m = c V M / purity for mol/L, c V / 100 / purity for % w/v, w m / 100 / purity for % w/w; a salt or
    hydrate weighs M(form)/M(substance) times as much.

    Parameters
    ----------
    asked : SolidAsked
        The solution [mol/L, % w/v or % w/w; mL or g; g/mol].

    Returns
    -------
    SolidWeighed
        Mass to weigh, unrounded and as the balance shows it [g], ways round a mass that is too small, and
        sentences about what to question.

    Raises
    ------
    ImpossibleSolution
        A value out of range, a purity above 100 %, or a molar mass or density that is needed and missing.

    References
    ----------
    .. [1] OpenStax, Chemistry 2e, section Molarity (`ost_m68703` in SOURCES.csv).
    .. [2] Least mass on a balance: `glassware.balance_check`. Solubility at 25 degC: `solutions.dissolves`.
    """
    _check(asked)
    known = _known(asked.name)
    molar_mass = asked.molar_mass or (known.molar_mass if known else None)
    form_mass = asked.form_molar_mass or (form_of(asked.name, asked.form) if asked.form else None)
    if asked.unit == "mol/L" and molar_mass is None and form_mass is not None:
        molar_mass = form_mass
    if form_mass and not molar_mass:
        raise ImpossibleSolution(
            f"The molar mass of {asked.name} itself is needed beside that of its form; read M off it."
        )
    pure, per_100ml = _pure_grams(asked, molar_mass)
    factor = form_mass / molar_mass if form_mass and molar_mass else Decimal(1)
    mass = pure * factor / (asked.purity_percent / 100)
    if not WEAKEST_GRAMS < mass < LARGEST_ML * 10:
        raise ImpossibleSolution(
            f"{mass:.2g} g would have to be weighed; check strength and volume.",
            mass,
        )
    said = balance_check(Decimal(f"{mass:.3g}"), asked.readability_g).sentence
    balance = replace(balance_check(mass, asked.readability_g), sentence=said)
    dissolving = _dissolving(asked, known, per_100ml)
    stock, bigger, ways = _ways(asked, mass, balance, dissolving)
    return SolidWeighed(
        mass_g=mass,
        rounded_g=_rounded(mass, asked.readability_g),
        of_the_substance_g=pure,
        form=asked.form or asked.name,
        amount_mol=pure / molar_mass if molar_mass else None,
        mol_per_l=per_100ml * 10 / molar_mass if molar_mass and per_100ml else None,
        percent_wv=per_100ml,
        solvent_g=asked.total_g - mass if asked.total_g else None,
        liquid_ml=mass / known.density_20 if known and known.density_20 else None,
        balance=balance,
        stock=stock,
        bigger_batch_ml=bigger,
        dissolving=dissolving,
        working=_working(asked, molar_mass, form_mass, pure, mass),
        ways=ways,
        doubts=_doubts(asked, known, molar_mass, per_100ml, dissolving),
    )


def _check(asked: SolidAsked) -> None:
    _above_zero(asked.strength, "strength")
    if asked.unit not in {"mol/L", "% w/v", "% w/w"}:
        raise ImpossibleSolution(
            f"A solid is not measured in {asked.unit}; use mol/L, % w/v or % w/w.", asked.unit
        )
    if asked.unit != "mol/L" and asked.strength > 100:
        raise ImpossibleSolution(f"{asked.strength} % is more than the whole; check it.", asked.strength)
    if (asked.volume_ml is None) == (asked.total_g is None):
        raise ImpossibleSolution("Give the volume of the solution in mL, or its mass in g: one of the two.")
    total = asked.volume_ml if asked.volume_ml is not None else asked.total_g or Decimal(0)
    if _above_zero(total, "volume" if asked.volume_ml is not None else "mass") > LARGEST_ML:
        raise ImpossibleSolution("That is more than 100 L or 100 kg, more than a prep room makes.", total)
    purity = asked.purity_percent
    if not purity.is_finite() or not 0 < purity <= 100:
        raise ImpossibleSolution(
            f"A purity of {purity} % is not above 0 and at most 100 %; read it from the bottle.", purity
        )
    for value, what in (
        (asked.molar_mass, "molar mass"),
        (asked.form_molar_mass, "molar mass of the form"),
        (asked.density_g_per_ml, "density"),
        (asked.readability_g, "readability of the balance"),
    ):
        if value is not None:
            _above_zero(value, what)


def _pure_grams(asked: SolidAsked, molar_mass: Decimal | None) -> tuple[Decimal, Decimal | None]:
    """Grams of the substance itself, and grams of it in 100 mL of solution where that is known."""
    if asked.total_g is not None:
        if asked.unit != "% w/w":
            raise ImpossibleSolution(
                f"A strength in {asked.unit} needs the volume of the solution in mL, not its mass."
            )
        grams = asked.strength * asked.total_g / 100
        density = asked.density_g_per_ml
        return grams, asked.strength * density if density else None
    volume = asked.volume_ml or Decimal(0)
    if asked.unit == "% w/w" and asked.density_g_per_ml is None:
        raise ImpossibleSolution(f"{DENSITY_ASKED} Or give the total in g, and weigh both.")
    if asked.unit == "mol/L" and molar_mass is None:
        raise ImpossibleSolution(f"{asked.name}: {MOLAR_MASS_ASKED}")
    per_100ml = convert_strength(
        asked.strength, asked.unit, "% w/v", molar_mass=molar_mass, density_g_per_ml=asked.density_g_per_ml
    )
    return per_100ml * volume / 100, per_100ml


def _rounded(mass: Decimal, readability: Decimal) -> Decimal:
    """To the balance; a mass far below it keeps three digits, for the stock it is made through."""
    step = readability if mass >= 10 * readability else Decimal(1).scaleb(mass.adjusted() - 2)
    return max(mass.quantize(step, rounding=ROUND_HALF_UP), step)


def _dissolving(asked: SolidAsked, known: Substance | None, per_100ml: Decimal | None) -> Dissolving | None:
    """By mass without a density, what the table is in: grams to 100 g of water."""
    solvent = _known(asked.solvent)
    if per_100ml is None and asked.unit == "% w/w" and asked.strength < 100:
        per_100ml = 100 * asked.strength / (100 - asked.strength)
    if known is None or per_100ml is None or solvent is None or solvent.name != "water":
        return None
    return dissolves(known.name, per_100ml)


def _ways(
    asked: SolidAsked, mass: Decimal, balance: BalanceCheck, dissolving: Dissolving | None
) -> tuple[Stock | None, Decimal | None, tuple[str, ...]]:
    """A stock to dilute, or a bigger batch, where the balance cannot weigh so little well."""
    if balance.enough or asked.volume_ml is None or (dissolving and dissolving.verdict == "no"):
        return None, None, ()
    volume = asked.volume_ml
    ways: list[str] = []
    stock: Stock | None = None
    try:
        stock = stock_for(mass, volume, asked.readability_g)
    except ImpossibleSolution as trouble:
        ways.append(str(trouble))
    if stock:
        limit = dissolving.limit_g_per_100ml if dissolving else None
        if limit is not None and 100 * stock.mass_g / volume > limit:
            stock = None
            ways.append("A stronger stock would not dissolve, so there is no way through one.")
        elif stock.take_ml < SMALLEST_TAKEN_ML:
            stock = None
            ways.append("Through a stock, less than 1 mL of it would be taken: too little to measure well.")
        else:
            weigh_out, whole, take = (
                format_quantity(value.normalize(), unit, digits=4)
                for value, unit in (
                    (_rounded(stock.mass_g, asked.readability_g), "g"),
                    (stock.volume_ml, "mL"),
                    (stock.take_ml, "mL"),
                )
            )
            ways.append(
                f"Through a stock: weigh {weigh_out} and make it up to {whole} with {asked.solvent} "
                f"({stock.factor} times as strong), then make {take} of that up to {whole}."
            )
    needed = volume * balance.smallest_g / mass
    bigger = next((size for size in ROUND_BATCHES if size >= needed), None)
    if bigger:
        grams = format_quantity(_rounded(mass * bigger / volume, asked.readability_g), "g", digits=4)
        made = format_quantity(bigger, "mL")
        ways.append(f"Or a bigger batch: {made} takes {grams}, which this balance weighs to 1 %.")
    return stock, bigger, tuple(ways)


def _working(
    asked: SolidAsked,
    molar_mass: Decimal | None,
    form_mass: Decimal | None,
    pure: Decimal,
    mass: Decimal,
) -> tuple[str, ...]:
    strength = format_quantity(asked.strength.normalize(), asked.unit)
    total = (
        format_quantity(asked.volume_ml.normalize(), "mL")
        if asked.volume_ml is not None
        else format_quantity((asked.total_g or Decimal(0)).normalize(), "g")
    )
    grams = format_quantity(pure, "g", digits=4)
    said = [
        f"{strength} × {total}" + (f" × {molar_mass} g/mol" if asked.unit == "mol/L" else "") + f" = {grams}"
    ]
    if form_mass and molar_mass and form_mass != molar_mass:
        said.append(f"as {asked.form or 'the form in the bottle'}: × {form_mass} / {molar_mass}")
    if asked.purity_percent != 100:
        said.append(f"at {asked.purity_percent} % purity: ÷ {(asked.purity_percent / 100).normalize()}")
    if len(said) > 1:
        said.append(f"together {format_quantity(mass, 'g', digits=4)}")
    return tuple(said)


def _doubts(
    asked: SolidAsked,
    known: Substance | None,
    molar_mass: Decimal | None,
    per_100ml: Decimal | None,
    dissolving: Dissolving | None,
) -> tuple[str, ...]:
    said: list[str] = []
    if dissolving and dissolving.verdict in {"no", "marginal"}:
        said += [dissolving.sentence, *dissolving.remedies]
    elif dissolving and dissolving.verdict == "unknown":
        said.append(dissolving.sentence)
    if asked.kind and per_100ml is not None:
        said += plausible_strength(asked.kind, per_100ml)
    if known and not asked.form and not asked.form_molar_mass:
        said += [
            f"Ask which form is in the bottle: {form.name} (M {form.molar_mass} g/mol) weighs more."
            for form in bottle_forms(known.name)
        ]
    if asked.molar_mass and known and known.molar_mass and asked.molar_mass != known.molar_mass:
        off = abs(asked.molar_mass / known.molar_mass - 1)
        if off > Decimal("0.005"):
            said.append(
                f"The molar mass entered, {asked.molar_mass} g/mol, is not that of {known.name}, "
                f"{known.molar_mass} g/mol: is a salt or hydrate in the bottle? Then enter it as the form."
            )
    return tuple(said)


def largest_volume_ml(asked: SolidAsked, left_g: Decimal) -> Decimal:
    """The largest volume of a solution that what is left in the bottle makes.

    Parameters
    ----------
    asked : SolidAsked
        The solution; its own volume does not count [mol/L, % w/v or % w/w].
    left_g : Decimal
        What is left of the form in the bottle [g].

    Returns
    -------
    Decimal
        Volume, rounded down to three digits [mL].

    Raises
    ------
    ImpossibleSolution
        As `weigh`, or nothing left.

    References
    ----------
    .. [1] V = m purity / c: `weigh` turned round.
    """
    _above_zero(left_g, "mass that is left")
    for_a_litre = weigh(replace(asked, volume_ml=Decimal(1000), total_g=None)).mass_g
    exact = 1000 * left_g / for_a_litre
    if exact > LARGEST_ML:
        raise ImpossibleSolution("That is enough for more than 100 L; give the volume you want.", left_g)
    return exact.quantize(Decimal(1).scaleb(exact.adjusted() - 2), rounding=ROUND_FLOOR)


def least_volume_ml(asked: SolidAsked) -> Decimal:
    """The least volume of a solution whose solid this balance weighs to 1 %.

    Parameters
    ----------
    asked : SolidAsked
        The solution, with a volume [mL].

    Returns
    -------
    Decimal
        Volume, rounded up to the millilitre [mL].

    Raises
    ------
    ImpossibleSolution
        As `weigh`, or without a volume.

    References
    ----------
    .. [1] 82 times the readability: `glassware.balance_check`.
    """
    if asked.volume_ml is None:
        raise ImpossibleSolution("Give the volume of the solution in mL.")
    found = weigh(asked)
    return (asked.volume_ml * found.balance.smallest_g / found.mass_g).to_integral_value(
        rounding=ROUND_CEILING
    )
