from dataclasses import replace
from decimal import Decimal

import pytest

from reagents.calculations.solutions import ImpossibleSolution
from reagents.calculations.weighed_solution import (
    SolidAsked,
    form_of,
    largest_volume_ml,
    least_volume_ml,
    weigh,
)

D = Decimal


def asked(name="glycine", strength="0.01", unit="mol/L", volume="100", **more):
    return SolidAsked(name, D(strength), unit, volume_ml=None if volume is None else D(volume), **more)


def test_glycine_at_98_5_percent_hand_worked():
    # Hand-worked case W02: 0.01 x 0.1 x 75.067 / 0.985 = 0.0762 g.
    assert round(weigh(asked(purity_percent=D("98.5"))).mass_g, 4) == D("0.0762")


def test_ninhydrin_hand_worked():
    # Hand-worked case W01: 0.2 % w/v, 250 mL: 0.500 g.
    assert weigh(asked("ninhydrin", "0.2", "% w/v", "250", solvent="ethanol")).mass_g == D("0.5")


def test_a_fifth_of_a_gram_on_a_hundredth_balance_is_four_percent_off():
    # Hand-worked: two readings, d/sqrt 6, k = 2: 0.2 g is uncertain by 4 %. Below the least mass a stock
    # and a bigger batch are offered: common practice, no source.
    found = weigh(asked("ninhydrin", "0.2", "% w/v", "100", solvent="ethanol"))
    assert not found.balance.enough
    assert "about 4 %" in found.balance.sentence
    assert found.stock is not None
    assert (found.stock.mass_g, found.stock.take_ml) == (D(2), D(10))
    assert found.bigger_batch_ml == 500  # 82 x 0.01 g / 0.002 g/mL = 410 mL, and the next round size
    assert found.ways[0].startswith(
        "Through a stock: weigh 2\u00a0g and make it up to 100\u00a0mL with ethanol"
    )
    assert "500\u00a0mL takes 1.00\u00a0g" in found.ways[1]
    assert least_volume_ml(asked("ninhydrin", "0.2", "% w/v", "100")) == 410


@pytest.mark.parametrize(
    ("name", "form"),
    [
        ("L-lysine", "L-lysine hydrochloride"),
        ("L-asparagine", "L-asparagine monohydrate"),
        ("L-histidine", "L-histidine hydrochloride monohydrate"),
    ],
)
def test_a_salt_or_hydrate_weighs_more_in_the_ratio_of_the_molar_masses(name, form):
    plain, salt = weigh(asked(name, "0.1")), weigh(asked(name, "0.1", form=form))
    assert salt.mass_g == pytest.approx(D("0.01") * form_of(name, form), abs=D("1e-12"))
    assert salt.mass_g > plain.mass_g
    assert salt.of_the_substance_g == plain.of_the_substance_g
    assert any("Ask which form" in doubt for doubt in plain.doubts)
    assert not any("Ask which form" in doubt for doubt in salt.doubts)


def test_a_form_from_the_bottle_s_own_molar_mass_in_percent_too():
    # Hand-worked: 1 % w/v of CaCl2 (110.98) from its dihydrate (147.01): 147.01 / 110.98 = 1.325 g in 100 mL.
    found = weigh(
        asked("calcium chloride", "1", "% w/v", molar_mass=D("110.98"), form_molar_mass=D("147.01"))
    )
    assert round(found.mass_g, 3) == D("1.325")


def test_a_hundredth_molar_tyrosine_cannot_dissolve_belitz_food_chemistry():
    # Belitz, Grosch, Schieberle, Food Chemistry, table 1.4: 0.045 g in 100 g of water at 25 degC, which is
    # 0.45 / 181.191 = 0.0025 mol/L.
    found = weigh(asked("L-tyrosine", readability_g=D("0.001")))
    assert found.dissolving is not None
    assert found.dissolving.verdict == "no"
    assert "about 0.0025\u00a0mol/L" in found.doubts[1]
    assert "dilute acid" in found.doubts[2]


