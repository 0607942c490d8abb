"""Strength of a solution in its several units: mol/L, % w/v, % w/w, % v/v, mol/kg."""

from collections.abc import Mapping
from decimal import Decimal

from reagents.calculations.solutions import ImpossibleSolution, molarity_of_percent_ww

DENSITY_ASKED = "Its density is needed for that; read it from the bottle, it is seldom 1."
MOLAR_MASS_ASKED = "Its molar mass is needed for that; read M from the bottle."
UNITS = ("mol/L", "% w/v", "% w/w", "% v/v")


def _above_zero(value: Decimal, what: str) -> Decimal:
    if not value.is_finite() or value <= 0:
        raise ImpossibleSolution(f"The {what} must be above zero.", value)
    return value


def _percent(value: Decimal, what: str) -> Decimal:
    if _above_zero(value, what) > 100:
        raise ImpossibleSolution(f"{value} % is more than the whole; check the {what}.", value)
    return value


def convert_strength(
    value: Decimal,
    unit: str,
    wanted: str,
    *,
    molar_mass: Decimal | None = None,
    density_g_per_ml: Decimal | None = None,
    solute_density_g_per_ml: Decimal | None = None,
) -> Decimal:
    """The same strength in another unit, by way of grams in 100 mL of solution.

    Parameters
    ----------
    value : Decimal
        Strength [mol/L, % w/v, % w/w or % v/v].
    unit, wanted : str
        "mol/L", "% w/v", "% w/w" or "% v/v" [-].
    molar_mass : Decimal, optional
        Of the solute; needed to or from mol/L [g/mol].
    density_g_per_ml : Decimal, optional
        Of the solution; needed to or from % w/w [g/mL].
    solute_density_g_per_ml : Decimal, optional
        Of the pure solute, a liquid; needed to or from % v/v [g/mL].

    Returns
    -------
    Decimal
        Strength in the unit wanted, unrounded [mol/L, % w/v, % w/w or % v/v].

    Raises
    ------
    ImpossibleSolution
        A value that is not above zero, a percentage above 100, an unknown unit, or a molar mass or density
        that is needed and missing.

    References
    ----------
    .. [1] c = 10 w d / M: OpenStax, Chemistry 2e, sections Molarity and Other Units (`ost_m68703` and
       `ost_m68704` in SOURCES.csv). % w/v = % w/w x d; % w/v = % v/v x density of the solute.
    """
    for one in (unit, wanted):
        if one not in UNITS:
            raise ImpossibleSolution(f"“{one}” is no unit of strength here; use {', '.join(UNITS)}.", one)
    _above_zero(value, "strength")
    if unit != "mol/L":
        _percent(value, "strength")
    if unit == wanted:
        return value

    def factor(one: str) -> Decimal:
        """Grams in 100 mL for each 1 of the unit."""
        if one == "mol/L":
            return _given(molar_mass, "molar mass", MOLAR_MASS_ASKED) / 10
        if one == "% w/w":
            return _given(density_g_per_ml, "density", DENSITY_ASKED)
        if one == "% v/v":
            return _given(solute_density_g_per_ml, "density of the solute", DENSITY_ASKED)
        return Decimal(1)

    found = value * factor(unit) / factor(wanted)
    if wanted != "mol/L" and found > 100:
        raise ImpossibleSolution(
            "That would be more than 100 %: the strength and the density do not fit together.", value
        )
    return found


def _given(value: Decimal | None, what: str, asked: str) -> Decimal:
    if value is None:
        raise ImpossibleSolution(asked)
    return _above_zero(value, what)


