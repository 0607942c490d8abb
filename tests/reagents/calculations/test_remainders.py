from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reagents.calculations.glassware import measuring
from reagents.calculations.proportions import ImpossibleProportion, Part
from reagents.calculations.remainders import largest_batch

D = Decimal
BAW = [Part("butan-1-ol", D(12)), Part("ethanoic acid", D(3)), Part("water", D(5))]


def test_eighty_millilitres_of_butanol_left_hand_worked():
    # Hand-worked: 80 x 20 / 12 = 133.3 mL; 20 mL of acid and 33.3 mL of water.
    found = largest_batch(BAW, {"butan-1-ol": D(80)})
    assert found.limiting == "butan-1-ol"
    assert round(found.total_ml, 1) == D("133.3")
    assert [round(share.volume_ml, 1) for share in found.shares] == [D("80.0"), D("20.0"), D("33.3")]
    assert found.sentence.startswith("What is left of butan-1-ol makes 133.3\u00a0mL at most")


def test_the_part_that_runs_out_first_limits_hand_worked():
    # Hand-worked: 80 mL of butan-1-ol would make 133.3 mL, 15 mL of acid makes 100 mL; 20 mL is left over.
    found = largest_batch(BAW, {"butan-1-ol": D(80), "Ethanoic acid": D(15)})
    assert (found.limiting, found.total_ml) == ("ethanoic acid", D(100))
    assert found.left_over_ml == {"butan-1-ol": D(20), "ethanoic acid": D(0)}
    assert (
        found.sentence
        == "ethanoic acid runs out first: 100\u00a0mL at most. Then 20\u00a0mL of butan-1-ol is left."
    )


def test_the_batch_offered_can_be_measured_and_takes_no_more_than_there_is():
    found = largest_batch(BAW, {"butan-1-ol": D("83.7")})
    assert found.measurable is not None
    assert found.measurable[0].volume_ml <= D("83.7")
    assert all(measuring(share.volume_ml).measured_ml == share.volume_ml for share in found.measurable)


volume = st.decimals(min_value=20, max_value=1000, places=1)


@given(volume, volume, volume)
def test_nothing_is_taken_that_is_not_there(butanol, acid, water):
    left = {"butan-1-ol": butanol, "ethanoic acid": acid, "water": water}
    found = largest_batch(BAW, left)
    assert all(share.volume_ml <= left[share.name] + D("1e-18") for share in found.shares)
    assert found.left_over_ml[found.limiting] < D("1e-18")


@pytest.mark.parametrize(
    ("left", "sentence"),
    [
        ({}, "Say of which part how much is left"),
        ({"ethanol": D(5)}, "ethanol is not in the recipe"),
        ({"water": D(0)}, "What is left of water must be above 0 mL"),
        ({"water": D(-5)}, "must be above 0 mL"),
        ({"water": D("NaN")}, "must be above 0 mL"),
        ({"water": D(1_000_000)}, "more than 100 L"),
    ],
)
def test_impossible_remainders_are_refused_in_a_sentence(left, sentence):
    with pytest.raises(ImpossibleProportion, match=sentence):
        largest_batch(BAW, left)
