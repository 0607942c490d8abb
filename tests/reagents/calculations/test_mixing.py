from decimal import Decimal

import pytest

from reagents.calculations.mixing import DEFER, cautions_for, is_acid, mixing_order
from reagents.calculations.proportions import ImpossibleProportion, Part, volumes_for


def shares(*names):
    return volumes_for([Part(name, Decimal(1)) for name in names], Decimal(30))


@pytest.mark.parametrize(
    "names", [("ethanoic acid", "butan-1-ol", "water"), ("butan-1-ol", "glacial acetic acid", "water")]
)
def test_acid_goes_in_last_common_practice(names):
    # Butanol and water first, acid last, slowly, in a fume cupboard: common practice, no source.
    steps = mixing_order(shares(*names))
    assert [step.number for step in steps] == [1, 2, 3, 4]
    assert [step.name for step in steps][:2] == ["butan-1-ol", "water"]
    assert steps[2].name in names
    assert "fume cupboard" in steps[2].instruction
    assert "slowly" in steps[2].instruction


def test_the_last_step_is_to_look():
    assert "If it stays cloudy, write that down" in mixing_order(shares("water"))[-1].instruction


def test_nothing_to_mix_is_refused():
    with pytest.raises(ImpossibleProportion):
        mixing_order([])


@pytest.mark.parametrize(
    ("name", "acid"),
    [
        ("ethanoic acid", True),
        ("Acetic acid", True),
        ("sulfuric acid", True),
        ("water", False),
        ("L-aspartic acid", False),
    ],
)
def test_which_liquids_are_acids_to_add_last(name, acid):
    assert is_acid(name) is acid


def sentences(*names):
    return [caution.sentence for caution in cautions_for(names)]


def test_glacial_acid_freezes_in_a_cold_store():
    # Freezing point 16.6 C; warm in tepid water, never on a flame.
    assert any(
        "16.6 °C" in sentence and "never warm it on a flame" in sentence
        for sentence in sentences("ethanoic acid")
    )


def test_flammable_liquids_are_named_together_once():
    flammable = [c for c in cautions_for(["butan-1-ol", "ethanoic acid", "water"]) if "sink" in c.sentence]
    assert [c.substance for c in flammable] == ["butan-1-ol, ethanoic acid"]


def test_ninhydrin_is_sprayed_in_a_fume_cupboard_only():
    assert any("Spray only in a fume cupboard" in sentence for sentence in sentences("ninhydrin"))


def test_an_unknown_substance_is_not_called_harmless():
    assert "read its safety data sheet before use" in sentences("unobtainium")[0]


@pytest.mark.parametrize("names", [(), ("water",), ("butan-1-ol", "ethanoic acid")])
def test_every_list_ends_with_whose_rules_come_first(names):
    assert sentences(*names)[-1] == DEFER
