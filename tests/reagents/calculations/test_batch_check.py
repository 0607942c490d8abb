"""Deviation of a batch, its total, what it really is, and its code; all hand-worked."""

from datetime import date
from decimal import Decimal
from random import Random

import pytest

from reagents.calculations.batch_check import (
    Amount,
    ImpossibleBatch,
    against_recipe,
    as_made,
    batch_total_ml,
    deviation,
    recipe_verdict,
    state_of,
    vessel_names,
)
from reagents.calculations.batch_code import LETTERS, MONTHS, batch_code


def amount(substance, basis, unit, wanted, measured, recipe=None):
    return Amount(
        substance, basis, unit, Decimal(wanted), Decimal(measured), Decimal(recipe) if recipe else None
    )


def baw(butanol="204", water="85", acid="51"):
    return [
        amount("butan-1-ol", "parts by volume", "mL", "204", butanol, "6"),
        amount("water", "parts by volume", "mL", "85", water, "2.5"),
        amount("ethanoic acid", "parts by volume", "mL", "51", acid, "1.5"),
    ]


@pytest.mark.parametrize(
    ("measured", "percent", "verdict"),
    # A class B cylinder of 100 mL may be off by 1 mL (ISO 4788, from memory).
    [
        ("51", "0.0", "as wanted"),
        ("52", "2.0", "within"),
        ("50", "-2.0", "within"),
        ("53", "3.9", "more"),
        ("0", "-100.0", "more"),
    ],
)
def test_a_volume_is_held_to_what_its_cylinder_can_measure(measured, percent, verdict):
    found = deviation(baw(acid=measured)[2])
    assert (found.percent, found.verdict) == (Decimal(percent), verdict)


@pytest.mark.parametrize(
    ("measured", "verdict"),
    # 2 x 0.001/sqrt(6) = 0.0008 g on the 0.001 g balance that 0.2 g needs.
    [("0.200", "as wanted"), ("0.2008", "within"), ("0.201", "more")],
)
def test_a_mass_is_held_to_its_balance(measured, verdict):
    assert deviation(amount("ninhydrin", "% w/v", "g", "0.2", measured)).verdict == verdict


def test_what_makes_up_the_rest_by_mass_is_weighed_and_not_filled_up_to():
    # Hand-worked: 99.82 g of water is 100 mL (0.9982 g/mL); 5.25 of 105.07 g is the share of glycine wanted.
    by_mass = [
        Amount("glycine", "% w/w", "g", Decimal("5.25"), Decimal("5.25"), Decimal(5)),
        Amount("water", "to volume", "g", Decimal("99.82"), Decimal("99.82")),
    ]
    assert batch_total_ml(by_mass) == 100
    assert [one.percent for one in against_recipe(by_mass, Decimal(5))] == [0, 0]


def test_the_total_is_the_sum_of_liquids_or_what_it_was_filled_up_to():
    assert batch_total_ml(baw()) == 340
    filled = [
        amount("ethanoic acid", "mol/L", "mL", "11.5", "11.5"),
        amount("water", "to volume", "mL", "100", "102"),
    ]
    assert batch_total_ml(filled) == 102
    with pytest.raises(ImpossibleBatch):
        batch_total_ml(baw("0", "0", "0"))


def test_the_ratio_as_made():
    """60 mL acid in place of 51 makes 349 mL: 204, 85, 60 over 34.9 are 5.85, 2.44 and 1.72 parts of 10."""
    assert (
        as_made(baw(acid="60"))
        == "As made, butan-1-ol : water : ethanoic acid is 5.85 : 2.44 : 1.72 by volume."
    )
    assert "6 : 2.5 : 1.5" in as_made(baw())
    assert as_made(baw("0", "0", "0")) == ""


def test_the_strength_as_made():
    """0.21 g for 0.20 and 105 mL for 100 cancel: 0.2 %."""
    amounts = [
        amount("ninhydrin", "% w/v", "g", "0.20", "0.21", "0.2"),
        amount("ethanol", "to volume", "mL", "100", "105"),
    ]
    assert as_made(amounts).replace("\u00a0", " ") == "As made: ninhydrin 0.2 % w/v."


