from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reagents.calculations.glassware import (
    NoVessel,
    balance_check,
    choose_cylinder,
    class_b_cylinders,
    measuring,
    round_up_keeping_ratio,
    round_up_to_measurable,
    tolerance,
    vessels,
)
from reagents.calculations.proportions import Part


def cylinder(nominal_ml):
    return next(v for v in class_b_cylinders() if v.nominal_ml == nominal_ml)


@pytest.mark.parametrize(
    ("volume_ml", "nominal_ml"),
    [("60", 100), ("15", 25), ("25", 25), ("25.1", 50), ("165", 250), ("2000", 2000)],
)
def test_the_smallest_cylinder_that_takes_it_in_one_fill_common_practice(volume_ml, nominal_ml):
    # Smallest vessel, one fill, at least a third of it: common practice, no source.
    assert choose_cylinder(Decimal(volume_ml)).nominal_ml == nominal_ml


@given(st.decimals(min_value=Decimal("1.7"), max_value=2000, places=2))
def test_the_cylinder_is_filled_to_a_third_at_least_and_none_smaller_would_do(volume):
    chosen = choose_cylinder(volume)
    assert chosen.nominal_ml / 3 <= volume <= chosen.nominal_ml
    assert all(v.nominal_ml < volume for v in class_b_cylinders() if v.nominal_ml < chosen.nominal_ml)


@pytest.mark.parametrize(
    ("volume_ml", "sentence"),
    [
        ("0", "must be above 0 mL"),
        ("-5", "must be above 0 mL"),
        ("NaN", "must be above 0 mL"),
        ("1.5", "fills less than a third of a 5\u00a0mL measuring cylinder; use a graduated pipette"),
        ("2001", "is more than a 2000\u00a0mL measuring cylinder takes in one fill"),
    ],
)
def test_a_volume_no_cylinder_measures_is_refused_in_a_sentence(volume_ml, sentence):
    with pytest.raises(NoVessel, match=sentence):
        choose_cylinder(Decimal(volume_ml))


def test_only_cylinders_in_the_prep_room_are_offered():
    with pytest.raises(NoVessel, match="fills less than a third of a 100\u00a0mL"):
        choose_cylinder(Decimal(15), [cylinder(100)])
    with pytest.raises(NoVessel, match="more than any cylinder here takes"):
        choose_cylinder(Decimal(15), [])


@given(st.decimals(min_value=Decimal("1.7"), max_value=2000, places=3))
def test_rounding_up_never_gives_less_nor_a_whole_division_more(volume):
    vessel = choose_cylinder(volume)
    rounded = round_up_to_measurable(volume, vessel)
    assert vessel.division_ml is not None
    assert volume <= rounded < volume + vessel.division_ml
    assert rounded % vessel.division_ml == 0
    assert rounded <= vessel.nominal_ml


def test_a_measurable_volume_stays_as_it_is():
    assert round_up_to_measurable(Decimal("12.5"), cylinder(25)) == Decimal("12.5")


def test_a_volume_beyond_the_vessel_or_without_scale_is_refused():
    with pytest.raises(NoVessel, match="more than a 25\u00a0mL"):
        round_up_to_measurable(Decimal(26), cylinder(25))
    flask = next(v for v in vessels() if v.item == "one-mark volumetric flask")
    with pytest.raises(NoVessel, match="one mark only"):
        round_up_to_measurable(Decimal(1), flask)


@pytest.mark.parametrize(
    ("volume_ml", "nominal_ml", "percent"),
    [(60, 100, 0.96), (15, 25, 1.9), (25, 25, 1.2), (15, 100, 3.8), (25, 100, 2.3)],
)
def test_standard_uncertainty_hand_worked(volume_ml, nominal_ml, percent):
    # Hand-worked as a/sqrt(3) (JCGM 100:2008, 4.3.7) with class B limits of ISO 4788 from memory; two digits.
    found = tolerance(Decimal(volume_ml), cylinder(nominal_ml))
    assert found.standard_percent == pytest.approx(percent, abs=0.05)
    assert found.expanded_percent == pytest.approx(2 * found.standard_percent)


def test_more_than_the_fills_take_has_no_tolerance():
    with pytest.raises(NoVessel):
        tolerance(Decimal(101), cylinder(100))


