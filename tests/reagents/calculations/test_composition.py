from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reagents.calculations.composition import (
    contraction_percent,
    from_amounts,
    from_masses,
    from_moles,
    from_volumes,
    of_recipe,
)
from reagents.calculations.preparation import (
    MOLAR,
    MOLE_PARTS,
    PARTS,
    PARTS_BY_MASS,
    PERCENT_VV,
    PERCENT_WW,
    TO_VOLUME,
    MadeFrom,
    PartWanted,
)
from reagents.calculations.proportions import ImpossibleProportion

D = Decimal
NAMES = ("butan-1-ol", "ethanoic acid", "water")


def recipe(*amounts, basis=PARTS, names=NAMES):
    return [
        PartWanted(key, name, D(str(amount)), basis)
        for key, (name, amount) in enumerate(zip(names, amounts, strict=True))
    ]


# Hand-worked from densities 0.8095, 1.0491 (from memory) and 0.9982 (computed) and IUPAC molar masses;
# checked by a script of its own, not by this program. No outside source.
HAND_WORKED = [
    ((12, 3, 5), (54.4, 17.6, 28.0), (0.2846, 0.1138, 0.6016), 0.893),
    ((6, 1.5, 2.5), (54.4, 17.6, 28.0), (0.2846, 0.1138, 0.6016), 0.893),
    ((4, 1, 5), (34.9, 11.3, 53.8), (0.1292, 0.0517, 0.8192), 0.928),
    ((4, 1, 1), (61.3, 19.8, 18.9), (0.3748, 0.1499, 0.4754), 0.881),
]


@pytest.mark.parametrize(("ratio", "percent", "moles", "density"), HAND_WORKED)
def test_shares_by_mass_and_moles_and_ideal_density_hand_worked(ratio, percent, moles, density):
    made = of_recipe(recipe(*ratio))
    assert [float(one.mass_share) * 100 for one in made.constituents] == pytest.approx(percent, abs=0.05)
    assert [float(one.mole_share) for one in made.constituents] == pytest.approx(moles, abs=0.00006)
    assert float(made.ideal_density) == pytest.approx(density, abs=0.0005)


def test_masses_of_100_ml_hand_worked():
    # 60 mL x 0.8095, 15 mL x 1.0491, 25 mL x 0.9982 g/mL.
    made = of_recipe(recipe(6, 1.5, 2.5), D(100))
    assert [float(one.mass_g) for one in made.constituents] == pytest.approx(
        [48.57, 15.74, 24.96], abs=0.0051
    )
    assert made.volume_ml == D(100)


def test_glacial_acid_molarity_from_density_and_molar_mass():
    # 99.7 % w/w at 1.049 g/mL is 17.416 mol/L: laboratory notes site, source `glacial_molarity`.
    one_litre = from_volumes({"ethanoic acid": D(1000)})
    assert float(one_litre.mass_g) * 0.997 / 60.052 == pytest.approx(17.416, rel=0.001)


def test_mutual_solubility_mole_fraction_to_mass_iupac():
    # IUPAC Solubility Data Series 15: x(butan-1-ol) 0.0191 and 0.488 at 298 K; NIST database pages print
    # 7.4 and 79.7 % by mass.
    watery = from_moles({"butan-1-ol": D("0.0191"), "water": D("0.9809")})
    organic = from_moles({"butan-1-ol": D("0.488"), "water": D("0.512")})
    assert float(watery.mass_shares["butan-1-ol"]) * 100 == pytest.approx(7.4, abs=0.05)
    assert float(organic.mass_shares["butan-1-ol"]) * 100 == pytest.approx(79.7, abs=0.05)


def test_the_same_liquid_by_volume_mass_and_moles():
    by_volume = of_recipe(recipe(12, 3, 5))
    by_mass = of_recipe(recipe(*(one.mass_g for one in by_volume.constituents), basis=PARTS_BY_MASS))
    by_moles = of_recipe(recipe(*(one.mole_share for one in by_volume.constituents), basis=MOLE_PARTS))
    for other in (by_mass, by_moles):
        assert float(other.mass_shares["water"]) == pytest.approx(float(by_volume.mass_shares["water"]))
        assert float(other.volume_shares["water"]) == pytest.approx(0.25)


