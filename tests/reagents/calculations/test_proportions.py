from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reagents.calculations.proportions import (
    ImpossibleProportion,
    Part,
    chamber_volume_ml,
    check_depth,
    mass_fractions,
    total_needed,
    volumes_for,
)

NAMES = ("butan-1-ol", "ethanoic acid", "water")


def parts(*numbers):
    return [Part(name, Decimal(number)) for name, number in zip(NAMES, numbers, strict=False)]


def volumes(*numbers, total):
    return [share.volume_ml for share in volumes_for(parts(*numbers), Decimal(total))]


def test_six_to_one_and_a_half_to_two_and_a_half_is_twelve_to_three_to_five():
    assert volumes("6", "1.5", "2.5", total=275) == volumes("12", "3", "5", total=275)


positive = st.decimals(min_value=Decimal("0.1"), max_value=100, places=1)


@given(st.lists(positive, min_size=2, max_size=3), st.integers(1, 1000), positive)
def test_multiplying_every_part_changes_nothing(numbers, factor, total):
    assert volumes(*numbers, total=total) == volumes(*(n * factor for n in numbers), total=total)


@given(st.lists(positive, min_size=1, max_size=3), positive)
def test_the_volumes_add_up_to_the_total(numbers, total):
    assert abs(sum(volumes(*numbers, total=total)) - total) < Decimal("1e-20")


@pytest.mark.parametrize(
    ("numbers", "total", "sentence"),
    [
        ((), 100, "has no parts"),
        (("6", "0", "4"), 100, "ethanoic acid has 0 parts; give it a number above zero or leave it out."),
        (("6", "-1", "4"), 100, "ethanoic acid has -1 parts"),
        (("0", "0", "0"), 100, "butan-1-ol has 0 parts"),
        (("NaN", "1"), 100, "butan-1-ol has NaN parts"),
        (("1e7", "1"), 100, "use smaller numbers"),
        (("6", "4"), 0, "must be above 0 mL"),
        (("6", "4"), -5, "must be above 0 mL"),
        (("6", "4"), "Infinity", "must be above 0 mL"),
        (("6", "4"), 100_001, "more than 100 L"),
    ],
)
def test_impossible_recipes_are_refused_in_a_sentence(numbers, total, sentence):
    with pytest.raises(ImpossibleProportion, match=sentence.replace(".", r"\.")):
        volumes(*numbers, total=total)


def test_the_same_liquid_twice_is_refused():
    twice = [Part("water", Decimal(1)), Part("Water ", Decimal(2))]
    with pytest.raises(ImpossibleProportion, match="is in the recipe twice"):
        volumes_for(twice, Decimal(100))


@pytest.mark.parametrize(
    ("diameter_mm", "depth_mm", "volume_ml"), [(65, 5, 17), (80, 7, 35), (90, 10, 64), (150, 10, 177)]
)
def test_chamber_volume_hand_worked(diameter_mm, depth_mm, volume_ml):
    # Hand-worked from pi D^2 h / 4, to the whole millilitre; no outside source.
    assert round(chamber_volume_ml(Decimal(diameter_mm), Decimal(depth_mm))) == volume_ml


def test_a_class_of_chambers_with_overage():
    assert total_needed(8, Decimal("17.5"), Decimal(15)) == Decimal("161.0")


@pytest.mark.parametrize(
    ("chambers", "volume", "overage"),
    [(0, 20, 10), (-1, 20, 10), (501, 20, 10), (8, 0, 10), (8, 20, -1), (8, 20, 101), (8, 20, "NaN"),
     (500, 1000, 10)],
)  # fmt: skip
def test_absurd_totals_are_refused(chambers, volume, overage):
    with pytest.raises(ImpossibleProportion):
        total_needed(chambers, Decimal(volume), Decimal(overage))


def test_depth_within_usual_and_five_below_the_line_is_not_remarked_common_practice():
    # Depth 5 to 10 mm, 5 mm below the origin line: common practice, no source.
    assert check_depth(Decimal(10), Decimal(15)) == []


@pytest.mark.parametrize(
    ("depth", "origin", "words"),
    [
        ("15", "15", "covers the origin line"),
        ("20", "15", "covers the origin line"),
        ("10", "14.9", "Keep at least 5\u00a0mm between them"),
        ("11", "20", "more than usual"),
        ("4", "20", "may miss a paper"),
    ],
)
def test_a_depth_that_would_spoil_papers_is_remarked_common_practice(depth, origin, words):
    # Limits: common practice, no source.
    assert any(words in sentence for sentence in check_depth(Decimal(depth), Decimal(origin)))


def test_no_depth_is_refused():
    with pytest.raises(ImpossibleProportion):
        check_depth(Decimal(0), Decimal(15))


def test_mass_fractions_hand_worked():
    # Hand-worked for 6 : 1.5 : 2.5 with 0.8095, 1.0491 and 0.9982 g/mL: 54.4, 17.6 and 28.0 % w/w.
    densities = dict(zip(NAMES, (Decimal("0.8095"), Decimal("1.0491"), Decimal("0.9982")), strict=True))
    fractions = mass_fractions(volumes_for(parts("6", "1.5", "2.5"), Decimal(100)), densities)
    assert [round(100 * fractions[name], 1) for name in NAMES] == [
        Decimal("54.4"),
        Decimal("17.6"),
        Decimal("28.0"),
    ]


def test_a_missing_density_is_asked_for():
    with pytest.raises(ImpossibleProportion, match="The density of water is not known"):
        mass_fractions(volumes_for([Part("water", Decimal(1))], Decimal(10)), {})
