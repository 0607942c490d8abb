from decimal import Decimal
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reagents.calculations.dilution import dilute, serial_dilution
from reagents.calculations.glassware import class_b_cylinders
from reagents.calculations.portions import flasks_and_cylinders, on_a_mark, pipettes_and_cylinders, taking
from reagents.calculations.solutions import ImpossibleSolution

D = Decimal
GLACIAL = (D("99.7"), "% w/w")
ACID = {"molar_mass": D("60.05"), "stock_density_g_per_ml": D("1.049")}


def test_two_molar_acid_from_glacial_printed_college_sheet():
    # Printed: 11.49 mL of 17.4 mol/L acid for 100 mL of 2 mol/L (source key partition_lab).
    found = dilute((D("17.4"), "mol/L"), (D(2), "mol/L"), D(100))
    assert round(found.exact, 2) == D("11.49")
    assert found.take is not None
    assert found.take.volume_ml == D("11.5")  # a division of the 25 mL graduated pipette
    assert round(found.strength, 3) == D("2.001")


def test_a_bottle_in_percent_by_mass_is_diluted_to_mol_per_litre():
    # Hand-worked: 10 x 99.7 x 1.049 / 60.05 = 17.416 mol/L; 200 / 17.416 = 11.48 mL.
    found = dilute(GLACIAL, (D(2), "mol/L"), D(100), **ACID)
    assert round(found.exact, 2) == D("11.48")
    assert found.remarks[0] == "The stock, 99.7\u00a0% w/w, is 17.42\u00a0mol/L."


def test_by_mass_openstax_chemistry_2e_nitric_acid():
    # OpenStax, Chemistry 2e, m68704: 400.0 g of 10.0 % HNO3 from 68.0 %: 58.8 g.
    found = dilute((D(68), "% w/w"), (D(10), "% w/w"), D(400), by_mass=True)
    assert (round(found.exact, 1), found.unit, found.take) == (D("58.8"), "g", None)


def test_acid_goes_into_water_and_the_water_is_not_measured():
    steps = dilute(GLACIAL, (D(2), "mol/L"), D(100), **ACID).steps
    assert "acid goes into water" in steps[0]
    assert "volumes do not add" in steps[2]


@pytest.mark.parametrize(
    ("call", "sentence"),
    [
        (
            lambda: dilute((D(1), "mol/L"), (D(2), "mol/L"), D(100)),
            "The stock has 1\u00a0mol/L, weaker than the 2\u00a0mol/L wanted",
        ),
        (lambda: dilute(GLACIAL, (D(2), "mol/L"), D(100), molar_mass=D(60)), "Its density is needed"),
        (
            lambda: dilute(GLACIAL, (D(2), "mol/L"), D(100), stock_density_g_per_ml=D("1.05")),
            "molar mass is needed",
        ),
        (lambda: dilute((D(120), "% w/w"), (D(2), "mol/L"), D(100), **ACID), "more than the whole"),
        (lambda: dilute((D(5), "mol/L"), (D(2), "mol/L"), D(0)), "volume must be above zero"),
        (lambda: dilute((D(5), "mol/L"), (D(2), "mol/L"), D(1_000_000_000)), "more than 100 L"),
        (lambda: dilute((D(0), "mol/L"), (D(2), "mol/L"), D(100)), "strength must be above zero"),
        (lambda: dilute((D(5), "ppm"), (D(2), "mol/L"), D(100)), "is no unit of strength"),
        (lambda: dilute((D(5), "mol/L"), (D(2), "% w/w"), D(100)), "is made by mass"),
        (lambda: dilute((D(5), "mol/L"), (D(2), "mol/L"), D(100), by_mass=True), "is made by mass"),
        (
            lambda: dilute((D(17), "mol/L"), (D("0.0001"), "mol/L"), D(10)),
            "make more, or dilute in two steps",
        ),
        (lambda: dilute((D(2), "mol/L"), (D(1), "mol/L"), D(9000)), "in several portions"),
        (lambda: serial_dilution(D(1), D(1), 3, D(50)), "not above 1"),
        (lambda: serial_dilution(D(1), D(2000), 3, D(50)), "use several steps"),
        (lambda: serial_dilution(D(1), D(2), 0, D(50)), "not between 1 and 12"),
        (lambda: serial_dilution(D(1), D(2), 13, D(50)), "not between 1 and 12"),
        (lambda: serial_dilution(D(1), D(2), 3, D(0)), "volume needed must be above zero"),
        (lambda: serial_dilution(D(1), D(2), 3, D(1500)), "holds 2000 mL at most"),
        (lambda: serial_dilution(D(-1), D(2), 3, D(50)), "strength must be above zero"),
        (lambda: serial_dilution(D(1), D("3.14159265"), 3, D(50)), "no two volumes here stand on a mark"),
    ],
)
def test_impossible_dilutions_are_refused_in_a_sentence(call, sentence):
    with pytest.raises(ImpossibleSolution, match=sentence):
        call()


