from decimal import Decimal

import pytest

from reagents.calculations.glassware import class_b_cylinders
from reagents.calculations.mixture_sheet import Chambers, chambers_need, mixture_sheet
from reagents.calculations.preparation import MOLAR, PARTS, PARTS_BY_MASS, PERCENT_VV, PartWanted
from reagents.calculations.proportions import ImpossibleProportion

D = Decimal
NAMES = ("butan-1-ol", "ethanoic acid", "water")


def recipe(*amounts, basis=PARTS, names=NAMES):
    return [
        PartWanted(place, name, D(amount), basis)
        for place, (name, amount) in enumerate(zip(names, amounts, strict=True), 1)
    ]


BAW = recipe("6", "1.5", "2.5")


@pytest.mark.parametrize(
    ("diameter", "depth", "each"), [("65", "5", 17), ("80", "7", 35), ("90", "10", 64), ("150", "10", 177)]
)
def test_round_chambers_hand_worked(diameter, depth, each):
    # Hand-worked from pi D^2 h / 4, to the whole millilitre; no outside source.
    assert round(chambers_need(Chambers(1, D(depth), diameter_mm=D(diameter))).each_ml) == each


def test_rectangular_chambers_hand_worked():
    # Hand-worked: 200 x 100 x 8 mm is 160 mL; six of them and a tenth to spare 1056 mL.
    need = chambers_need(
        Chambers(6, D(8), length_mm=D(200), width_mm=D(100), overage_percent=D(10), origin_height_mm=D(20))
    )
    assert (need.each_ml, need.total_ml, need.doubts) == (D(160), D(1056), ())
    assert need.sentence.startswith(
        "6 chambers, 200\u00a0mm by 100\u00a0mm, 8\u00a0mm deep, take 160\u00a0mL each"
    )


def test_liquid_near_the_origin_line_is_questioned_common_practice():
    # 5 mm between them: common practice, no source.
    need = chambers_need(Chambers(1, D(10), diameter_mm=D(90), origin_height_mm=D(12)))
    assert "comes within 5\u00a0mm of the origin line" in need.doubts[0]


def test_a_hundred_millilitres_hand_worked():
    # Hand-worked case R01: 60 / 15 / 25 mL.
    sheet = mixture_sheet(BAW, total_ml=D(100))
    assert [m.wanted for m in sheet.plan.measures] == [60, 15, 25]
    assert sheet.ratio == "butan-1-ol : ethanoic acid : water is 12 : 3 : 5, parts by volume."
    assert sheet.phases is not None
    assert sheet.phases.verdict == "one"  # single phase: common practice, no source
    assert sheet.liquids[0].classification is not None


def test_what_is_left_is_not_overdrawn():
    sheet = mixture_sheet(BAW, remaining_ml={"butan-1-ol": D(80)})
    assert sheet.batch is not None
    assert sheet.plan.measures[0].wanted <= 80
    assert sheet.total_ml <= sheet.batch.total_ml
    assert "133.3\u00a0mL at most" in sheet.how[0]
    assert "stand on a division" in sheet.how[1]


def test_what_is_left_is_measured_by_volume_in_a_recipe_by_mass_too():
    # Hand-worked: 6 : 1.5 : 2.5 by mass is 7.412 : 1.430 : 2.505 by volume (0.8095, 1.0491, 0.9982 g/mL);
    # 80 mL of butan-1-ol makes 80 x 11.346 / 7.412 = 122.5 mL.
    sheet = mixture_sheet(recipe("6", "1.5", "2.5", basis=PARTS_BY_MASS), remaining_ml={"butan-1-ol": D(80)})
    assert sheet.batch is not None
    assert round(sheet.batch.total_ml, 1) == D("122.5")
    assert sheet.plan.measures[0].unit == "g"


def test_percent_by_volume_is_the_same_mixture():
    by_percent = mixture_sheet(recipe("60", "15", "25", basis=PERCENT_VV), total_ml=D(100))
    assert by_percent.ratio == mixture_sheet(BAW, total_ml=D(100)).ratio


