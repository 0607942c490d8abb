"""What a prep list says, against hand-worked figures and the worked examples of ratio scaling."""

import csv
import json
import re
from decimal import Decimal
from pathlib import Path

import pytest

from reagents.calculations.mixture_plan import mixture_plan
from reagents.calculations.prep_plan import contents, hazards_of, plan_for
from reagents.calculations.preparation import (
    MOLAR,
    PARTS,
    PERCENT_WV,
    SIGNS,
    TO_VOLUME,
    Filling,
    PartWanted,
    Wanted,
)
from reagents.calculations.proportions import Part, total_needed, volumes_for

PUBLISHED = Path(__file__).resolve().parents[2] / "published" / "reagents_prep_worked_examples.csv"
BAW = (
    PartWanted(1, "butan-1-ol", Decimal(6), PARTS),
    PartWanted(2, "water", Decimal("2.5"), PARTS),
    PartWanted(3, "ethanoic acid", Decimal("1.5"), PARTS),
)
CHAMBERS = Filling(
    total_ml=Decimal(336),
    chambers=6,
    volume_per_chamber_ml=Decimal("50.9"),
    diameter_mm=Decimal(90),
    depth_mm=Decimal(8),
    origin_height_mm=Decimal(20),
    overage_percent=Decimal(10),
)
WATER = PartWanted(9, "water", None, TO_VOLUME)


def solution(substance, amount, basis, *, total="100", kind="solution", title="", liquid="water"):
    parts = (PartWanted(1, substance, Decimal(amount), basis), PartWanted(9, liquid, None, TO_VOLUME))
    return plan_for(Wanted(title or substance, kind, parts, (Filling(Decimal(total)),)))


def mixture(filling=CHAMBERS, parts=BAW):
    return plan_for(Wanted("Butanol mixture", "mobile phase", parts, (filling,)))


def ratio_cases():
    with PUBLISHED.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            if row["kind"] == "ratio_scaling":
                yield pytest.param(json.loads(row["inputs_json"]), row["printed_answer"], id=row["case_id"])


@pytest.mark.parametrize(("given", "printed"), list(ratio_cases()))
def test_ratio_cases_are_scaled_and_then_rounded_up_to_a_division(given, printed):
    """The hand-worked ratio cases (source key hand_worked) give exact volumes; the list rounds them up."""
    expected = [Decimal(figure) for figure in re.findall(r"[\d.]+", printed)]
    total = total_needed(1, Decimal(given["total_ml"]), Decimal(given["overage_pct"]))
    recipe = [Part(str(place), Decimal(str(part))) for place, part in enumerate(given["parts"])]
    assert [share.volume_ml for share in volumes_for(recipe, total)] == expected
    plan = mixture_plan(
        [PartWanted(place, one.name, one.parts, PARTS) for place, one in enumerate(recipe)], total
    )
    measured = [measure.wanted for measure in plan.measures]
    assert all(wanted >= exact for wanted, exact in zip(measured, expected, strict=True))
    assert plan.made_ml == sum(measured) <= total * Decimal("1.25")


def test_there_are_ratio_cases():
    assert len(list(ratio_cases())) == 3


def test_a_whole_mobile_phase_by_hand():
    """Hand-worked: 6 x 50.9 mL x 1.10 = 335.94 mL, asked for as 336 mL. With 340 mL each part of
    6 : 2.5 : 1.5 is on a division (2, 1 and 1 mL) of the cylinder that takes it (250, 100, 100 mL):
    204, 85 and 51 mL. Limits by ISO 4788 class B, from memory: 2, 1 and 1 mL."""
    plan = mixture()
    assert [measure.wanted for measure in plan.measures] == [204, 85, 51]
    assert [measure.vessel for measure in plan.measures] == [
        "250\u00a0mL measuring cylinder",
        "100\u00a0mL measuring cylinder",
        "100\u00a0mL measuring cylinder",
    ]
    # 2/sqrt(3)/204 = 0.566 %, 1/sqrt(3)/85 = 0.679 %, .../51 = 1.13 %; twice that at k = 2
    assert [measure.tolerance.replace("\u00a0", " ") for measure in plan.measures] == [
        "± 2 mL, 0.57 % (k = 2: 1.1 %)",
        "± 1 mL, 0.68 % (k = 2: 1.4 %)",
        "± 1 mL, 1.1 % (k = 2: 2.3 %)",
    ]
    assert plan.made_ml == 340
    assert plan.how[0].replace("\u00a0", " ") == (
        "6 chambers × 50.9 mL (90 mm across, 8 mm deep) and 10 % to spare: 336 mL."
    )
    assert plan.doubts == ()