def test_no_stock_is_offered_that_would_not_dissolve():
    # 0.1 % w/v of aspartic acid dissolves (0.5 does), ten times as much does not.
    found = weigh(asked("L-aspartic acid", "0.1", "% w/v"))
    assert found.stock is None
    assert "would not dissolve" in found.ways[0]


def test_percent_by_mass_wants_a_density_or_a_mass():
    with pytest.raises(ImpossibleSolution, match="Or give the total in g"):
        weigh(asked("glycine", "5", "% w/w"))
    # Hand-worked: 5 % of 200 g is 10 g in 190 g of water.
    found = weigh(asked("glycine", "5", "% w/w", None, total_g=D(200)))
    assert (found.mass_g, found.solvent_g) == (D(10), D(190))


def test_a_thousandfold_slip_in_a_spray_is_questioned_common_practice():
    # 0.05 to 2 %: common practice, no source.
    found = weigh(asked("ninhydrin", "0.0002", "% w/v", "1000", solvent="ethanol", kind="ninhydrin spray"))
    assert any("1000 times weaker than the usual" in doubt for doubt in found.doubts)


def test_the_most_that_is_left_makes_hand_worked():
    # Hand-worked: 1.2 g at 0.2 g in 100 mL is 600 mL; at 90 % purity 540 mL.
    spray = asked("ninhydrin", "0.2", "% w/v", "100", solvent="ethanol")
    assert largest_volume_ml(spray, D("1.2")) == 600
    assert largest_volume_ml(replace(spray, purity_percent=D(90)), D("1.2")) == 540


@pytest.mark.parametrize(
    ("left", "sentence"), [("0", "mass that is left must be"), ("1e6", "more than 100 L")]
)
def test_nothing_or_far_too_much_left_is_refused(left, sentence):
    with pytest.raises(ImpossibleSolution, match=sentence):
        largest_volume_ml(asked("ninhydrin", "0.2", "% w/v"), D(left))


@pytest.mark.parametrize(
    ("made", "sentence"),
    [
        (asked(purity_percent=D(120)), "A purity of 120 % is not above 0 and at most 100 %"),
        (asked(purity_percent=D(0)), "A purity of 0 %"),
        (asked(strength="0"), "strength must be above zero"),
        (asked(strength="-1"), "strength must be above zero"),
        (asked(unit="% w/v", strength="120"), "more than the whole"),
        (asked(unit="% v/v"), "is not measured in % v/v"),
        (asked(volume="0"), "volume must be above zero"),
        (asked(volume="1000000000"), "more than 100 L"),
        (asked(volume=None), "Give the volume"),
        (asked(total_g=D(5)), "one of the two"),
        (asked("unobtainium"), "unobtainium: Its molar mass is needed"),
        (asked(form="glycine sulfate"), "No form “glycine sulfate” of glycine is listed here"),
        (asked("unobtainium", "1", "% w/v", form_molar_mass=D(200)), "itself is needed beside"),
        (asked(volume=None, total_g=D(100)), "needs the volume of the solution"),
        (asked(molar_mass=D(0)), "molar mass must be above zero"),
        (asked(readability_g=D(0)), "readability of the balance must be above zero"),
        (asked(strength="1e-12"), "check strength and volume"),
    ],
)
def test_impossible_solutions_are_refused_in_a_sentence(made, sentence):
    with pytest.raises(ImpossibleSolution, match=sentence):
        weigh(made)


def test_a_molar_mass_that_is_not_the_substance_s_is_questioned():
    # The hydrochloride of glycine has 111.53 g/mol (from memory).
    found = weigh(asked(molar_mass=D("111.53")))
    assert any("is a salt or hydrate in the bottle?" in doubt for doubt in found.doubts)


def test_a_strength_by_mass_is_held_against_the_solubility_belitz_table_1_4():
    # Grams to 100 g of water: 1 % w/w tyrosine is 1.01, of 0.045; 5 % w/w glycine is 5.26, of 24.99.
    def verdict(name, percent):
        return weigh(SolidAsked(name, D(percent), "% w/w", total_g=D(100))).dissolving.verdict

    assert (verdict("L-tyrosine", 1), verdict("glycine", 5), verdict("glycine", 20)) == ("no", "yes", "no")
