from decimal import Decimal

import pytest

from reagents.calculations.flash_point import activities, estimate_flash, flammable, flash_point_c, fuels
from reagents.calculations.hazard_terms import Component, ingredients_of
from reagents.calculations.vapour import saturated_percent, vapour_pressure_kpa


def mix(**percent):
    names = {"butanol": "butan-1-ol", "acid": "ethanoic acid", "unknown": "mystery"}
    return ingredients_of([Component(names.get(n, n), Decimal(str(p)) / 100) for n, p in percent.items()])


# Source `ethanol_flash`: flash points of ethanol and water by weight, an engineering reference site, read.
PRINTED = {5: 62, 10: 49, 20: 36, 30: 29, 40: 26, 50: 24, 60: 22, 70: 21, 80: 20, 90: 17, 96: 17}


@pytest.mark.parametrize(("percent", "printed"), PRINTED.items())
def test_the_estimate_errs_to_the_cautious_side_of_printed_figures_for_ethanol_and_water(percent, printed):
    estimate = estimate_flash(mix(ethanol=percent, water=100 - percent)).flash_c
    assert printed - 10 <= estimate <= printed


@pytest.mark.parametrize("name", sorted(set(fuels()) - {"petroleum ether 40-60"}))
def test_a_pure_liquid_flashes_at_its_own_flash_point(name):
    assert flash_point_c({name: Decimal(1)}) == pytest.approx(fuels()[name].flash_low_c, abs=Decimal("0.15"))


@pytest.mark.parametrize(
    ("shares", "low", "high"),
    [
        # Computed for this project by Le Chatelier with UNIFAC (source `flash_le_chatelier`): checks that the
        # cautious estimate stays at or below it and in the same category, not that it is true.
        ((54.4, 17.6, 28.0), 38.6, 44.4),
        ((61.3, 19.8, 18.9), 37.6, 43.2),
        ((53, 12, 35), 38.3, 44.3),
        ((9, 10, 81), 38.9, 45.2),
    ],
)
def test_butanol_mixtures_stay_below_the_fuller_estimate(shares, low, high):
    butanol, acid, water = shares
    estimate = estimate_flash(mix(butanol=butanol, acid=acid, water=water))
    assert 23 <= estimate.flash_c <= Decimal(str(low))
    assert f"{low} to {high} °C" in estimate.second_opinion
    assert "no measured value" in estimate.second_opinion


def test_a_trace_in_a_solvent_has_the_solvents_flash_point():
    assert (
        estimate_flash(mix(ethanol="99.75", ninhydrin="0.25")).sentence == "Taken as that of ethanol: 12 °C."
    )


def test_categories_clp_table_2_6_1():
    # CLP Annex I, Table 2.6.1: 23 and 60 °C, boiling from 35 °C down.
    assert flammable(mix(ethanol=100)).codes == ("H225",)
    assert flammable(mix(butanol=100)).codes == ("H226",)
    assert flammable(mix(acid=12, water=88)).codes == ()
    assert flammable(mix(water=100)) is None


def test_category_3_may_only_be_left_with_a_test_in_hand():
    assert "no such test is known here" in flammable(mix(butanol=100)).conclusion


def test_where_nothing_can_be_told_the_most_severe_ingredient_counts():
    reason = flammable(mix(ethanol=2, butanol=10, unknown=88))
    assert "No flash point can be told here" in reason.conclusion
    assert reason.codes == ("H225",)
    assert reason.total is None
    assert reason.status == "from memory"


def test_a_little_unknown_does_not_stop_the_estimate():
    assert flammable(mix(ethanol=95, unknown=5)).total == pytest.approx(Decimal(12), abs=Decimal("0.2"))


def test_activities_never_pass_the_whole():
    moles = {"butan-1-ol": Decimal("0.3"), "ethanol": Decimal("0.3"), "water": Decimal("0.4")}
    assert sum(activities(moles).values()) <= Decimal("1.0000001")
    assert activities({"water": Decimal(1)}) == {}


@pytest.mark.parametrize(
    ("name", "mmhg"),
    [
        # US EPA example figure for butan-1-ol 4.74 mmHg; NIOSH pocket guide for the others at 20 °C: both
        # from memory, hence the wide tolerance.
        ("butan-1-ol", "4.74"),
        ("ethanol", "44"),
        ("propanone", "180"),
        ("propan-2-ol", "33"),
        ("ethanoic acid", "11"),
        ("n-hexane", "124"),
        ("butyl ethanoate", "10"),
    ],
)
def test_vapour_pressures_at_20_degrees_from_memory(name, mmhg):
    kpa = Decimal(mmhg) * Decimal("0.133322")
    assert vapour_pressure_kpa(name, Decimal(20)) == pytest.approx(kpa, rel=Decimal("0.1"))


def test_saturated_vapour_at_20_degrees_against_flammable_limits():
    # Butan-1-ol and the acid stay below their lower limits (1.4 and 4.0 %); ethanol and propan-2-ol stand
    # inside their ranges, propanone above its upper limit of 14.3 % (IEC 60079-20-1 through a library).
    assert saturated_percent("butan-1-ol", Decimal(20)) < Decimal("1.4")
    assert saturated_percent("ethanoic acid", Decimal(20)) < 4
    assert Decimal("3.1") < saturated_percent("ethanol", Decimal(20)) < 19
    assert 2 < saturated_percent("propan-2-ol", Decimal(20)) < Decimal("12.7")
    assert saturated_percent("propanone", Decimal(20)) > Decimal("14.3")


def test_vapour_pressure_at_the_boiling_point_is_one_atmosphere():
    assert vapour_pressure_kpa("ethanol", Decimal("78.4")) == pytest.approx(
        Decimal("101.325"), rel=Decimal("0.001")
    )
    assert saturated_percent("ethanol", Decimal(90)) == 100
    assert vapour_pressure_kpa("glycine", Decimal(20)) is None
    assert saturated_percent("glycine", Decimal(20)) is None


def test_colder_is_less_vapour_without_end():
    values = [vapour_pressure_kpa("butan-1-ol", Decimal(t)) or Decimal(-1) for t in range(-60, 160, 5)]
    assert values == sorted(values)
    assert values[0] > 0
    assert vapour_pressure_kpa("butan-1-ol", Decimal(-400)) >= 0