def test_acid_goes_in_last_though_it_is_listed_first():
    """Common practice, no source."""
    plan = mixture(parts=(BAW[2], BAW[0], BAW[1]))
    assert "butan-1-ol" in plan.steps[0]
    assert "ethanoic acid last" in plan.steps[2]


def test_each_part_is_rounded_by_itself_when_the_ratio_would_cost_too_much():
    """Hand-worked: 468 mL gives 280.8 : 117 : 70.2; divisions of 5, 2 and 1 mL give 285, 118 and 71 mL.
    285/474 against 0.6 is +0.21 %, 118/474 against 0.25 is -0.42 %, 71/474 against 0.15 is -0.14 %."""
    plan = mixture(Filling(Decimal(468)))
    assert [measure.wanted for measure in plan.measures] == [285, 118, 71]
    assert "0.42 %" in plan.how[-1]


@pytest.mark.parametrize(("origin", "said"), [("20", ""), ("12", "comes within"), ("8", "covers the origin")])
def test_liquid_near_the_origin_line_is_questioned(origin, said):
    filling = Filling(
        **{
            **{name: getattr(CHAMBERS, name) for name in CHAMBERS.__dataclass_fields__},
            "origin_height_mm": Decimal(origin),
        }
    )
    assert said in " ".join(mixture(filling).doubts)
    assert bool(mixture(filling).doubts) == bool(said)


def test_depth_is_found_from_the_volume_when_only_that_is_given():
    """Hand-worked: 64 mL in a chamber 90 mm across stands 64 000/(pi 45^2) = 10.06 mm deep, within 5 mm
    of an origin line at 15 mm."""
    filling = Filling(Decimal(64), 1, Decimal(64), Decimal(90), depth_mm=None, origin_height_mm=Decimal(15))
    assert "10.1" in mixture(filling).doubts[0]


def test_a_part_too_small_says_from_which_total_on_it_can_be_measured():
    # Hand-worked: 1 in 1000 of 100 mL is 0.1 mL; a third of the smallest pipette (1 mL) is 0.34 mL on its
    # divisions, which is 1 in 1000 of 340 mL. A third: common practice, no source.
    parts = (PartWanted(1, "water", Decimal(999), PARTS), PartWanted(2, "ethanol", Decimal(1), PARTS))
    (said,) = mixture(Filling(Decimal(100)), parts).doubts
    assert "From 340\u00a0mL of the mixture on it can be measured; or take it from a weaker stock." in said
    assert mixture(Filling(Decimal(340)), parts).doubts == ()


def test_a_total_below_what_the_chambers_need_is_questioned():
    filling = Filling(Decimal(200), 6, Decimal("50.9"), overage_percent=Decimal(10))
    assert "Ask which is meant" in mixture(filling).doubts[0]


def test_ninhydrin_by_hand():
    """0.2 % w/v of 100 mL is 0.20 g by definition; on a 0.01 g balance that is uncertain by about 4 %
    (two rounded readings, k = 2), so a tenfold stock is offered: 2.00 g, of which 10 mL."""
    plan = solution("ninhydrin", "0.2", PERCENT_WV, kind="locating agent", liquid="ethanol")
    weighed, filled = plan.measures
    assert weighed.wanted == Decimal("0.200")
    assert filled.wanted == 100
    assert filled.fills_up
    stock = next(one for one in weighed.remarks if "0.01\u00a0g" in one).replace("\u00a0", " ")
    assert "weigh 2.00 g into 100 mL of ethanol" in stock
    assert "take 10 mL" in stock
    # Hand-worked: 82 x 0.01 g is 0.2 % w/v of 410 mL.
    assert "from 410\u00a0mL on, a 0.01\u00a0g balance weighs it to 1 %." in " ".join(weighed.remarks)
    assert plan.doubts == ()


