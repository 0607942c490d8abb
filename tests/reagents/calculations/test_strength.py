"""Conversions of strength; the printed examples stand in `test_worked_examples.py`."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reagents.calculations.ideal_vapour import partial_pressure
from reagents.calculations.solutions import ImpossibleSolution
from reagents.calculations.strength import (
    amount_shares,
    convert_strength,
    mass_in_volume,
    molality,
    molarity_from_amount,
    molarity_of_stock,
    percent_by_mass,
    stock_mass,
    volume_holding_mass,
)

D = Decimal
GIVEN = {
    "molar_mass": D("60.052"),
    "density_g_per_ml": D("1.049"),
    "solute_density_g_per_ml": D("1.0491"),
}


def test_glacial_acid_printed_laboratory_notes():
    # Printed: 99.7 % w/w, 1.049 g/mL and M 60.05 give 17.416 mol/L (source key glacial_molarity).
    found = convert_strength(D("99.7"), "% w/w", "mol/L", molar_mass=D("60.05"), density_g_per_ml=D("1.049"))
    assert round(found, 3) == D("17.416")
    assert found == molarity_of_stock(D("99.7"), "% w/w", molar_mass=D("60.05"), density_g_per_ml=D("1.049"))


def test_two_molar_acid_by_mass_hand_worked():
    # Hand-worked with a density of 1.0140 g/mL for that solution: 2 x 60.052 / 10 / 1.0140 = 11.84 % w/w, the
    # figure of the hand-worked CLP case for 2 mol/L.
    found = convert_strength(D(2), "mol/L", "% w/w", molar_mass=D("60.052"), density_g_per_ml=D("1.0140"))
    assert round(found, 2) == D("11.84")


@given(
    st.decimals(min_value=D("0.01"), max_value=15, places=2),
    st.sampled_from(["% w/v", "% w/w", "% v/v"]),
)
def test_there_and_back_again(value, unit):
    there = convert_strength(value, unit, "mol/L", **GIVEN)
    assert convert_strength(there, "mol/L", unit, **GIVEN) == pytest.approx(value, rel=D("1e-20"))


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: convert_strength(D(2), "mol/L", "% w/v"), "Its molar mass is needed"),
        (lambda: convert_strength(D(2), "% w/w", "% w/v"), "Its density is needed .* seldom 1"),
        (lambda: convert_strength(D(2), "ppm", "% w/v"), "is no unit of strength here"),
        (lambda: convert_strength(D(0), "% w/w", "% w/v", **GIVEN), "must be above zero"),
        (lambda: convert_strength(D(120), "% w/w", "% w/v", **GIVEN), "more than the whole"),
        (lambda: convert_strength(D(30), "mol/L", "% w/v", **GIVEN), "more than 100 %"),
        (lambda: molarity_from_amount(D(1), D(0)), "volume must be above zero"),
        (lambda: volume_holding_mass(D(1), D(0), D(60)), "concentration must be above zero"),
        (lambda: percent_by_mass(D(1), D(-1)), "cannot be below zero"),
        (lambda: mass_in_volume(D(101), D(1), D(1)), "more than the whole"),
        (lambda: stock_mass(D(10), D(20), D(100)), "weaker than the strength wanted"),
        (lambda: molality(D(1), D(60), D(0)), "mass of the solvent must be above zero"),
        (lambda: amount_shares({}, {}), "mixture is empty"),
        (lambda: amount_shares({"water": D(1)}, {}), "molar mass of water must be above zero"),
    ],
)
def test_impossible_strengths_are_refused_in_a_sentence(call, sentence):
    with pytest.raises(ImpossibleSolution, match=sentence):
        call()


@pytest.mark.parametrize(
    ("pressure", "fraction"), [("-1", "0.5"), ("1", "1.1"), ("1", "-0.1"), ("NaN", "0.5")]
)
def test_an_impossible_vapour_is_refused(pressure, fraction):
    with pytest.raises(ValueError, match=r"vapour pressure|mole fraction"):
        partial_pressure(D(pressure), D(fraction))
