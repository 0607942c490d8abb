from decimal import Decimal

import pytest

from reagents.calculations.formulas import NotAFormula, molar_mass_of
from reagents.calculations.substances import bottle_forms, substances


@pytest.mark.parametrize("one", [s for s in substances() if s.formula], ids=lambda s: s.name)
def test_molar_masses_follow_from_the_formula_iupac_abridged_weights(one):
    # IUPAC CIAAW, standard atomic weights, abridged (2021); formula and molar mass were entered apart.
    assert molar_mass_of(one.formula) == pytest.approx(one.molar_mass, abs=Decimal("0.002"))


@pytest.mark.parametrize("code", ["Asn", "Lys", "His", "Arg", "Cys"])
def test_molar_masses_of_bottle_forms_follow_from_the_formula(code):
    # Remembered molar masses against IUPAC abridged weights.
    for form in bottle_forms(code):
        assert molar_mass_of(form.formula) == pytest.approx(form.molar_mass, abs=Decimal("0.02"))


@pytest.mark.parametrize(
    ("formula", "same"),
    [
        ("Ca(NO3)2", "CaN2O6"),
        ("(NH4)2SO4", "N2H8SO4"),
        ("C4H8N2O3.H2O", "C4H10N2O4"),
        ("CaCl2·2H2O", "CaCl2H4O2"),
        ("C₂H₄O₂", "C2H4O2"),
    ],
)
def test_brackets_and_water_of_crystallisation_are_read(formula, same):
    assert molar_mass_of(formula) == molar_mass_of(same)


def test_printed_molar_masses_of_bracketed_formulae_openstax_chemistry_2e():
    # OpenStax, Chemistry 2e, chapter 3: aluminium sulfate Al2(SO4)3, 342.14 g/mol (from memory).
    assert molar_mass_of("Al2(SO4)3") == pytest.approx(Decimal("342.14"), abs=Decimal("0.02"))


def test_printed_molar_masses_openstax_chemistry_2e():
    # OpenStax, Chemistry 2e, module m68703: CaCl2 110.98 g/mol.
    assert molar_mass_of("CaCl2") == pytest.approx(Decimal("110.98"), abs=Decimal("0.005"))


@pytest.mark.parametrize(
    "formula", ["", "c2h4", "C2(H4", "C2H4)", "()", "H2O.", "Xx2", "C9999", "2C", "C" * 500]
)
def test_a_formula_that_is_none_is_refused(formula):
    with pytest.raises(NotAFormula):
        molar_mass_of(formula)
