"""Deviation of a batch, its total, what it really is, and its code; all hand-worked."""

from datetime import date
from decimal import Decimal
from random import Random

import pytest

from reagents.calculations.batch_check import (
    Amount,
    ImpossibleBatch,
    as_made,
    batch_total_ml,
    deviation,
    state_of,
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