def test_percentages_fill_a_whole_or_are_refused():
    assert of_recipe(recipe(70, 30, basis=PERCENT_VV, names=("ethanol", "water"))).volume_ml == D(100)
    acid_in_water = [
        PartWanted(1, "ethanoic acid", D(10), PERCENT_WW),
        PartWanted(2, "water", None, TO_VOLUME),
    ]
    assert of_recipe(acid_in_water).mass_shares["ethanoic acid"] == D("0.1")
    with pytest.raises(ImpossibleProportion, match="add up to 90"):
        of_recipe(recipe(60, 30, basis=PERCENT_VV, names=("ethanol", "water")))


def test_a_stock_brings_what_it_holds():
    whole = MadeFrom("Half acid", "stock", tuple(recipe(1, 1, names=("ethanoic acid", "water"))))
    nested = [PartWanted(1, "butan-1-ol", D(4), PARTS), PartWanted(2, "", D(2), PARTS, made_from=whole)]
    assert of_recipe(nested).volume_shares == pytest.approx(of_recipe(recipe(4, 1, 1)).volume_shares)


def test_volumes_and_masses_of_one_batch_together():
    made = from_amounts(volumes_ml={"n-butanol": D(60), "water": D(25)}, masses_g={"acetic acid": D("15.74")})
    assert float(made.volume_shares["ethanoic acid"]) == pytest.approx(0.15, abs=0.0001)
    assert made.names == frozenset(NAMES)


def test_one_liquid_under_two_names_is_added_up():
    assert from_volumes({"n-butanol": D(30), "butan-1-ol": D(30)}).constituents[0].volume_ml == D(60)


# Densities at 20 °C of ethanoic acid in water, engineering reference site after the CRC table (`aq_density`).
@pytest.mark.parametrize(
    ("percent", "loss"), [(10, 0.9), (20, 1.7), (30, 2.4), (50, 3.2), (70, 3.3), (40, 2.8)]
)
def test_contraction_of_acid_and_water_aq_density(percent, loss):
    assert float(contraction_percent(D(percent))) == pytest.approx(loss, abs=0.05)


def test_contraction_is_not_told_beyond_its_table():
    assert contraction_percent(D(80)) is None


def test_volumes_do_not_add_is_always_said():
    assert "Volumes do not add" in of_recipe(recipe(12, 3, 5)).sentences[-1]
    in_water = from_masses({"ethanoic acid": D(30), "water": D(70)})
    assert "shrinks by about 2.4\u00a0%" in in_water.sentences[-1]


def test_each_figure_says_where_it_is_from():
    figures = {one.what: one.status for one in of_recipe(recipe(12, 3, 5)).given}
    assert figures["density of butan-1-ol at 20\u00a0°C"] == "from memory"
    assert figures["density of water at 20\u00a0°C"] == "computed"


@pytest.mark.parametrize(
    ("amounts", "says"),
    [
        ({}, "empty"),
        ({"water": D(0)}, "empty"),
        ({"water": D(-1)}, "below zero"),
        ({"water": D("NaN")}, "below zero"),
        ({"moon dust": D(1)}, "density of moon dust"),
        ({"ninhydrin": D(1)}, "density of ninhydrin"),
    ],
)
def test_what_makes_no_mixture_is_refused_in_a_sentence(amounts, says):
    with pytest.raises(ImpossibleProportion, match=says):
        from_volumes(amounts)


@pytest.mark.parametrize(
    "parts",
    [
        [],
        recipe(0, 1, 1),
        recipe(-1, 1, 1),
        recipe(1, 1, 1, basis=MOLAR),
        [*recipe(1, 1, names=("water", "ethanol")), PartWanted(9, "butan-1-ol", D(1), PARTS_BY_MASS)],
    ],
)
def test_recipes_that_share_out_no_whole_are_refused(parts):
    with pytest.raises(ImpossibleProportion):
        of_recipe(parts)


amount = st.decimals(min_value=D("0.01"), max_value=D(1000), places=2)


@given(amount, amount, amount, amount)
def test_shares_add_up_and_no_multiple_changes_them(butanol, acid, water, factor):
    once = of_recipe(recipe(butanol, acid, water))
    again = of_recipe(recipe(butanol * factor, acid * factor, water * factor))
    for made in (once, again):
        assert float(sum(made.mass_shares.values())) == pytest.approx(1)
        assert float(sum(one.mole_share for one in made.constituents)) == pytest.approx(1)
    assert [float(x) for x in once.mass_shares.values()] == pytest.approx(
        [float(x) for x in again.mass_shares.values()]
    )
