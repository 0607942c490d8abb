"""Warnings about published values. Figures: TB1, MEM1 and the orders of SOURCES.csv."""

from decimal import Decimal

import pytest

from practicals.calculations.published_system import PhasePart, is_system, printed_system
from practicals.calculations.reference_check import RfRange, plain_name, reference_warnings


def at(low, high=None):
    return RfRange(Decimal(low), Decimal(high or low))


@pytest.mark.parametrize(
    ("analyte", "rf", "word"),
    [
        ("cysteine", "0.08", "cystine"),  # TB1 prints 0.08 against cysteine
        ("L-Cystine", "0.40", "cysteine"),
        ("L-asparagine", "0.50", "near or below glycine"),  # rejected by SOY55, ABO71, ZIM68, WOE73
    ],
)
def test_known_mix_ups_are_named(analyte, rf, word):
    (warning,) = reference_warnings(analyte, at(rf), ())
    assert word in warning


@pytest.mark.parametrize(
    ("analyte", "rf"),
    [
        ("cysteine", "0.40"),
        ("cystine", "0.08"),
        ("asparagine", "0.22"),
        ("alanine", "0.38"),
        ("leucine", "0.73"),
    ],
)
def test_ordinary_values_pass_without_a_word(analyte, rf):
    assert reference_warnings(analyte, at(rf), ()) == ()


def test_far_from_other_sources_is_more_than_two_tenths_beyond_their_range():
    others = (at("0.30"), at("0.38"))
    assert reference_warnings("alanine", at("0.58"), others) == ()
    (high,) = reference_warnings("alanine", at("0.59"), others)
    (low,) = reference_warnings("alanine", at("0.09"), others)
    assert "0.3 to 0.38" in high
    assert "0.3 to 0.38" in low


def test_names_are_compared_without_capitals_and_configuration():
    assert plain_name("  L-Leucine ") == "leucine" == plain_name("leucine")


def parts(*rows):
    return [PhasePart(name, Decimal(amount) if amount else None, basis) for name, amount, basis in rows]


def test_a_system_is_the_same_in_any_order_and_multiple():
    volume = "parts by volume"
    baw = parts(("butan-1-ol", "6", volume), ("water", "2.5", volume), ("ethanoic acid", "1.5", volume))
    assert is_system("butan-1-ol/ethanoic acid/water", "12:3:5", parts=baw)
    assert not is_system("butan-1-ol/ethanoic acid/water", "4:1:5", parts=baw)
    assert not is_system("butan-1-ol/ethanoic acid/water", "not printed", parts=baw)
    assert printed_system(baw) == ("butan-1-ol/water/ethanoic acid", "6:2.5:1.5")


def test_a_solution_is_printed_as_solid_in_liquid():
    salt = parts(("sodium chloride", "0.1", "% w/v"), ("water", "", "to volume"))
    assert printed_system(salt) == ("sodium chloride in water", "0.1 % m/v")
    assert printed_system([]) is None
    assert printed_system(parts(("ethanol", "5", "mL"), ("water", "1", "parts by volume"))) is None