def test_a_thousandfold_slip_in_a_spray_is_questioned():
    plan = solution("ninhydrin", "0.0002", PERCENT_WV, kind="locating agent", liquid="ethanol", title="spray")
    assert "1000 times weaker" in plan.doubts[0]


@pytest.mark.parametrize(
    ("substance", "grams"),
    # M from IUPAC abridged atomic weights: glycine 75.067, L-leucine 131.175 g/mol; x 0.01 mol/L x 0.1 L.
    [("glycine", "0.075"), ("L-leucine", "0.131")],
)
def test_standards_by_molarity(substance, grams):
    weighed, filled = solution(substance, "0.01", MOLAR).measures
    assert weighed.wanted == Decimal(grams)
    assert filled.vessel == "100\u00a0mL volumetric flask"


def test_a_flask_is_filled_to_its_mark_and_the_mass_follows():
    """Hand-worked: 30 mL wanted, a 50 mL flask: 0.01 x 0.050 x 131.175 = 0.0656 g."""
    plan = solution("L-leucine", "0.01", MOLAR, total="30")
    assert plan.made_ml == 50
    assert plan.measures[0].wanted == Decimal("0.066")


def test_lysine_asks_for_the_form_in_the_bottle():
    """L-lysine hydrochloride, M 182.65 (from memory): 0.183 g in place of 0.146 g for 100 mL."""
    remarks = " ".join(solution("L-lysine", "0.01", MOLAR).measures[0].remarks).replace("\u00a0", " ")
    assert "L-lysine hydrochloride: weigh 0.183 g instead" in remarks


def test_tyrosine_does_not_dissolve():
    """Belitz, Grosch, Schieberle, table 1.4: 0.045 g in 100 g of water at 25 °C; 0.181 g is needed."""
    assert "will not dissolve" in solution("L-tyrosine", "0.01", MOLAR).doubts[0]


def test_dilution_of_an_acid_is_measured_by_volume():
    """2 mol/L, 100 mL: 12.01 g of pure acid, 11.45 mL at 1.0491 g/mL; to the nearest 0.5 mL, 11.5 mL. A
    published worked answer for 17.4 mol/L acid is 11.49 mL (`partition_lab` in SOURCES.csv)."""
    plan = solution("ethanoic acid", "2", MOLAR)
    assert plan.measures[0].unit == "mL"
    assert plan.measures[0].wanted == Decimal("11.5")
    assert "never water into acid" in " ".join(plan.steps)


def test_an_unknown_molar_mass_is_asked_for():
    plan = solution("some dye", "0.01", MOLAR)
    assert plan.measures[0].wanted is None
    assert "0.001\u00a0mol × M" in plan.doubts[0]


@pytest.mark.parametrize(
    "parts",
    [
        (),
        (WATER,),
        (PartWanted(1, "glycine", Decimal("0.01"), MOLAR),),
        (PartWanted(1, "glycine", Decimal("0.01"), MOLAR), WATER, PartWanted(3, "ethanol", None, TO_VOLUME)),
        (BAW[0], PartWanted(2, "glycine", Decimal("0.01"), MOLAR), WATER),
        (PartWanted(1, "glycine", Decimal(200), PERCENT_WV), WATER),
        (BAW[0], BAW[0]),
        (PartWanted(1, "butan-1-ol", Decimal(-1), PARTS), BAW[1]),
    ],
)
def test_a_recipe_that_makes_no_sense_is_a_sentence_and_no_crash(parts):
    plan = plan_for(Wanted("Odd", "solution", parts, (Filling(Decimal(100)),)))
    assert plan.measures == ()
    assert plan.doubts[-1].startswith("This cannot be worked out: ")


