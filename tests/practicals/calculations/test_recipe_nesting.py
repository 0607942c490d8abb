"""Recipes of a practical that are made from one another: read, ordered, and loops refused."""

import pytest

from practicals.calculations.practical_file import PracticalFileError, read_practical, shipped_practicals
from practicals.calculations.recipe_nesting import recipes_in_order, stock_problems

AMINO = shipped_practicals()["amino_acids_on_paper.toml"]
GLYCINE = 'substance = "glycine"\namount = 0.01\nbasis = "mol/L"\n'
STOCK = """
[[recipes]]
key = "glycine-stock"
title = "Glycine stock"
kind = "solution"
[[recipes.parts]]
substance = "glycine"
amount = 0.1
basis = "mol/L"
[[recipes.parts]]
substance = "water"
basis = "to volume"
"""


def nested(part=GLYCINE + 'recipe = "glycine-stock"\n', stock=STOCK):
    assert GLYCINE in AMINO
    return AMINO.replace(GLYCINE, part, 1) + stock


def problems(text):
    with pytest.raises(PracticalFileError) as caught:
        read_practical(text)
    return caught.value.problems


def test_a_solution_may_be_made_from_a_stock():
    practical = read_practical(nested())
    assert practical.recipe("glycine-solution").parts[0].recipe == "glycine-stock"
    order = [recipe.key for recipe in recipes_in_order(practical)]
    assert order.index("glycine-stock") < order.index("glycine-solution")
    assert len(order) == len(practical.recipes)
    assert list(stock_problems(practical)) == []


def test_a_stock_by_the_volume_needs_no_other_name():
    part = 'recipe = "glycine-stock"\namount = 10\nbasis = "% v/v"\n'
    first = read_practical(nested(part)).recipe("glycine-solution").parts[0]
    assert (first.substance, first.recipe, first.basis) == ("", "glycine-stock", "% v/v")


@pytest.mark.parametrize("basis", ["parts by mass", "mole parts", "% w/w", "% v/v"])
def test_every_basis_is_read(basis):
    text = (
        AMINO.replace('"parts by volume"', f'"{basis}"')
        if basis != "% w/w"
        else AMINO.replace("mol/L", basis)
    )
    assert any(part.basis == basis for recipe in read_practical(text).recipes for part in recipe.parts)


SELF = GLYCINE + 'recipe = "glycine-solution"\n'
BACK = STOCK.replace("amount = 0.1\n", 'amount = 0.1\nrecipe = "glycine-solution"\n')


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (nested(SELF), "“glycine-solution” is made from itself; a recipe cannot contain itself."),
        (
            nested(stock=BACK),
            "which is made from “glycine-solution”; a recipe cannot contain itself.",
        ),
        (nested(GLYCINE + 'recipe = "no-such"\n'), 'there is no recipe "no-such" to make it from.'),
        (nested(GLYCINE + "recipe = 3\n"), '"recipe" must be text in quotation marks'),
        (
            nested(GLYCINE.replace("0.01", "1") + 'recipe = "glycine-stock"\n'),
            "“Glycine stock” has 0.1\u00a0mol/L of glycine, weaker than the 1\u00a0mol/L",
        ),
        (
            nested(GLYCINE.replace("glycine", "L-leucine") + 'recipe = "glycine-stock"\n'),
            "“Glycine stock” has no L-leucine in it",
        ),
        (nested(GLYCINE.replace("mol/L", "% w/w") + 'recipe = "glycine-stock"\n'), "is taken by volume"),
        (nested('recipe = "glycine-stock"\namount = 0.01\nbasis = "mol/L"\n'), '"substance" is missing'),
        (nested('recipe = "glycine-stock"\namount = 110\nbasis = "% v/v"\n'), "cannot be above 100"),
    ],
)
def test_a_stock_that_cannot_serve_is_said_with_its_place(text, sentence):
    found = problems(text)
    assert any(sentence in problem for problem in found), found
