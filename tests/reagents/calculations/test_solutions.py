from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reagents.calculations.solutions import (
    ImpossibleSolution,
    diluted_strength,
    dilution_volume,
    dissolves,
    final_volume_ml,
    mass_for_molar,
    mass_for_percent_wv,
    molarity_from_mass,
    molarity_of_percent_ww,
    plausible_strength,
    stock_for,
)
from reagents.calculations.substances import UnknownSubstance, bottle_forms, substance

D = Decimal


def test_impure_substance_needs_more():
    assert mass_for_percent_wv(D("0.2"), D(250), purity=D("0.8")) == D("0.625")


def test_a_hydrate_needs_more_as_its_own_molar_mass_says():
    asparagine = substance("L-asparagine").molar_mass
    assert asparagine is not None
    (hydrate,) = bottle_forms("L-asparagine")
    by_waters = mass_for_molar(D("0.01"), D(100), asparagine, waters=D(1))
    by_label = mass_for_molar(D("0.01"), D(100), hydrate.molar_mass)
    assert by_waters == pytest.approx(by_label, abs=D("0.00001"))


strength = st.decimals(min_value=D("0.01"), max_value=20, places=2)
volume = st.decimals(min_value=1, max_value=5000, places=1)


@given(strength, volume)
def test_weighing_and_finding_the_strength_are_inverse(concentration, volume_ml):
    mass = mass_for_molar(concentration, volume_ml, D("75.067"))
    assert molarity_from_mass(mass, volume_ml, D("75.067")) == pytest.approx(concentration, rel=D("1e-20"))


@given(strength, strength, volume)
def test_dilution_keeps_the_amount(one, other, volume_ml):
    stock, wanted = max(one, other), min(one, other)
    taken = dilution_volume(stock, wanted, volume_ml)
    assert taken <= volume_ml
    assert diluted_strength(stock, taken, volume_ml) == pytest.approx(wanted, rel=D("1e-20"))
    assert final_volume_ml(stock, taken, wanted) == pytest.approx(volume_ml, rel=D("1e-20"))


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (lambda: mass_for_percent_wv(D(0), D(100)), "The strength must be above zero."),
        (lambda: mass_for_percent_wv(D(1), D(-100)), "The volume must be above zero."),
        (lambda: mass_for_percent_wv(D(101), D(100)), "more than 100 g in 100 mL"),
        (lambda: mass_for_percent_wv(D(1), D(100), D("98.5")), "98.5 % is 0.985"),
        (lambda: mass_for_percent_wv(D("NaN"), D(100)), "must be above zero"),
        (lambda: mass_for_molar(D("Infinity"), D(100), D(75)), "must be above zero"),
        (lambda: mass_for_molar(D(1), D(100), D(75), waters=D(-1)), "not between 0 and 24"),
        (lambda: molarity_of_percent_ww(D(120), D(1), D(60)), "more than the whole"),
        (lambda: dilution_volume(D(1), D(2), D(100)), "weaker than the strength wanted"),
        (lambda: diluted_strength(D(1), D(200), D(100)), "less than the stock taken"),
        (lambda: final_volume_ml(D(1), D(200), D(2)), "weaker than the strength wanted"),
    ],
)
def test_impossible_solutions_are_refused_in_a_sentence(call, sentence):
    with pytest.raises(ImpossibleSolution, match=sentence):
        call()


def test_a_thousandth_of_the_usual_ninhydrin_is_questioned_common_practice():
    # 0.05 to 2 % for the spray: common practice, no source. 0.2 mg in 100 mL is in circulation.
    (sentence,) = plausible_strength("ninhydrin spray", D("0.0002"))
    assert sentence.startswith(
        "0.0002\u00a0% w/v is 1000 times weaker than the usual 0.2 % for a ninhydrin spray"
    )
    assert "a mg written for a g does this" in sentence


@pytest.mark.parametrize("percent", ["0.1", "0.2", "0.3", "0.5"])
def test_published_ninhydrin_recipes_pass(percent):
    # Published methods print 0.1, 0.2, 0.3 and 0.5 % in ethanol or propanone.
    assert plausible_strength("ninhydrin spray", D(percent)) == []


def test_a_strong_spray_is_questioned_and_an_unknown_kind_is_not_judged():
    assert "25 times stronger" in plausible_strength("ninhydrin spray", D(5))[0]
    assert plausible_strength("indicator", D(50)) == []


@pytest.mark.parametrize(
    ("name", "grams", "verdict"),
    [
        ("L-tyrosine", "0.181", "no"),  # 0.01 mol/L
        ("L-tyrosine", "0.1", "no"),
        ("L-aspartic acid", "1", "no"),
        ("L-glutamic acid", "1", "no"),
        ("L-tryptophan", "1", "marginal"),
        ("L-aspartic acid", "0.1", "yes"),
        ("Glycine", "15", "yes"),
        ("L-lysine", "1", "yes"),
        ("L-lysine", "90", "unknown"),
        ("butan-1-ol", "1", "unknown"),
    ],
)
def test_what_dissolves_belitz_food_chemistry_table_1_4(name, grams, verdict):
    # Belitz, Grosch, Schieberle, Food Chemistry, table 1.4, 25 C: Tyr 0.045, Asp 0.500, Glu 0.843, Trp 1.136,
    # Gly 24.99 g per 100 g water. Lysine: AqSolDB, Sci. Data 6, 143 (2019), entered at its ceiling.
    # "Marginal" from four fifths of the limit: common practice, no source.
    assert dissolves(name, D(grams)).verdict == verdict


SOLUBLE = (
    "Gly", "Ala", "Val", "Leu", "Ile", "Pro", "Phe", "Tyr", "Trp", "Ser",
    "Thr", "Cys", "Met", "Asn", "Gln", "Asp", "Glu", "Lys", "Arg", "His", "aspartame",
)  # fmt: skip


@pytest.mark.parametrize("code", SOLUBLE)
def test_only_tyrosine_cannot_be_a_hundredth_molar(code):
    # Worked from the same table and molar masses: 0.01 mol/L is M/1000 g in 100 mL.
    one = substance(code)
    assert one.molar_mass is not None
    assert dissolves(code, one.molar_mass / 1000).verdict == ("no" if code == "Tyr" else "yes")


def test_the_sentence_says_how_much_does_dissolve():
    found = dissolves("tyrosine", D("0.181"))
    assert (
        found.sentence
        == "0.181\u00a0g of L-tyrosine will not dissolve in 100 mL of water; only 0.045\u00a0g does at 25 °C."
    )


def test_an_unknown_substance_is_refused():
    with pytest.raises(UnknownSubstance):
        dissolves("unobtainium", D(1))


def test_a_mass_the_balance_cannot_weigh_becomes_a_stock_common_practice():
    # Weigh ten times as much and dilute: common practice, no source.
    found = stock_for(D("0.20"), D(100), D("0.01"))
    assert found is not None
    assert (found.factor, found.mass_g, found.volume_ml, found.take_ml) == (10, D("2.00"), D(100), D(10))


def test_a_mass_the_balance_can_weigh_needs_no_stock():
    assert stock_for(D("0.82"), D(100), D("0.01")) is None


def test_a_mass_beyond_any_stock_is_refused():
    with pytest.raises(ImpossibleSolution, match="far too little for a 1\u00a0g balance"):
        stock_for(D("0.01"), D(100), D(1))
