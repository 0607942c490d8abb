from decimal import Decimal

import pytest

from reagents.calculations.mass_plan import mass_plan, mass_shares
from reagents.calculations.mixture_plan import mixture_plan
from reagents.calculations.prep_plan import plan_for
from reagents.calculations.preparation import (
    MOLE_PARTS,
    PARTS,
    PARTS_BY_MASS,
    PERCENT_VV,
    PERCENT_WV,
    PERCENT_WW,
    TO_VOLUME,
    Filling,
    PartWanted,
    Wanted,
)
from reagents.calculations.proportions import ImpossibleProportion

D = Decimal
NAMES = ("butan-1-ol", "ethanoic acid", "water")


def parts(basis, *amounts, names=NAMES):
    return [
        PartWanted(place, name, D(a), basis)
        for place, (name, a) in enumerate(zip(names, amounts, strict=True))
    ]


def test_parts_by_mass_of_the_butanol_mixture_hand_worked():
    # Hand-worked, densities 0.8095, 1.0491, 0.9982: 6 : 1.5 : 2.5 v/v is 54.4 : 17.6 : 28.0 % w/w, and 100 mL
    # of it weighs 48.57, 15.74 and 24.96 g.
    plan = mass_plan(parts(PERCENT_WW, "54.4", "17.6", "28.0"), D(100))
    assert [m.wanted for m in plan.measures] == pytest.approx(
        [D("48.57"), D("15.74"), D("24.96")], abs=D("0.06")
    )
    assert [m.unit for m in plan.measures] == ["g"] * 3


def test_mole_parts_of_the_butanol_mixture_hand_worked():
    # Hand-worked: mole fractions 0.2846 : 0.1138 : 0.6016 are the same mixture.
    shares = mass_shares(parts(MOLE_PARTS, "0.2846", "0.1138", "0.6016"))
    assert [100 * one for one in shares.values()] == pytest.approx(
        [D("54.4"), D("17.6"), D("28.0")], abs=D("0.1")
    )


def test_the_rest_of_a_percentage_by_mass_is_the_liquid():
    # Hand-worked: 100 mL of water weighs 99.82 g, and 5.254 g of glycine is 5 % of the whole.
    made = [PartWanted(1, "glycine", D(5), PERCENT_WW), PartWanted(2, "water", None, TO_VOLUME)]
    plan = mass_plan(made, D(100))
    assert [m.wanted for m in plan.measures] == [D("5.25"), D("99.82")]
    assert "glycine takes up is left out" in plan.how


def test_acid_goes_in_last():
    steps = mass_plan(parts(PARTS_BY_MASS, "5", "2", "3"), D(100)).steps
    assert "ethanoic acid last" in steps[2]


@pytest.mark.parametrize(
    ("made", "sentence"),
    [
        (parts(PERCENT_WW, "54", "17", "28"), "add up to 99 %, not 100 %"),
        (parts(PERCENT_WW, "80", "30", names=NAMES[:2]), "add up to 110 %"),
        (
            [*parts(PERCENT_WW, "60", "40", names=NAMES[:2]), PartWanted(9, "water", None, TO_VOLUME)],
            "leaves no room for water",
        ),
        (
            [*parts(PARTS_BY_MASS, "6", "4", names=NAMES[:2]), PartWanted(9, "water", None, TO_VOLUME)],
            "give parts to all",
        ),
        (
            parts(MOLE_PARTS, "1", "1", names=("unobtainium", "water")),
            "molar mass of unobtainium is not known",
        ),
        (parts(PARTS_BY_MASS, "1", "0", names=NAMES[:2]), "ethanoic acid has 0 parts"),
        (parts(PARTS_BY_MASS, "1", names=("glycine",)), "density known here"),
        (
            [*parts(PARTS_BY_MASS, "1", names=("water",)), *parts(MOLE_PARTS, "1", names=("ethanol",))],
            "all parts by mass",
        ),
    ],
)
def test_impossible_recipes_by_mass_are_refused_in_a_sentence(made, sentence):
    with pytest.raises(ImpossibleProportion, match=sentence):
        mass_plan(made, D(100))


@pytest.mark.parametrize("basis", [PARTS_BY_MASS, MOLE_PARTS])
def test_a_prep_list_plans_them(basis):
    plan = plan_for(Wanted("x", "mobile phase", tuple(parts(basis, "6", "2", "3")), (Filling(D(200)),)))
    assert plan.doubts == ()
    assert len(plan.measures) == 3
    assert "share of each part in the whole is good to" in plan.ratio[0]


def test_percent_by_volume_that_fills_the_whole_is_parts_by_volume():
    by_percent = plan_for(
        Wanted("x", "mobile phase", tuple(parts(PERCENT_VV, "60", "15", "25")), (Filling(D(100)),))
    )
    by_parts = mixture_plan(parts(PARTS, "12", "3", "5"), D(100))
    assert [m.wanted for m in by_percent.measures] == [m.wanted for m in by_parts.measures]


def test_percent_by_volume_in_a_liquid_to_volume_hand_worked():
    # Hand-worked: 10 % v/v propan-2-ol, 250 mL: 25 mL made up to 250 mL.
    made = (PartWanted(1, "propan-2-ol", D(10), PERCENT_VV), PartWanted(2, "water", None, TO_VOLUME))
    plan = plan_for(Wanted("x", "solution", made, (Filling(D(250)),)))
    assert [(m.wanted, m.unit) for m in plan.measures] == [(D(25), "mL"), (D(250), "mL")]


def test_parts_are_measured_before_mixing():
    plan = mixture_plan(parts(PARTS, "12", "3", "5"), D(100))
    assert "shrink" in plan.ratio[1]


def test_bases_that_do_not_go_together_are_a_sentence():
    mixed = (PartWanted(1, "water", D(1), PARTS_BY_MASS), PartWanted(2, "glycine", D(1), PERCENT_WV))
    assert "ask which is meant" in plan_for(Wanted("x", "solution", mixed, (Filling(D(100)),))).doubts[0]


def test_a_share_by_mass_is_held_against_the_solubility_belitz_table_1_4():
    # 0.045 g of L-tyrosine dissolves in 100 g of water at 25 °C; 1 % w/w asks for 1.01 g.
    made = [PartWanted(1, "L-tyrosine", D(1), PERCENT_WW), PartWanted(2, "water", None, TO_VOLUME)]
    assert "will not dissolve" in mass_plan(made, D(100)).doubts[0]
    enough = [PartWanted(1, "glycine", D(5), PERCENT_WW), PartWanted(2, "water", None, TO_VOLUME)]
    assert mass_plan(enough, D(100)).doubts == ()
