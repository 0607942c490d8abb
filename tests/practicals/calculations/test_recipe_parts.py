"""What no recipe of a practical can hold."""

from decimal import Decimal

import pytest

from practicals.calculations.practical_definition import RecipePart
from practicals.calculations.recipe_parts import mistyped_cas, part_problems


def part(substance, amount, basis="% v/v", recipe=""):
    return RecipePart(substance=substance, amount=Decimal(amount), basis=basis, recipe=recipe)


@pytest.mark.parametrize("named", ["butan-1-ol", "71-36-3", "7732-18-5"])
def test_a_name_and_a_right_cas_number_pass(named):
    # CAS numbers of butan-1-ol and water; check digit: CAS rule of the weighted sum, worked by hand.
    assert mistyped_cas(named) == ""


def test_a_wrong_check_digit_is_said_with_the_right_one():
    assert "its last digit should be 3" in mistyped_cas("71-36-4")


def test_more_than_the_whole_is_said():
    assert list(part_problems([part("ethanol", 70), part("water", 30)])) == []
    assert "add up to 110 %" in next(part_problems([part("ethanol", 70), part("water", 40)]))


def test_one_substance_twice_is_said_unless_it_comes_from_a_stock():
    assert "2 times" in next(part_problems([part("Water", 3), part("water", 4)]))
    assert not list(part_problems([part("glycine", 1, "mol/L", "stock"), part("glycine", 1, "mol/L")]))