def test_a_tenfold_series_by_hand():
    # Hand-worked: 50 mL needed takes 55.6 mL at least; a 10 mL pipette (0.04 mL), a 100 mL flask (0.2 mL),
    # class B, ISO 648 and ISO 1042 (from memory). u: 0.04/sqrt3/10 = 0.231 %, 0.2/sqrt3/100 = 0.115 %.
    found = serial_dilution(D("0.1"), D(10), 4, D(50))
    assert (found.take.volume_ml, found.fill.volume_ml, found.usable_ml) == (D(10), D(100), D(90))
    assert [step.strength for step in found.steps] == [D("0.01"), D("0.001"), D("0.0001"), D("0.00001")]
    assert found.steps[0].standard_percent == pytest.approx(sqrt(0.2309**2 + 0.1155**2), abs=0.001)
    assert found.steps[3].standard_percent == pytest.approx(
        sqrt((4 * 0.2309) ** 2 + 4 * 0.1155**2), abs=0.001
    )
    assert found.steps[3].expanded_percent == 2 * found.steps[3].standard_percent


factors = st.sampled_from(
    [D("1.5"), D(2), D("2.5"), D(3), D(4), D(5), D(8), D(10), D(20), D(25), D(50), D(100)]
)


@given(factors, st.integers(1, 8), st.integers(5, 400))
def test_every_volume_of_a_series_stands_on_a_mark_and_enough_is_left(factor, steps, needed):
    found = serial_dilution(D(1), factor, steps, D(needed))
    assert found.fill.volume_ml == found.take.volume_ml * factor
    assert found.usable_ml >= needed
    assert on_a_mark(found.take.volume_ml, pipettes_and_cylinders()) is not None
    assert on_a_mark(found.fill.volume_ml, flasks_and_cylinders()) is not None
    errors = [step.standard_percent for step in found.steps]
    assert errors == sorted(errors)


def test_the_stock_s_own_doubt_is_carried_along():
    sure, unsure = (serial_dilution(D(1), D(10), 2, D(50), stock_percent=u).steps[1] for u in (0.0, 3.0))
    assert unsure.standard_percent == pytest.approx(sqrt(sure.standard_percent**2 + 9))


def test_a_wasteful_series_is_questioned():
    assert "Several smaller steps waste less" in serial_dilution(D(1), D(1000), 2, D(10)).remarks[0]


@pytest.mark.parametrize(
    ("volume", "vessel"),
    [
        ("10", "10\u00a0mL one-mark pipette"),
        ("7.3", "10\u00a0mL graduated pipette"),
        ("60", "100\u00a0mL measuring cylinder"),
    ],
)
def test_the_vessel_that_takes_a_volume_best(volume, vessel):
    assert str(taking(D(volume)).vessel) == vessel


def test_below_a_third_of_a_scale_no_cylinder_is_offered_common_practice():
    # At least a third of the vessel: common practice, no source.
    hundred = [one for one in class_b_cylinders() if one.nominal_ml == 100]
    assert on_a_mark(D(15), hundred) is None
    assert on_a_mark(D(34), hundred) is not None


@pytest.mark.parametrize("volume", ["0", "-1", "NaN", "0.01"])
def test_a_volume_nothing_takes_is_refused(volume):
    with pytest.raises(ImpossibleSolution):
        taking(D(volume))
