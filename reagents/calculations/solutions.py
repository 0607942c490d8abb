"""How much to weigh or to dilute for a solution of a wanted strength, and whether that can be right."""

from dataclasses import dataclass
from decimal import Decimal

from reagents.calculations.glassware import balance_check
from reagents.calculations.quantities import format_quantity
from reagents.calculations.substances import Substance, substance, substances
from reagents.calculations.tables import number, rows

MOLAR_MASS_OF_WATER = Decimal("18.015")
# Near saturation a solid dissolves slowly and comes out again when the room cools: common practice.
MARGINAL = Decimal("0.8")
# Amino acids form salts with dilute acid: general chemistry, no source.
AMPHOTERIC = frozenset(one.name for one in substances() if one.name.startswith("L-")) | {"glycine"}
UNIT_SLIP = 500  # a thousandfold slip, whichever strength in the usual range was meant
# Weakest, strongest and usual strength, % w/v: common practice, no source.
USUAL_STRENGTHS = {
    "ninhydrin spray": (Decimal("0.05"), Decimal(2), Decimal("0.2")),
    "ninhydrin dip": (Decimal("0.05"), Decimal(2), Decimal("0.2")),
    "amino acid standard": (Decimal("0.01"), Decimal(2), Decimal("0.1")),
}


class ImpossibleSolution(ValueError):
    """A strength, volume or mass that makes no solution; the message is a sentence."""

    def __init__(self, message: str, value: object = None) -> None:
        super().__init__(message)
        self.value = value


@dataclass(frozen=True)
class Dissolving:
    """Whether a strength dissolves in water at 25 °C: verdict "yes", "marginal", "no" or "unknown"."""

    verdict: str
    limit_g_per_100ml: Decimal | None
    sentence: str
    source_keys: tuple[str, ...]
    remedies: tuple[str, ...] = ()


@dataclass(frozen=True)
class Stock:
    """A stronger solution that can be weighed out well, and how much of it to dilute."""

    factor: int
    mass_g: Decimal
    volume_ml: Decimal
    take_ml: Decimal


def _above_zero(**values: Decimal) -> None:
    for name, value in values.items():
        if not value.is_finite() or value <= 0:
            raise ImpossibleSolution(f"The {name.replace('_', ' ')} must be above zero.", value)


def _checked_purity(purity: Decimal) -> Decimal:
    if not purity.is_finite() or not 0 < purity <= 1:
        raise ImpossibleSolution("Purity is a fraction above 0 and at most 1; 98.5 % is 0.985.", purity)
    return purity


def mass_for_percent_wv(percent: Decimal, volume_ml: Decimal, purity: Decimal = Decimal(1)) -> Decimal:
    """Mass to weigh for a percentage by mass in volume: m = c V / 100 / purity.

    Parameters
    ----------
    percent : Decimal
        Strength, grams in 100 mL of solution [% w/v].
    volume_ml : Decimal
        Volume of the finished solution [mL].
    purity : Decimal, optional
        Mass fraction of the substance in the bottle [-].

    Returns
    -------
    Decimal
        Mass, unrounded [g].

    Raises
    ------
    ImpossibleSolution
        A value that is not above zero, more than 100 %, or a purity that is no fraction.

    References
    ----------
    .. [1] Definition of % w/v: convention of the trade.
    """
    _above_zero(strength=percent, volume=volume_ml)
    if percent > 100:
        raise ImpossibleSolution(
            f"{percent} % w/v is more than 100 g in 100 mL; check the strength.", percent
        )
    return percent * volume_ml / 100 / _checked_purity(purity)