def test_the_acid_is_measured_in_a_cylinder_of_its_size_hand_worked():
    # Hand-worked: 15 mL in a 25 mL class B cylinder, 0.5/sqrt 3/15 = 1.9 % (k = 1), 3.8 % (k = 2).
    acid = mixture_sheet(BAW, total_ml=D(100)).plan.measures[1]
    assert acid.vessel == "25\u00a0mL measuring cylinder"
    assert acid.tolerance.replace("\u00a0", " ") == "± 0.5 mL, 1.9 % (k = 2: 3.8 %)"


def test_a_third_of_a_large_cylinder_is_the_least_so_a_pipette_is_offered_common_practice():
    # At least a third of the vessel: common practice, no source.
    hundred = [one for one in class_b_cylinders() if one.nominal_ml == 100]
    vessels = [m.vessel for m in mixture_sheet(BAW, total_ml=D(100), available=hundred).plan.measures]
    assert vessels == ["100\u00a0mL measuring cylinder", *["25\u00a0mL graduated pipette"] * 2]


def test_a_mixture_that_splits_is_labelled_by_its_layers():
    # 4 : 1 : 5 splits, the upper layer is used: common practice, no source.
    sheet = mixture_sheet(recipe("4", "1", "5"), total_ml=D(100))
    assert sheet.phases is not None
    assert sheet.phases.verdict == "two"
    upper, lower = sheet.liquids
    assert upper.name.startswith("upper layer")
    assert lower.name.startswith("lower layer")
    for layer in (upper, lower):  # both share one vapour
        assert layer.classification is not None
        assert "H226" in layer.classification.codes
    assert "run the lower layer off" in sheet.plan.steps[-1]


@pytest.mark.parametrize(
    ("parts", "scale", "sentence"),
    [
        (BAW, {}, "one of the three"),
        (BAW, {"total_ml": D(5), "remaining_ml": {"water": D(5)}}, "one of the three"),
        ([], {"total_ml": D(5)}, "has no parts"),
        (BAW, {"total_ml": D(0)}, "must be above 0 mL"),
        (BAW, {"total_ml": D(1_000_000_000)}, "more than 100 L"),
        (recipe("0", "0", "0"), {"total_ml": D(100)}, "add up to nothing"),
        (recipe("6", "-1", "3"), {"total_ml": D(100)}, "ethanoic acid has -1 parts"),
        (recipe("60", "15", "24", basis=PERCENT_VV), {"total_ml": D(100)}, "add up to 99 %"),
        (recipe("1", "1", "1", basis=MOLAR), {"total_ml": D(100)}, "in one basis"),
        ([*BAW, *recipe("1", basis=PARTS_BY_MASS, names=("ethanol",))], {"total_ml": D(100)}, "in one basis"),
        (BAW, {"remaining_ml": {}}, "how much is left"),
        (
            recipe("1", "2", basis=PARTS_BY_MASS, names=("water", "water")),
            {"remaining_ml": {"water": D(5)}},
            "water is in the recipe twice",
        ),
        (
            recipe("1", "2", basis=PARTS_BY_MASS, names=("ethanol", "ethyl alcohol")),
            {"remaining_ml": {"ethanol": D(5)}},
            "under two names",
        ),
        (BAW, {"chambers": Chambers(6, D(8))}, "Give the diameter of a round chamber"),
        (BAW, {"chambers": Chambers(0, D(8), diameter_mm=D(90))}, "not between 1 and 500"),
        (BAW, {"chambers": Chambers(6, D(8), diameter_mm=D(0))}, "must be above 0 mm"),
    ],
)
def test_what_makes_no_mixture_is_refused_in_a_sentence(parts, scale, sentence):
    with pytest.raises(ImpossibleProportion, match=sentence):
        mixture_sheet(parts, **scale)
