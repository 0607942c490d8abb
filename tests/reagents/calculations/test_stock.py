"""Bottles on a shelf: which to take, what stands apart, what to order."""

from datetime import date, timedelta
from decimal import Decimal

import pytest

from reagents.calculations.stock import (
    Held,
    NotEnough,
    choices,
    condition,
    converted,
    form_factor,
    one_name,
    proposed,
    short_lived,
    spread,
)
from reagents.calculations.stock_need import Need, order_list
from reagents.calculations.storage import Stored, apart, clashes, misplaced, storage_classes
from reagents.calculations.tables import rows

TODAY = date(2026, 11, 24)


def bottle(key, *, name="butan-1-ol", left="500", ends=None, unit="mL", **more):
    expires_on = None if ends is None else TODAY + timedelta(days=ends)
    return Held(key, name, unit, Decimal(left), TODAY - timedelta(days=30), expires_on, **more)


# -- condition and choice


@pytest.mark.parametrize(
    ("left", "ends", "word"),
    [
        ("0", 90, "empty"),
        ("1", None, "no date"),
        ("1", -1, "expired"),
        ("1", 0, "ends soon"),
        ("1", 14, "ends soon"),
        ("1", 15, "in date"),
    ],
)
def test_condition_counts_the_date_itself_as_in_date_common_practice(left, ends, word):
    """'Use by' names the last day of use; common practice, no source."""
    assert condition(bottle(1, left=left, ends=ends), day=TODAY) == word


def test_first_to_expire_goes_first_common_practice():
    """First expired, first out; an opened bottle before a full one; common practice, no source."""
    shelf = [
        bottle(1, ends=-3),
        bottle(2),
        bottle(3, ends=90),
        bottle(4, ends=20),
        bottle(5, ends=20, opened=True),
    ]
    assert [one.key for one in choices(shelf, "n-butanol", day=TODAY)] == [5, 4, 3, 2, 1]
    assert proposed(shelf, "butan-1-ol", day=TODAY).key == 5


def test_an_expired_bottle_is_never_proposed():
    shelf = [bottle(1, ends=-1)]
    assert proposed(shelf, "butan-1-ol", day=TODAY) is None
    assert [one.key for one in choices(shelf, "butan-1-ol", day=TODAY)] == [1]


def test_an_empty_bottle_is_no_choice():
    assert choices([bottle(1, left="0")], "butan-1-ol", day=TODAY) == ()


def test_a_substance_is_found_by_any_of_its_names():
    assert one_name("glacial acetic acid") == one_name("64-19-7") == "ethanoic acid"
    assert one_name("  Some  Dye ") == "some dye"


# -- more than one bottle


def test_what_the_first_bottle_lacks_comes_from_the_next_in_date():
    chosen = bottle(1, left="20", ends=5)
    taken = spread(Decimal(50), chosen, [chosen, bottle(2, ends=-1), bottle(3, ends=60)], day=TODAY)
    assert [(one.key, one.amount) for one in taken] == [(1, 20), (3, 30)]


@pytest.mark.parametrize(
    "other", [bottle(2, ends=-1), bottle(2, name="water"), bottle(2, form="hydrate"), bottle(2, unit="g")]
)
def test_nothing_else_stands_in_for_it(other):
    with pytest.raises(NotEnough, match=r"holds 20\xa0mL .* by its record"):
        spread(Decimal(50), bottle(1, left="20"), [other], day=TODAY)


# -- forms, purity, units


def test_hydrochloride_molar_masses_iupac():
    """L-lysine C6H14N2O2 146.190 and its hydrochloride C6H15ClN2O2 182.65 g/mol by IUPAC CIAAW, abridged
    atomic weights (C 12.011, H 1.008, N 14.007, O 15.999, Cl 35.45): 182.65/146.19 = 1.2494."""
    assert round(form_factor("lysine", "hydrochloride", None), 4) == Decimal("1.2494")
    assert form_factor("lysine", "", None) == 1


def test_purity_divides():
    """m = m0 / purity: 98 % pure takes 1.0204 times as much. Hand-worked."""
    assert round(form_factor("glycine", "", Decimal(98)), 4) == Decimal("1.0204")


def test_mass_and_volume_by_density():
    """Butan-1-ol 0.81 g/mL at 20 C (ICSC 0111, relative density 0.81): 100 mL weigh 81 g."""
    assert round(converted(Decimal(100), "butan-1-ol", unit="mL", to="g")) == 81
    assert round(converted(Decimal(81), "butan-1-ol", unit="g", to="mL")) == 100
    assert converted(Decimal(1), "glycine", unit="g", to="mL") is None


# -- what spoils


def test_aspartame_and_cysteine_carry_a_date():
    """Aspartame: half-life of days at pH 7 (`aspartame_sol` in SOURCES.csv); cysteine oxidises to cystine."""
    assert short_lived("aspartame").solution_days == 7
    assert short_lived("cysteine").solution_days == 1
    assert short_lived("glycine") is None