@pytest.mark.parametrize(
    ("own", "day_needed", "day_made", "state"),
    [
        ("0", "340", "0", "to make"),
        ("340", "340", "340", "made"),
        ("337", "340", "337", "made"),
        ("200", "340", "200", "partly made"),
        ("0", "680", "680", "covered"),
        ("0", "680", "340", "to make"),
    ],
)
def test_what_is_still_to_make(own, day_needed, day_made, state):
    found = state_of(
        needed_ml=Decimal(340),
        own_ml=Decimal(own),
        day_needed_ml=Decimal(day_needed),
        day_made_ml=Decimal(day_made),
    )
    assert found == state


def test_codes_hold_nothing_that_is_misread():
    assert not set("0O1IL2Z5S6G8BUV") & set(LETTERS + MONTHS) - {"6"}
    assert "6" in LETTERS
    assert len(MONTHS) == len(set(MONTHS)) == 12
    assert batch_code(date(2026, 11, 24), Random(1)).startswith("24P-")
    assert len({batch_code(date(2026, 11, 24), Random(seed)) for seed in range(50)}) > 45


def named(measured, vessel, unit="mL", wanted="15"):
    return Amount("ethanoic acid", "parts by volume", unit, Decimal(wanted), Decimal(measured), vessel=vessel)


@pytest.mark.parametrize(
    ("vessel", "verdict"),
    # Class B limits (ISO 4788, from memory): 25 mL 0.5 mL, 100 mL 1 mL.
    [
        ("25 mL measuring cylinder", "more"),
        ("100 mL  Measuring Cylinder", "within"),
        ("my cup", "more"),
        ("", "more"),
    ],
)
def test_the_vessel_really_used_counts(vessel, verdict):
    assert deviation(named("15.8", vessel)).verdict == verdict


def test_a_vessel_filled_twice_adds_its_limits():
    """Two fills of a 10 mL class B cylinder: 2 x 0.2 mL (ISO 4788, from memory)."""
    found = deviation(named("15.3", "10 mL measuring cylinder"))
    assert found.verdict == "within"
    assert "filled 2 times" in found.sentence


def test_the_balance_really_used_counts():
    """Two rounded readings, k = 2: 0.0816 g on a 0.1 g balance, 0.0008 g on a 0.001 g one (JCGM 100)."""
    assert deviation(named("0.25", "0.1 g balance", "g", "0.20")).verdict == "within"
    assert deviation(named("0.25", "0,001 g balance", "g", "0.20")).verdict == "more"
    assert deviation(named("0.25", "0 g balance", "g", "0.20")).verdict == "more"
    assert "0.1\u00a0g balance" in vessel_names()


def test_a_mixture_is_judged_by_shares():
    """Hand-worked: all parts 10 % up change nothing; 60 mL acid for 51 in 349 mL is 60/349 against 51/340."""
    assert [one.percent for one in against_recipe(baw("224.4", "93.5", "56.1"), Decimal(5))] == [0, 0, 0]
    found = against_recipe(baw(acid="60"), Decimal(5))
    assert [str(one.percent) for one in found] == ["-2.6", "-2.6", "14.6"]
    assert [one.within for one in found] == [True, True, False]
    assert recipe_verdict(found, Decimal(5)).startswith("Beyond the recipe's ± 5\u00a0%: ethanoic acid.")


def test_a_solution_is_judged_by_its_strength():
    """Hand-worked: 0.21 g for 0.20 is 5 % up; in 105 mL for 100 it is right."""
    right = [
        amount("ninhydrin", "% w/v", "g", "0.20", "0.21", "0.2"),
        amount("ethanol", "to volume", "mL", "100", "105"),
    ]
    found = against_recipe(right, Decimal(1))
    assert [one.percent for one in found] == [0, None]
    assert "Every part lies within" in recipe_verdict(found, Decimal(1))
    strong = against_recipe([right[0], amount("ethanol", "to volume", "mL", "100", "100")], Decimal("4.9"))
    assert (strong[0].percent, strong[0].within) == (5, False)


def test_weighed_liquids_have_a_volume():
    """Water 0.9982 g/mL at 20 C (IAPWS): 99.82 g are 100 mL."""
    weighed = [amount("water", "parts by mass", "g", "99.82", "99.82", "1")]
    assert batch_total_ml(weighed) == 100