def mass_for_molar(
    mol_per_l: Decimal,
    volume_ml: Decimal,
    molar_mass: Decimal,
    purity: Decimal = Decimal(1),
    waters: Decimal = Decimal(0),
) -> Decimal:
    """Mass to weigh for an amount concentration: m = c V M / purity.

    Parameters
    ----------
    mol_per_l : Decimal
        Concentration wanted [mol/L].
    volume_ml : Decimal
        Volume of the finished solution [mL].
    molar_mass : Decimal
        Molar mass of the substance, or of the salt in the bottle [g/mol].
    purity : Decimal, optional
        Mass fraction of that form in the bottle [-].
    waters : Decimal, optional
        Molecules of water of crystallisation that `molar_mass` leaves out [-].

    Returns
    -------
    Decimal
        Mass, unrounded [g].

    Raises
    ------
    ImpossibleSolution
        A value that is not above zero, or a purity that is no fraction.

    References
    ----------
    .. [1] OpenStax, Chemistry 2e, section Molarity (`ost_m68703` in SOURCES.csv).
    """
    _above_zero(concentration=mol_per_l, volume=volume_ml, molar_mass=molar_mass)
    if not waters.is_finite() or not 0 <= waters <= 24:
        raise ImpossibleSolution(f"{waters} waters of crystallisation is not between 0 and 24.", waters)
    whole = molar_mass + waters * MOLAR_MASS_OF_WATER
    return mol_per_l * volume_ml / 1000 * whole / _checked_purity(purity)


def molarity_from_mass(mass_g: Decimal, volume_ml: Decimal, molar_mass: Decimal) -> Decimal:
    """Concentration that a mass in a volume gives: c = m / (M V).

    Parameters
    ----------
    mass_g : Decimal
        Mass of the substance [g].
    volume_ml : Decimal
        Volume of the solution [mL].
    molar_mass : Decimal
        Molar mass [g/mol].

    Returns
    -------
    Decimal
        Concentration [mol/L].

    Raises
    ------
    ImpossibleSolution
        A value that is not above zero.

    References
    ----------
    .. [1] OpenStax, Chemistry 2e, section Molarity (`ost_m68703` in SOURCES.csv).
    """
    _above_zero(mass=mass_g, volume=volume_ml, molar_mass=molar_mass)
    return mass_g / molar_mass / (volume_ml / 1000)


def molarity_of_percent_ww(percent: Decimal, density_g_per_ml: Decimal, molar_mass: Decimal) -> Decimal:
    """Concentration of a liquid sold by mass percentage: c = 10 w d / M.

    Parameters
    ----------
    percent : Decimal
        Strength on the bottle [% w/w].
    density_g_per_ml : Decimal
        Density of that liquid, from the bottle or a table, never assumed to be 1 [g/mL].
    molar_mass : Decimal
        Molar mass of the solute [g/mol].

    Returns
    -------
    Decimal
        Concentration [mol/L].

    Raises
    ------
    ImpossibleSolution
        A value that is not above zero, or more than 100 %.

    References
    ----------
    .. [1] Worked value 17.416 mol/L for 99.7 % ethanoic acid: `glacial_molarity` in SOURCES.csv.
    """
    _above_zero(strength=percent, density=density_g_per_ml, molar_mass=molar_mass)
    if percent > 100:
        raise ImpossibleSolution(f"{percent} % w/w is more than the whole; check the bottle.", percent)
    return 10 * percent * density_g_per_ml / molar_mass


def dilution_volume(stock: Decimal, wanted: Decimal, final_volume_ml: Decimal) -> Decimal:
    """Volume of a stock to dilute: V1 = C2 V2 / C1.

    Parameters
    ----------
    stock : Decimal
        Strength of the stock [mol/L, g/L or % w/v].
    wanted : Decimal
        Strength wanted, in the same unit, not above that of the stock [mol/L, g/L or % w/v].
    final_volume_ml : Decimal
        Volume of the finished solution [mL].

    Returns
    -------
    Decimal
        Volume of stock, unrounded [mL].

    Raises
    ------
    ImpossibleSolution
        A value that is not above zero, or a strength wanted above that of the stock.

    References
    ----------
    .. [1] OpenStax, Chemistry 2e, section Molarity, dilution (`ost_m68703` in SOURCES.csv).
    """
    _above_zero(strength_of_the_stock=stock, strength_wanted=wanted, volume=final_volume_ml)
    if wanted > stock:
        raise ImpossibleSolution(
            f"The stock ({stock}) is weaker than the strength wanted ({wanted}), so it cannot be used.",
            wanted,
        )
    return wanted * final_volume_ml / stock