def molarity_from_amount(amount_mol: Decimal, volume_ml: Decimal) -> Decimal:
    """Concentration that an amount in a volume gives: c = n / V.

    Parameters
    ----------
    amount_mol : Decimal
        Amount of the solute [mol].
    volume_ml : Decimal
        Volume of the solution [mL].

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
    return _above_zero(amount_mol, "amount") / (_above_zero(volume_ml, "volume") / 1000)


def volume_holding_mass(mass_g: Decimal, mol_per_l: Decimal, molar_mass: Decimal) -> Decimal:
    """Volume of a solution that holds a mass of its solute: V = m / (M c).

    Also how much solution can be made of what is left of a solid.

    Parameters
    ----------
    mass_g : Decimal
        Mass of the solute [g].
    mol_per_l : Decimal
        Concentration [mol/L].
    molar_mass : Decimal
        Molar mass [g/mol].

    Returns
    -------
    Decimal
        Volume [mL].

    Raises
    ------
    ImpossibleSolution
        A value that is not above zero.

    References
    ----------
    .. [1] OpenStax, Chemistry 2e, section Molarity (`ost_m68703` in SOURCES.csv).
    """
    _above_zero(mass_g, "mass")
    return 1000 * mass_g / _above_zero(molar_mass, "molar mass") / _above_zero(mol_per_l, "concentration")


def percent_by_mass(solute_g: Decimal, solvent_g: Decimal) -> Decimal:
    """Share of the solute in a solution, by mass: w = m / (m + m_solvent).

    Parameters
    ----------
    solute_g : Decimal
        Mass of the solute [g].
    solvent_g : Decimal
        Mass of what it is dissolved in, without the solute; 0 for the pure solute [g].

    Returns
    -------
    Decimal
        Strength [% w/w].

    Raises
    ------
    ImpossibleSolution
        A mass of solute that is not above zero, or a mass of solvent below zero.

    References
    ----------
    .. [1] OpenStax, Chemistry 2e, section Other Units for Solution Concentrations (`ost_m68704`).
    """
    _above_zero(solute_g, "mass of the solute")
    if not solvent_g.is_finite() or solvent_g < 0:
        raise ImpossibleSolution("The mass of the solvent cannot be below zero.", solvent_g)
    return 100 * solute_g / (solute_g + solvent_g)


def mass_in_volume(percent_ww: Decimal, density_g_per_ml: Decimal, volume_ml: Decimal) -> Decimal:
    """Mass of solute in a volume of a solution sold by mass percentage: m = w d V / 100.

    Parameters
    ----------
    percent_ww : Decimal
        Strength on the bottle [% w/w].
    density_g_per_ml : Decimal
        Density of that solution [g/mL].
    volume_ml : Decimal
        Volume of it [mL].

    Returns
    -------
    Decimal
        Mass of the solute [g].

    Raises
    ------
    ImpossibleSolution
        A value that is not above zero, or more than 100 %.

    References
    ----------
    .. [1] OpenStax, Chemistry 2e, section Other Units for Solution Concentrations (`ost_m68704`).
    """
    _percent(percent_ww, "strength")
    return percent_ww * _above_zero(density_g_per_ml, "density") * _above_zero(volume_ml, "volume") / 100


def mass_of_volume_percent(
    percent_vv: Decimal, volume_ml: Decimal, solute_density_g_per_ml: Decimal
) -> Decimal:
    """Mass of a liquid solute in a solution stated by volume: m = p V d / 100.

    Parameters
    ----------
    percent_vv : Decimal
        Strength [% v/v].
    volume_ml : Decimal
        Volume of the solution [mL].
    solute_density_g_per_ml : Decimal
        Density of the pure solute [g/mL].

    Returns
    -------
    Decimal
        Mass of the solute [g].

    Raises
    ------
    ImpossibleSolution
        A value that is not above zero, or more than 100 %.

    References
    ----------
    .. [1] OpenStax, Chemistry 2e, section Other Units for Solution Concentrations (`ost_m68704`).
    """
    _percent(percent_vv, "strength")
    density = _above_zero(solute_density_g_per_ml, "density of the solute")
    return percent_vv * _above_zero(volume_ml, "volume") * density / 100


def stock_mass(stock_percent_ww: Decimal, wanted_percent_ww: Decimal, mass_g: Decimal) -> Decimal:
    """Mass of a stock to dilute by mass: m1 = w2 m2 / w1.

    Parameters
    ----------
    stock_percent_ww : Decimal
        Strength of the stock [% w/w].
    wanted_percent_ww : Decimal
        Strength wanted, not above that of the stock [% w/w].
    mass_g : Decimal
        Mass of the finished solution [g].

    Returns
    -------
    Decimal
        Mass of the stock [g].

    Raises
    ------
    ImpossibleSolution
        A value that is not above zero, more than 100 %, or a strength wanted above that of the stock.

    References
    ----------
    .. [1] OpenStax, Chemistry 2e, section Other Units for Solution Concentrations (`ost_m68704`).
    """
    _percent(stock_percent_ww, "strength of the stock")
    _percent(wanted_percent_ww, "strength wanted")
    if wanted_percent_ww > stock_percent_ww:
        raise ImpossibleSolution(
            f"The stock ({stock_percent_ww} %) is weaker than the strength wanted ({wanted_percent_ww} %).",
            wanted_percent_ww,
        )
    return wanted_percent_ww * _above_zero(mass_g, "mass") / stock_percent_ww


def molality(solute_g: Decimal, molar_mass: Decimal, solvent_g: Decimal) -> Decimal:
    """Amount of solute for each kilogram of solvent: b = m / (M m_solvent).

    Parameters
    ----------
    solute_g : Decimal
        Mass of the solute [g].
    molar_mass : Decimal
        Molar mass of the solute [g/mol].
    solvent_g : Decimal
        Mass of the solvent alone [g].

    Returns
    -------
    Decimal
        Molality [mol/kg].

    Raises
    ------
    ImpossibleSolution
        A value that is not above zero.

    References
    ----------
    .. [1] OpenStax, Chemistry 2e, section Colligative Properties (`ost_m68783` in SOURCES.csv).
    """
    amount = _above_zero(solute_g, "mass of the solute") / _above_zero(molar_mass, "molar mass")
    return 1000 * amount / _above_zero(solvent_g, "mass of the solvent")


def amount_shares(masses_g: Mapping[str, Decimal], molar_masses: Mapping[str, Decimal]) -> dict[str, Decimal]:
    """Mole fractions of a mixture: x_i = (m_i / M_i) / sum.

    Parameters
    ----------
    masses_g : mapping of str to Decimal
        Mass of each component, by name [g].
    molar_masses : mapping of str to Decimal
        Molar mass of each, by name [g/mol].

    Returns
    -------
    dict of str to Decimal
        Mole fraction by name [-].

    Raises
    ------
    ImpossibleSolution
        No component, a mass that is not above zero, or a molar mass that is missing.

    References
    ----------
    .. [1] OpenStax, Chemistry 2e, section Colligative Properties (`ost_m68783` in SOURCES.csv).
    """
    if not masses_g:
        raise ImpossibleSolution("The mixture is empty; enter at least one component.")
    amounts = {
        name: _above_zero(mass, f"mass of {name}")
        / _above_zero(molar_masses.get(name, Decimal(0)), f"molar mass of {name}")
        for name, mass in masses_g.items()
    }
    whole = sum(amounts.values(), Decimal(0))
    return {name: amount / whole for name, amount in amounts.items()}


def molarity_of_stock(
    value: Decimal, unit: str, *, molar_mass: Decimal, density_g_per_ml: Decimal | None = None
) -> Decimal:
    """Concentration of a bottle, whichever way its label states it.

    Parameters
    ----------
    value : Decimal
        Strength on the bottle [mol/L, % w/v or % w/w].
    unit : str
        "mol/L", "% w/v" or "% w/w" [-].
    molar_mass : Decimal
        Molar mass of the solute [g/mol].
    density_g_per_ml : Decimal, optional
        Density of what is in the bottle; needed for % w/w [g/mL].

    Returns
    -------
    Decimal
        Concentration [mol/L].

    Raises
    ------
    ImpossibleSolution
        As `convert_strength` and `solutions.molarity_of_percent_ww`.

    References
    ----------
    .. [1] Worked value 17.416 mol/L for 99.7 % ethanoic acid: `glacial_molarity` in SOURCES.csv.
    """
    if unit == "% w/w":
        return molarity_of_percent_ww(value, _given(density_g_per_ml, "density", DENSITY_ASKED), molar_mass)
    return convert_strength(value, unit, "mol/L", molar_mass=molar_mass)