@pytest.mark.parametrize("total", ["0.001", "0.2", "99999", "1000000"])
def test_totals_too_small_or_too_large_never_crash(total):
    for plan in (mixture(Filling(Decimal(total))), solution("glycine", "0.01", MOLAR, total=total)):
        assert plan.measures or plan.doubts


def test_contents_are_the_key_of_an_unknown():
    parts = [PartWanted(1, "L-alanine", Decimal("0.010000"), MOLAR), WATER]
    assert contents(parts).replace("\u00a0", " ") == "L-alanine 0.01 mol/L, in water"


def test_signs_and_sentences_of_a_mobile_phase():
    """CLP Annex VI, 17th adaptation: butan-1-ol GHS02 05 07, ethanoic acid GHS02 05, both Danger."""
    butanol, acid = hazards_of(["butan-1-ol", "ethanoic acid", "water", "no such thing"])
    assert [sign.code for sign in butanol.signs] == ["GHS02", "GHS05", "GHS07"]
    assert [sign.code for sign in acid.signs] == ["GHS02", "GHS05"]
    assert {butanol.signal_word, acid.signal_word} == {"Danger"}
    assert acid.sentences[1].startswith("H314")


def test_every_sign_has_its_drawing():
    folder = Path(__file__).resolve().parents[3] / "practicals" / "static" / "practicals" / "pictograms"
    assert all((folder / f"{code.lower()}.svg").exists() for code in SIGNS)


@pytest.mark.parametrize(
    ("hours", "said"),
    [(336, "14 days"), (24, "1 day"), (36, "36 hours"), (1, "1 hour"), (None, "")],
)
def test_how_long_a_liquid_keeps_is_said_in_days_where_they_are_whole(hours, said):
    """Common practice, no source: a bottle's label says days, not hundreds of hours."""
    liquid = Wanted("Ninhydrin", "locating agent", BAW, (CHAMBERS,), shelf_life_hours=hours)
    assert liquid.keeps == said


def parts_of(*amounts):
    names = ("butan-1-ol", "ethanoic acid", "water")
    return tuple(
        PartWanted(key, name, Decimal(amount), "parts by volume")
        for key, (name, amount) in enumerate(zip(names, amounts, strict=True))
    )


def test_a_mixture_that_parts_says_so_and_its_last_step_is_to_part_it():
    # 4 : 1 : 5 parts and its upper layer is used: common practice, no source.
    plan = plan_for(Wanted("Mixture", "mobile phase", parts_of(4, 1, 5), (Filling(Decimal(250)),)))
    assert plan.phase.words == "two phases"
    assert any(
        "For 250\u00a0mL of the upper layer mix about 415\u00a0mL" in one for one in plan.phase.sentences
    )
    assert "use the upper one" in plan.steps[-1]
    # Worked apart from this program: the upper layer is 61 % of the volume, so 250 mL of it is in 415 mL
    # (rounded up to 5 mL) of the whole, which is 166, 41.5 and 207.5 mL before each is rounded up.
    assert sum(measure.wanted for measure in plan.measures) == plan.made_ml >= 415
    assert plan.made_ml <= 415 * Decimal("1.05")
    assert Decimal(166) <= plan.measures[0].wanted <= 175
    assert "250\u00a0mL of the upper layer" in plan.how[-1]
    assert plan.measures[0].shown in plan.steps[0]
    assert not any("swirl until clear" in step for step in plan.steps)
    assert plan.diagram.layers


def test_a_mixture_that_stays_one_is_swirled_until_clear():
    # 12 : 3 : 5 is one phase: common practice, no source.
    plan = plan_for(Wanted("Mixture", "mobile phase", parts_of(12, 3, 5), (Filling(Decimal(250)),)))
    assert plan.phase.words == "one phase"
    assert "swirl until clear" in plan.steps[-1]
    assert not plan.diagram.layers


def test_a_solution_is_not_asked_whether_it_parts():
    parts = (PartWanted(1, "ninhydrin", Decimal("0.2"), "% w/v"), PartWanted(2, "ethanol", None, "to volume"))
    plan = plan_for(Wanted("Spray", "locating agent", parts, (Filling(Decimal(100)),)))
    assert (plan.phase, plan.diagram) == (None, None)