def diluted_strength(stock: Decimal, stock_volume_ml: Decimal, final_volume_ml: Decimal) -> Decimal:
    """Strength after dilution: C2 = C1 V1 / V2.

    Parameters
    ----------
    stock : Decimal
        Strength of the stock [mol/L, g/L or % w/v].
    stock_volume_ml : Decimal
        Volume of stock taken [mL].
    final_volume_ml : Decimal
        Volume of the finished solution, not below that of the stock [mL].

    Returns
    -------
    Decimal
        Strength, in the unit of the stock [mol/L, g/L or % w/v].

    Raises
    ------
    ImpossibleSolution
        A value that is not above zero, or a final volume below that of the stock.

    References
    ----------
    .. [1] OpenStax, Chemistry 2e, section Molarity, dilution (`ost_m68703` in SOURCES.csv).
    """
    _above_zero(strength_of_the_stock=stock, volume_of_stock=stock_volume_ml, volume=final_volume_ml)
    if final_volume_ml < stock_volume_ml:
        raise ImpossibleSolution(
            "The finished volume is less than the stock taken; check both.", final_volume_ml
        )
    return stock * stock_volume_ml / final_volume_ml


def final_volume_ml(stock: Decimal, stock_volume_ml: Decimal, wanted: Decimal) -> Decimal:
    """Volume to which a stock is made up for a wanted strength: V2 = C1 V1 / C2.

    Parameters
    ----------
    stock : Decimal
        Strength of the stock [mol/L, g/L or % w/v].
    stock_volume_ml : Decimal
        Volume of stock taken [mL].
    wanted : Decimal
        Strength wanted, in the same unit, not above that of the stock [mol/L, g/L or % w/v].

    Returns
    -------
    Decimal
        Volume of the finished solution, unrounded [mL].

    Raises
    ------
    ImpossibleSolution
        A value that is not above zero, or a strength wanted above that of the stock.

    References
    ----------
    .. [1] OpenStax, Chemistry 2e, section Molarity, dilution (`ost_m68703` in SOURCES.csv).
    """
    return stock_volume_ml / dilution_volume(stock, wanted, Decimal(1))


def stock_for(mass_g: Decimal, volume_ml: Decimal, readability_g: Decimal) -> Stock | None:
    """A tenfold stronger stock, or a hundredfold, when a mass is too small for the balance.

    Whether the stock dissolves is for `dissolves` to say.

    Parameters
    ----------
    mass_g : Decimal
        Mass that the solution itself needs [g].
    volume_ml : Decimal
        Volume of the solution, and of the stock [mL].
    readability_g : Decimal
        Last place of the balance [g].

    Returns
    -------
    Stock or None
        None when the balance weighs the mass well enough as it is [g, mL].

    Raises
    ------
    ImpossibleSolution
        A value that is not above zero, or a mass too small even for a thousandfold stock.

    References
    ----------
    .. [1] Weigh ten times as much and dilute: common practice, no source; least mass by `balance_check`.
    """
    _above_zero(mass=mass_g, volume=volume_ml, readability_of_the_balance=readability_g)
    for factor in (1, 10, 100, 1000):
        if balance_check(mass_g * factor, readability_g).enough:
            return Stock(factor, mass_g * factor, volume_ml, volume_ml / factor) if factor > 1 else None
    mass, readability = format_quantity(mass_g, "g"), format_quantity(readability_g, "g")
    raise ImpossibleSolution(
        f"{mass} is far too little for a {readability} balance; use a finer one or make more.", mass_g
    )


