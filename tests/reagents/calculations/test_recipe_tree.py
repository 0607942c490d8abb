"""Recipes made of recipes: hand-worked dilutions, and that nothing contains itself."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reagents.calculations.prep_plan import contents, plan_for, stocks_first
from reagents.calculations.preparation import (
    MOLAR,
    MOLE_PARTS,
    PARTS,
    PARTS_BY_MASS,
    PERCENT_VV,
    PERCENT_WV,
    PERCENT_WW,
    TO_VOLUME,
    Filling,
    MadeFrom,
    PartWanted,
    Wanted,
)
from reagents.calculations.proportions import ImpossibleProportion
from reagents.calculations.recipe_tree import (
    RecipeLoop,
    canonical,
    making_order,
    same_recipe,
    stock_volume_ml,
    strength_in,
    substances_of,
)
from reagents.calculations.solutions import ImpossibleSolution

D = Decimal
WATER = PartWanted(9, "water", None, TO_VOLUME)
STOCK = MadeFrom(
    "Alanine stock", "solution", (PartWanted(1, "L-alanine", D("0.1"), MOLAR), WATER), shelf_life_hours=168
)
OTHER = MadeFrom("Glycine stock", "solution", (PartWanted(1, "glycine", D("0.1"), MOLAR), WATER))


def recipe(*amounts, basis=PARTS, names=("butan-1-ol", "ethanoic acid", "water")):
    return tuple(
        PartWanted(place, name, D(amount), basis)
        for place, (name, amount) in enumerate(zip(names, amounts, strict=True), 1)
    )


def working(*parts, title="Working solution", total="100"):
    return Wanted(title, "solution", (*parts, WATER), (Filling(D(total)),))


def test_six_to_one_and_a_half_to_two_and_a_half_is_twelve_to_three_to_five():
    assert same_recipe(recipe("6", "1.5", "2.5"), recipe("12", "3", "5"))
    assert same_recipe(recipe("6", "1.5", "2.5"), recipe("60", "15", "25", basis=PERCENT_VV))
    assert not same_recipe(recipe("12", "3", "5"), recipe("4", "1", "5"))


positive = st.decimals(min_value=D("0.1"), max_value=100, places=1)


@given(st.tuples(positive, positive, positive), st.decimals(min_value=D("0.01"), max_value=50, places=2))
def test_any_multiple_is_the_same_recipe(amounts, factor):
    assert same_recipe(recipe(*amounts), recipe(*(amount * factor for amount in amounts)))


def test_order_and_another_name_do_not_make_another_recipe():
    turned = recipe("2.5", "6", "1.5", names=("water", "n-butanol", "acetic acid"))
    assert same_recipe(turned, recipe("6", "1.5", "2.5"))


def test_parts_by_mass_are_not_parts_by_volume():
    by_mass = recipe("6", "1.5", "2.5", basis=PARTS_BY_MASS)
    assert not same_recipe(by_mass, recipe("6", "1.5", "2.5"))
    assert same_recipe(by_mass, recipe("60", "15", "25", basis=PERCENT_WW))
    assert not same_recipe(by_mass, recipe("6", "1.5", "2.5", basis=MOLE_PARTS))


def test_a_stock_counts_by_what_it_holds_not_by_its_title():
    renamed = MadeFrom("Another title", STOCK.kind, STOCK.parts)
    first = PartWanted(1, "L-alanine", D("0.01"), MOLAR, made_from=STOCK)
    second = PartWanted(4, "Ala", D("0.010"), MOLAR, made_from=renamed)
    third = PartWanted(1, "L-alanine", D("0.01"), MOLAR, made_from=OTHER)
    assert canonical([first, WATER]) == canonical([second, WATER])
    assert canonical([first, WATER]) != canonical([third, WATER])


def test_what_a_recipe_is_made_from_is_made_first():
    order = making_order({"working": ["stock", "water"], "stock": ["base"], "base": ["water"]})
    assert order == ("base", "stock", "working")


@pytest.mark.parametrize(
    ("made_from", "sentence"),
    [
        ({"A": ["A"]}, "“A” is made from itself;"),
        (
            {"A": ["B"], "B": ["A"]},
            "“A” is made from “B”, which is made from “A”;",
        ),
        (
            {"X": ["A"], "A": ["B"], "B": ["C"], "C": ["A"]},
            "“A” is made from “B”, which is made from “C”, which is made from “A”;",
        ),
    ],
)
def test_a_recipe_that_contains_itself_is_refused_in_a_sentence(made_from, sentence):
    with pytest.raises(RecipeLoop) as refused:
        making_order(made_from)
    assert str(refused.value).startswith(sentence)
    assert str(refused.value).endswith("; a recipe cannot contain itself.")
    assert refused.value.loop[0] == refused.value.loop[-1] == "A"


def test_two_recipes_may_share_a_stock():
    assert making_order({"A": ["S"], "B": ["S"], "S": []}) == ("S", "A", "B")


def test_a_long_chain_of_stocks_is_refused():
    with pytest.raises(RecipeLoop, match="more than 3 stocks in turn"):
        making_order({"A": ["B"], "B": ["C"], "C": ["D"], "D": ["E"], "E": []})


def test_ten_millilitres_of_stock_in_a_hundred():
    part = PartWanted(1, "stock A", D(10), PERCENT_VV, made_from=STOCK)
    assert stock_volume_ml(part, D(100)) == 10


def test_a_target_strength_is_taken_from_a_stock_by_dilution():
    # Hand-worked: 0.01 x 250 / 0.1 = 25 mL.
    part = PartWanted(1, "L-alanine", D("0.01"), MOLAR, made_from=STOCK)
    assert stock_volume_ml(part, D(250)) == 25


def test_strength_of_a_stock_in_the_other_unit():
    # Hand-worked: 0.1 mol/L x 89.094 g/mol / 10 = 0.89094 % w/v.
    assert strength_in(STOCK, "alanine", PERCENT_WV) == pytest.approx(D("0.89094"), abs=D("1e-9"))


@pytest.mark.parametrize(
    ("part", "sentence"),
    [
        (PartWanted(1, "glycine", D("0.01"), MOLAR, made_from=STOCK), "“Alanine stock” has no glycine in it"),
        (PartWanted(1, "water", D("0.01"), MOLAR, made_from=STOCK), "has no water in it"),
        (
            PartWanted(1, "L-alanine", D("0.2"), MOLAR, made_from=STOCK),
            "has 0.1\u00a0mol/L of L-alanine, weaker than the 0.2\u00a0mol/L wanted; make a stronger stock.",
        ),
        (PartWanted(1, "L-alanine", D(5), PERCENT_WW, made_from=STOCK), "use % v/v, % w/v or mol/L"),
        (PartWanted(1, "L-alanine", D(5), MOLAR), "has no stock or no amount"),
    ],
)
def test_a_stock_that_cannot_serve_is_refused_in_a_sentence(part, sentence):
    with pytest.raises(ImpossibleSolution, match=sentence):
        stock_volume_ml(part, D(100))


def test_the_stock_stands_first_in_a_plan_with_a_tenth_to_spare():
    # Hand-worked: 0.01 mol/L in 100 mL takes 10 mL of 0.1 mol/L; 11 mL of stock wanted, made in a 20 mL mark.
    part = PartWanted(1, "L-alanine", D("0.01"), MOLAR, made_from=STOCK)
    plan = plan_for(working(part))
    assert plan.doubts == ()
    assert plan.measures[0].substance == "Alanine stock (for L-alanine)"
    assert (plan.measures[0].wanted, plan.measures[0].vessel) == (D(10), "10\u00a0mL one-mark pipette")
    (stock,) = plan.stocks
    assert stock.wanted.title == "Alanine stock"
    assert stock.wanted.total_ml == 11
    assert stock.made_ml >= 11
    assert stock.how[0] == "10\u00a0mL for “Working solution” and a tenth to spare."


def test_a_stock_of_a_stock_is_made_before_it():
    # Hand-worked: 20 mL of the 0.1 mol/L stock from 1 mol/L takes 2 mL of it.
    strong = MadeFrom("Strong", "solution", (PartWanted(1, "glycine", D(1), MOLAR), WATER))
    middle = MadeFrom(
        "Middle", "solution", (PartWanted(1, "glycine", D("0.1"), MOLAR, made_from=strong), WATER)
    )
    plan = plan_for(working(PartWanted(1, "glycine", D("0.01"), MOLAR, made_from=middle)))
    assert [stock.wanted.title for stock in plan.stocks] == ["Strong", "Middle"]
    assert plan.doubts == plan.stocks[0].doubts == plan.stocks[1].doubts == ()


def test_a_stock_wanted_by_two_liquids_is_made_once():
    part = PartWanted(1, "L-alanine", D("0.01"), MOLAR, made_from=STOCK)
    plans = [plan_for(working(part, title="One")), plan_for(working(part, title="Two", total="200"))]
    (stock,) = stocks_first(plans)
    assert stock.wanted.total_ml == D("33.0")  # (10 + 20) mL and a tenth
    assert len(stock.how) == 3
    assert "“One”" in stock.how[0]
    assert "“Two”" in stock.how[1]


def test_a_stock_of_two_stocks_is_planned_for_what_both_take():
    # Hand-worked: two working solutions take 10 mL and 20 mL of the middle stock, 33 mL with a tenth,
    # made in a 50 mL flask; that takes 5 mL of the strong one, 5.5 mL with a tenth to spare.
    strong = MadeFrom("Strong", "solution", (PartWanted(1, "glycine", D(1), MOLAR), WATER))
    middle = MadeFrom(
        "Middle", "solution", (PartWanted(1, "glycine", D("0.1"), MOLAR, made_from=strong), WATER)
    )
    part = PartWanted(1, "glycine", D("0.01"), MOLAR, made_from=middle)
    plans = [plan_for(working(part, title="One")), plan_for(working(part, title="Two", total="200"))]
    first, second = stocks_first(plans)
    assert (first.wanted.title, second.wanted.title) == ("Strong", "Middle")
    assert (second.wanted.total_ml, second.made_ml) == (D("33.0"), D(50))
    assert (first.wanted.total_ml, len(first.how)) == (D("5.5"), 2)


def test_a_stock_used_at_two_depths_is_made_once():
    strong = MadeFrom("Strong", "solution", (PartWanted(1, "glycine", D(1), MOLAR), WATER))
    middle = MadeFrom(
        "Middle", "solution", (PartWanted(1, "glycine", D("0.1"), MOLAR, made_from=strong), WATER)
    )
    deep = PartWanted(1, "glycine", D("0.01"), MOLAR, made_from=middle)
    flat = PartWanted(1, "glycine", D("0.1"), MOLAR, made_from=strong)
    for order in ((deep, flat), (flat, deep)):
        titles = [one.wanted.title for one in stocks_first(plan_for(working(part)) for part in order)]
        assert titles == ["Strong", "Middle"]


def test_a_stock_may_be_a_part_by_volume():
    parts = (
        PartWanted(1, "acid stock", D(1), PARTS, made_from=OTHER),
        PartWanted(2, "ethanol", D(4), PARTS),
    )
    plan = plan_for(Wanted("Spray", "locating agent", parts, (Filling(D(100)),)))
    assert [(m.substance, m.wanted) for m in plan.measures] == [("Glycine stock", D(20)), ("ethanol", D(80))]
    assert plan.stocks[0].wanted.total_ml == 22


def test_hazards_and_contents_look_into_the_stock():
    acid = MadeFrom("Acid stock", "solution", (PartWanted(1, "ethanoic acid", D(2), MOLAR), WATER))
    part = PartWanted(1, "ethanoic acid", D("0.1"), MOLAR, made_from=acid)
    assert substances_of((part, WATER)) == ("ethanoic acid", "water")
    assert contents((part, WATER)) == (
        "ethanoic acid 0.1\u00a0mol/L (from “Acid stock”: ethanoic acid 2\u00a0mol/L, in water), in water"
    )
    assert {one.substance for one in plan_for(working(part)).hazards} == {"ethanoic acid"}


def test_a_stock_too_weak_is_a_sentence_in_the_plan_and_no_crash():
    plan = plan_for(working(PartWanted(1, "L-alanine", D(1), MOLAR, made_from=STOCK)))
    assert plan.measures == plan.stocks == ()
    assert "weaker than the 1\u00a0mol/L wanted" in plan.doubts[0]


def test_a_stock_by_mass_is_refused_in_a_sentence():
    parts = (
        PartWanted(1, "stock", D(1), PARTS_BY_MASS, made_from=STOCK),
        *recipe("1", basis=PARTS_BY_MASS, names=("water",)),
    )
    plan = plan_for(Wanted("x", "solution", parts, (Filling(D(100)),)))
    assert "is taken by volume; give it in parts by volume or % v/v" in plan.doubts[0]


def test_a_recipe_without_parts_has_no_lowest_terms():
    with pytest.raises(ImpossibleProportion, match="add up to nothing"):
        canonical(recipe("0", "0", "0"))