def test_class_b_limits_of_the_other_standard_astm_e1272_table_1():
    # ASTM E1272-02(2012), Table 1, class B, 10 to 500 mL: 0.20, 0.34, 0.50, 1.00, 2.00, 4.00 mL.
    printed = {10: "0.20", 25: "0.34", 50: "0.50", 100: "1.00", 250: "2.00", 500: "4.00"}
    shipped = {v.nominal_ml: v.limit_ml for v in vessels() if "ASTM" in v.standard and v.grade == "B"}
    assert {n: shipped[Decimal(n)] for n in printed} == {n: Decimal(limit) for n, limit in printed.items()}


def test_a_large_volume_is_measured_in_equal_fills_whose_limits_add():
    found = measuring(Decimal(4100))
    assert (found.fills, found.vessel.nominal_ml, found.per_fill_ml) == (3, Decimal(2000), Decimal(1380))
    assert found.measured_ml == 4140
    assert found.tolerance.limit_ml == 3 * found.vessel.limit_ml


def test_a_small_volume_is_measured_with_a_graduated_pipette():
    found = measuring(Decimal("1.234"))
    assert (found.vessel.item, found.vessel.nominal_ml) == ("graduated pipette", Decimal(2))
    assert found.measured_ml == Decimal("1.24")


def test_a_drop_is_refused():
    with pytest.raises(NoVessel, match="make more of the mixture"):
        measuring(Decimal("0.1"))


@given(st.decimals(min_value=Decimal("0.4"), max_value=100_000, places=2))
def test_every_volume_of_a_prep_room_can_be_measured(volume):
    assert measuring(volume).measured_ml >= volume


@pytest.mark.parametrize(("d", "smallest"), [("0.01", "0.82"), ("0.001", "0.082"), ("0.1", "8.2")])
def test_least_mass_for_one_percent_hand_worked(d, smallest):
    # Hand-worked: two readings rounded to d give u = d/sqrt(6) (JCGM 100:2008, 4.3.7): 82 d for 1 % at k = 2.
    assert balance_check(Decimal(smallest), Decimal(d)).enough
    assert balance_check(Decimal(smallest), Decimal(d)).expanded_percent == pytest.approx(1, abs=0.005)
    assert not balance_check(Decimal(smallest) - Decimal(d), Decimal(d)).enough


@pytest.mark.parametrize(("d", "percent"), [("0.01", 4), ("0.1", 41)])
def test_a_fifth_of_a_gram_of_ninhydrin_hand_worked(d, percent):
    # Hand-worked as above: 4 % on a 0.01 g balance, 41 % on a 0.1 g balance.
    found = balance_check(Decimal("0.20"), Decimal(d))
    assert round(found.expanded_percent) == percent
    assert f"uncertain by about {percent} %" in found.sentence
    assert "make a stronger stock and dilute it" in found.sentence


@pytest.mark.parametrize(("mass", "d"), [("0", "0.01"), ("-1", "0.01"), ("1", "0"), ("NaN", "0.01")])
def test_no_mass_or_no_balance_is_refused(mass, d):
    with pytest.raises(ValueError, match="must be above 0 g"):
        balance_check(Decimal(mass), Decimal(d))


def recipe(*numbers):
    return [Part(f"liquid {place}", Decimal(number)) for place, number in enumerate(numbers)]


@pytest.mark.parametrize(
    ("numbers", "total", "volumes"),
    [
        (("12", "3", "5"), 275, ["168", "42", "70"]),
        (("6", "1.5", "2.5"), 275, ["168", "42", "70"]),
        (("6", "1.5", "2.5"), 100, ["60", "15", "25"]),
    ],
)
def test_rounding_up_the_total_keeps_the_ratio_hand_worked(numbers, total, volumes):
    # Hand-worked: 12u on a 2 mL division, 3u and 5u on 1 mL, 20u >= 275 leave u = 14; no outside source.
    shares = round_up_keeping_ratio(recipe(*numbers), Decimal(total))
    assert [share.volume_ml for share in shares or []] == [Decimal(volume) for volume in volumes]


@settings(deadline=None)
@given(st.lists(st.integers(1, 20), min_size=2, max_size=4), st.integers(50, 5000))
def test_a_ratio_kept_is_exact_measurable_and_enough(numbers, total):
    try:
        shares = round_up_keeping_ratio(recipe(*numbers), Decimal(total))
    except NoVessel:
        return
    if shares is None:
        return
    made = sum((share.volume_ml for share in shares), Decimal(0))
    assert total <= made <= total * Decimal("1.25")
    for share in shares:
        assert share.volume_ml * sum(numbers) == share.parts * made
        assert measuring(share.volume_ml).measured_ml == share.volume_ml


def test_a_ratio_no_vessel_shows_is_left_to_rounding_each_part():
    assert round_up_keeping_ratio(recipe("97", "89"), Decimal(30)) is None