def plausible_strength(kind: str, percent: Decimal) -> list[str]:
    """Question a strength outside what is used.

    Parameters
    ----------
    kind : str
        "ninhydrin spray", "ninhydrin dip" or "amino acid standard"; any other kind is not judged [-].
    percent : Decimal
        Strength [% w/v].

    Returns
    -------
    list of str
        Sentences; empty when nothing is to be said.

    Raises
    ------
    ImpossibleSolution
        A strength that is not above zero.

    References
    ----------
    .. [1] 0.05 to 2 % for ninhydrin: common practice, no source; published recipes have 0.1 to 0.5 %. A
       handout in circulation says 0.2 mg in 100 mL, a thousandth of that.
    """
    _above_zero(strength=percent)
    limits = USUAL_STRENGTHS.get(kind)
    if limits is None:
        return []
    least, most, usual = limits
    if least <= percent <= most:
        return []
    weaker = percent < usual
    factor = usual / percent if weaker else percent / usual
    typed = format_quantity(percent, "% w/v")
    times = format_quantity(factor, "", digits=2)
    advice = "Check the recipe" + (": a mg written for a g does this." if factor >= UNIT_SLIP else ".")
    verdict = f"{typed} is {times} times {'weaker' if weaker else 'stronger'} than the usual {usual} %"
    return [f"{verdict} for {_with_article(kind)} ({least} to {most} %, common practice). {advice}"]


def _with_article(kind: str) -> str:
    return f"an {kind}" if kind[0] in "aeiou" else f"a {kind}"


def _remedies(known: Substance, limit: Decimal) -> tuple[str, ...]:
    """What can be done where too little dissolves."""
    most = format_quantity(limit, "g in 100 mL")
    if known.molar_mass:
        molar = Decimal(f"{limit * 10 / known.molar_mass:.2g}")
        most = f"about {format_quantity(molar, 'mol/L')} ({most})"
    said = [
        f"Make it saturated, {most}: shake more than dissolves with water, let it settle, use the clear part."
    ]
    if known.name in AMPHOTERIC:
        said.append(
            "Or dissolve it in dilute acid, in which amino acids are more soluble, and say so on the label."
        )
    return (*said, "Or make it weaker.")


def dissolves(substance_name: str, grams_per_100ml: Decimal) -> Dissolving:
    """Whether a strength dissolves in water at about 25 °C.

    Solubilities are for 100 g of water or 100 mL; for the weak solutions made here that is the same
    within their scatter.

    Parameters
    ----------
    substance_name : str
        Name of the substance [-].
    grams_per_100ml : Decimal
        Strength wanted [g/100 mL].

    Returns
    -------
    Dissolving
        "no" above the solubility, "marginal" above four fifths of it, "unknown" without data.

    Raises
    ------
    ImpossibleSolution
        A strength that is not above zero.
    UnknownSubstance
        When the name is not known.

    References
    ----------
    .. [1] `reagents/data/solubility.csv`: Belitz, Grosch, Schieberle, Food Chemistry, table 1.4; Sorkun,
       Khetan, Er, Sci. Data 6, 143 (2019); keys in SOURCES.csv.
    """
    _above_zero(strength=grams_per_100ml)
    name = substance(substance_name).name
    row = next((row for row in rows("solubility") if row["name"] == name), None)
    wanted = format_quantity(grams_per_100ml, "g", digits=3)
    if row is None:
        return Dissolving("unknown", None, f"No solubility of {name} is known here; try a little first.", ())
    keys = tuple(row["source_key"].split(";"))
    limit = number(row["solubility_g_per_100g_water_25c"])
    if limit is None:
        sentence = f"{name} is listed as very soluble, without a figure."
        return Dissolving("yes" if grams_per_100ml <= 10 else "unknown", None, sentence, keys)
    most = format_quantity(limit, "g")
    if grams_per_100ml > limit:
        said = f"{wanted} of {name} will not dissolve in 100 mL of water; only {most} does at 25 °C."
        return Dissolving("no", limit, said, keys, _remedies(substance(name), limit))
    if grams_per_100ml > MARGINAL * limit:
        said = f"{wanted} of {name} in 100 mL is close to the most that dissolves, {most} at 25 °C."
        return Dissolving("marginal", limit, said, keys, _remedies(substance(name), limit))
    return Dissolving("yes", limit, f"{wanted} of {name} dissolves in 100 mL of water at 25 °C.", keys)
