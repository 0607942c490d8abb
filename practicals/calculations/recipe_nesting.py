"""The recipes of a practical that are made from one another: in which order, and what is wrong with them."""

from collections.abc import Iterator
from decimal import Decimal

from practicals.calculations.practical_definition import PracticalDefinition, Recipe, RecipePart
from reagents.calculations.preparation import MadeFrom, PartWanted
from reagents.calculations.recipe_tree import RecipeLoop, making_order, stock_volume_ml
from reagents.calculations.solutions import ImpossibleSolution

_BY_VOLUME = ("parts by volume", "% v/v")
_TO_A_STRENGTH = ("% w/v", "mol/L")
_ANY_ML = Decimal(100)


def recipes_in_order(practical: PracticalDefinition) -> tuple[Recipe, ...]:
    """The recipes, each after those that it is made from.

    Parameters
    ----------
    practical : PracticalDefinition
        The practical; its recipes have different keys [-].

    Returns
    -------
    tuple of Recipe
        Every recipe once.

    Raises
    ------
    RecipeLoop
        When a recipe contains itself, directly or through others.

    References
    ----------
    .. [1] `reagents.calculations.recipe_tree.making_order`.
    """
    order = making_order({recipe.key: _stocks(recipe) for recipe in practical.recipes})
    return tuple(practical.recipe(key) for key in order)


def stock_problems(practical: PracticalDefinition) -> Iterator[str]:
    """What is wrong with the parts that are made from other recipes.

    Parameters
    ----------
    practical : PracticalDefinition
        The practical [-].

    Yields
    ------
    str
        A sentence with where it is: no such recipe, a recipe that contains itself, a stock that is too weak
        or does not hold the substance, a basis that says no volume.

    References
    ----------
    .. [1] `reagents.calculations.recipe_tree`.
    """
    known = {recipe.key: recipe for recipe in practical.recipes}
    missing = [
        f'recipes ({recipe.key}): there is no recipe "{key}" to make it from.'
        for recipe in practical.recipes
        for key in _stocks(recipe)
        if key not in known
    ]
    if missing or len(known) < len(practical.recipes):
        yield from missing
        return
    try:
        recipes_in_order(practical)
    except RecipeLoop as loop:
        yield f"recipes ({loop.loop[0]}): {loop}"
        return
    for recipe in practical.recipes:
        for part in recipe.parts:
            if part.recipe:
                yield from _unfit(known, recipe, part)


def _stocks(recipe: Recipe) -> tuple[str, ...]:
    return tuple(part.recipe for part in recipe.parts if part.recipe)


def _unfit(known: dict[str, Recipe], recipe: Recipe, part: RecipePart) -> Iterator[str]:
    if part.basis in _TO_A_STRENGTH:
        try:
            stock_volume_ml(_wanted(known, 1, part), _ANY_ML)
        except ImpossibleSolution as trouble:
            yield f"recipes ({recipe.key}): {trouble}"
    elif part.basis not in _BY_VOLUME:
        yield (
            f'recipes ({recipe.key}): "{part.recipe}" is taken by volume; give it in "parts by volume", '
            '"% v/v", "% w/v" or "mol/L".'
        )


def _wanted(known: dict[str, Recipe], key: int, part: RecipePart) -> PartWanted:
    """The part as the prep room reads it; there is no loop any more."""
    made_from = None
    if part.recipe:
        stock = known[part.recipe]
        parts = tuple(_wanted(known, place, one) for place, one in enumerate(stock.parts))
        made_from = MadeFrom(stock.title, stock.kind, parts)
    return PartWanted(key, part.substance, part.amount, part.basis, made_from=made_from)
