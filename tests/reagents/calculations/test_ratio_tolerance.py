from decimal import Decimal
from math import sqrt
from random import Random

import pytest

from reagents.calculations.glassware import class_b_cylinders, tolerance
from reagents.calculations.ratio_tolerance import MeasuredPart, ratio_tolerance

VOLUMES = {"butan-1-ol": 60, "ethanoic acid": 15, "water": 25}


def cylinder(nominal):
    return next(one for one in class_b_cylinders() if one.nominal_ml == nominal)


def measured(**nominal):
    chosen = dict(zip(VOLUMES, nominal["nominal"], strict=True))
    return [
        MeasuredPart(name, float(ml), tolerance(Decimal(ml), cylinder(chosen[name])).standard_ml)
        for name, ml in VOLUMES.items()
    ]


@pytest.mark.parametrize(
    ("nominal", "percent"),
    [((100, 25, 25), (0.96, 1.9, 1.2)), ((100, 100, 100), (0.96, 3.8, 2.3))],
)
def test_each_part_hand_worked(nominal, percent):
    # Hand-worked from the class B limits of ISO 4788 (from memory): limit / sqrt 3 / volume, k = 1.
    found = ratio_tolerance(measured(nominal=nominal))
    assert [one.part_percent for one in found] == pytest.approx(list(percent), abs=0.05)


def test_the_ratio_of_acid_to_butanol_follows_hand_worked():
    # Hand-worked: sqrt(0.962^2 + 3.849^2) = 3.97 % all in 100 mL, else sqrt(0.962^2 + 1.925^2) = 2.15 %.
    coarse, fine = (ratio_tolerance(measured(nominal=n)) for n in ((100, 100, 100), (100, 25, 25)))
    assert coarse[1].to_first_percent == pytest.approx(3.97, abs=0.01)
    assert fine[1].to_first_percent == pytest.approx(2.15, abs=0.01)
    assert fine[0].to_first_percent == 0


def test_the_share_of_one_of_two_equal_parts_hand_worked():
    # Hand-worked: f = 1/2, both u = 2 %: sqrt(0.25 x 4 + 0.25 x 4) = 1.41 %.
    found = ratio_tolerance([MeasuredPart("a", 50, 1), MeasuredPart("b", 50, 1)])
    assert [one.share_percent for one in found] == pytest.approx([sqrt(2), sqrt(2)])
    assert found[0].expanded_share_percent == pytest.approx(2 * sqrt(2))


def test_an_error_shared_by_simulation():
    # Monte Carlo in place of an outside source: 20000 draws, seeded.
    draw = Random(4)
    parts = measured(nominal=(100, 25, 25))
    shares = []
    for _ in range(20_000):
        amounts = [draw.gauss(part.amount, part.standard) for part in parts]
        shares.append(amounts[1] / sum(amounts))
    mean = sum(shares) / len(shares)
    spread = sqrt(sum((share - mean) ** 2 for share in shares) / (len(shares) - 1))
    assert ratio_tolerance(parts)[1].share_percent == pytest.approx(100 * spread / 0.15, rel=0.03)


@pytest.mark.parametrize(
    "parts", [[], [MeasuredPart("a", 1, 0)], [MeasuredPart("a", 0, 1), MeasuredPart("b", 1, 1)]]
)
def test_what_is_no_ratio_is_refused(parts):
    with pytest.raises(ValueError, match=r"ratio needs two|must be above zero"):
        ratio_tolerance(parts)