# -- what stands apart


@pytest.mark.parametrize(
    "pair", [("acid", "base"), ("oxidising", "flammable"), ("acid", "oxidising"), ("toxic", "acid")]
)
def test_classes_that_a_published_guide_parts(pair):
    """Segregation of chemicals, fitreach.eu (`segregation` in SOURCES.csv): acids from bases and oxidisers,
    oxidisers from flammable substances, toxic ones apart from corrosives."""
    assert apart(*pair)[0]
    assert apart(*reversed(pair)) == apart(*pair)


def test_the_table_names_classes_that_exist():
    known = {"flammable", "acid", "base", "oxidising", "toxic", "cold", "general"}
    for row in rows("storage_apart"):
        assert {row["first"], row["second"]} <= known


def test_ethanoic_acid_is_both_flammable_and_corrosive_annex_vi():
    """CLP Annex VI, index 607-002-00-6: H226 and H314."""
    assert storage_classes("glacial acetic acid") == ("acid", "flammable")
    assert storage_classes("ammonia solution 35 %") == ("base",)
    assert storage_classes("ethanol") == ("flammable",)
    assert storage_classes("glycine") == ()


def test_acid_and_ammonia_on_one_shelf_clash_whatever_they_are_filed_under():
    found = clashes(
        [
            Stored("ethanoic acid", "Shelf 1", "general"),
            Stored("ammonia solution 35 %", " shelf  1", "general"),
            Stored("ethanol", "Shelf 2", "flammable"),
        ]
    )
    assert [one.place for one in found] == ["Shelf 1"]
    assert "ammonia solution 35 % and ethanoic acid stand together" in found[0].sentence


def test_two_of_a_kind_do_not_clash():
    assert clashes([Stored("ethanol", "A", "flammable"), Stored("propanone", "A", "flammable")]) == ()
    assert clashes([Stored("ethanol", "A", "flammable"), Stored("ammonia solution 35 %", "B", "base")]) == ()


def test_a_flammable_liquid_in_a_cold_store_is_questioned():
    """Never in a refrigerator unless it is known to be spark-proof (`cold_flammable` in SOURCES.csv); pure
    ethanoic acid freezes at 16.6 C (`aq_density`)."""
    assert "spark-free" in misplaced("ethanol", "cold")[0]
    assert "freezes near 16.6 °C" in misplaced("ethanoic acid", "cold")[1]
    assert misplaced("ethanol", "flammable") == ()
    assert "kept with flammable liquids" in misplaced("ethanol", "general")[0]
    assert misplaced("glycine", "general") == ()


# -- what to order


def need(amount, days, *, name="butan-1-ol", unit="mL"):
    return Need(name, unit, Decimal(amount), TODAY + timedelta(days=days), f"Liquid of day {days}")


def test_a_fortnight_is_set_against_the_shelf():
    """Hand-worked: 200 + 200 + 200 mL needed, 500 mL there: 100 mL short, from the third day on."""
    (line,) = order_list([need("200", 1), need("200", 3), need("200", 9)], [bottle(1)], day=TODAY)
    assert (line.needed, line.usable, line.short, line.to_order) == (600, 500, 100, 100)
    assert line.short_from == TODAY + timedelta(days=9)


def test_expired_stock_covers_nothing():
    (line,) = order_list([need("100", 1)], [bottle(1, ends=-1)], day=TODAY)
    assert (line.usable, line.expired, line.short) == (0, 500, 100)


def test_a_bottle_that_ends_before_the_day_covers_nothing_that_day():
    (line,) = order_list([need("100", 1), need("100", 9)], [bottle(1, ends=4)], day=TODAY)
    assert line.short == 100
    assert "A bottle ends on Sat 28 Nov" in line.remarks[0]


def test_salts_count_as_the_substance():
    """5 g of the hydrochloride are 5/1.2494 = 4.002 g of lysine (molar masses as above)."""
    salt = bottle(1, name="L-lysine", left="5", unit="g", form="hydrochloride")
    (line,) = order_list([need("5", 1, name="L-lysine", unit="g")], [salt], day=TODAY)
    assert round(line.usable, 3) == Decimal("4.002")
    assert round(line.short, 3) == Decimal("0.998")


def test_water_is_not_ordered_common_practice():
    """From the still or the cartridge; common practice, no source."""
    assert order_list([need("5000", 1, name="distilled water")], [], day=TODAY) == ()


def test_what_is_short_stands_first_and_is_rounded_up():
    enough, short = order_list([need("10", 1), need("123.4", 2, name="ethanol")], [bottle(1)], day=TODAY)[
        ::-1
    ]
    assert (short.substance, short.to_order) == ("ethanol", Decimal(130))
    assert (enough.substance, enough.to_order) == ("butan-1-ol", 0)
