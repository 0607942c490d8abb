"""A whole set of readings: uncertainty, R_rel, identification and what is said of them.

R_f worked by hand; u(R_f) by JCGM 100:2008, 5.1.2 from three readings of a 1 mm ruler, u = 1/sqrt(12) mm.
"""

from dataclasses import replace
from decimal import Decimal
from math import sqrt

import pytest

from practicals.calculations.entry import LaneEntry, LaneFacts, PaperFacts, ReadingEntry, SpotEntry
from practicals.calculations.measured import measure
from practicals.calculations.review import review_readings
from practicals.calculations.shown_help import higher_setting, result_help_for
from practicals.calculations.spot_colours import colour_remark

PAPER = PaperFacts(
    width_mm=Decimal(120),
    height_mm=Decimal(150),
    origin_height_mm=Decimal(10),
    ruler_division_mm=Decimal(1),
    lanes=(
        LaneFacts(1, "glycine", "glycine", True, "purple"),
        LaneFacts(2, "proline", "L-proline", True, "yellow"),
        LaneFacts(3, "leucine", "L-leucine", True, "purple"),
        LaneFacts(4, "x", "unknown X", False),
    ),
)


def spot(centre, *, own="", named="", cannot_tell=False):
    return SpotEntry(Decimal(centre), own_rf=own, identified_as=named, cannot_tell=cannot_tell)


def found(*spots, paper=PAPER, origin="10", front="110"):
    """One spot a lane; 10 and 110 mm make a run of 100 mm, so that 52 mm is R_f 0.42."""
    lanes = tuple(LaneEntry(number, (one,) if one else ()) for number, one in enumerate(spots, start=1))
    entry = ReadingEntry(
        origin_mm=Decimal(origin) if origin else None, front_mm=Decimal(front) if front else None, lanes=lanes
    )
    return measure(review_readings(entry, paper=paper), paper=paper)


def test_the_worked_case_of_the_shared_origin():
    """0.0036 for 52, 10 and 110 mm read with 0.29 mm each; treating the distances apart would give 0.0044."""
    glycine = found(spot(52), None, None, None).spots[0]
    assert glycine.rf.u == pytest.approx(sqrt(1 + 0.58**2 + 0.42**2) / sqrt(12) / 100, rel=1e-9)
    assert glycine.rf.u == pytest.approx(0.0036, abs=0.00005)
    assert glycine.rf.reported.text == "0.420 ± 0.007 (k = 2)"
    assert glycine.mostly == "the ruler's divisions, 100 %"


def test_edges_count_with_the_judgement_of_the_centre():
    """A 12 mm spot is judged to a quarter of its length, 3/sqrt(3) mm: far more than the ruler."""
    entry = ReadingEntry(
        origin_mm=Decimal(10),
        front_mm=Decimal(110),
        lanes=(LaneEntry(1, (SpotEntry(None, Decimal(58), Decimal(46)),)),),
    )
    measured = measure(review_readings(entry, paper=PAPER), paper=PAPER)
    one = measured.spots[0]
    assert one.rf.u == pytest.approx(sqrt(3 + (0.5 + 0.58**2 + 0.42**2) / 12) / 100, rel=1e-3)
    assert one.mostly.startswith("judging the centre of the spot")
    # 2 u L / 0.02 with u from above: 175.6 mm, rounded up; the paper has 140 mm above its origin.
    assert "must run 176 mm at least; it ran 100 mm" in measured.run
    assert "too short" in measured.run


def test_r_rel_refers_to_the_named_standard_or_else_to_the_first():
    spots = (spot(36), spot(55), spot(85), spot(85))
    first = found(*spots)
    assert (first.reference, first.spots[1].relative.value) == ("glycine", Decimal(45) / Decimal(26))
    named = found(*spots, paper=replace(PAPER, reference="leucine"))
    assert (named.reference, named.spots[0].relative.value.quantize(Decimal("0.0001"))) == (
        "L-leucine",
        Decimal("0.3467"),  # 26/75
    )
    assert (named.spots[2].relative_text, named.spots[3].relative.value) == ("1.00", 1)


@pytest.mark.parametrize(
    ("at", "named", "identified", "naming"),
    [
        ("84", "leucine", "one", "agrees"),
        ("84", "glycine", "one", "not compatible"),
        ("70", "leucine", "none", "not compatible"),
        ("84", "", "one", "no name"),
    ],
)
def test_an_unknown_is_judged_by_the_standards_beside_it(at, named, identified, naming):
    (unknown,) = found(spot(36), spot(55), spot(85), spot(at, named=named)).unknowns
    assert (unknown.identification.verdict, unknown.naming.verdict) == (identified, naming)
    assert unknown.spot.identified_as == named
    assert "Your" not in unknown.naming.of_another


def test_two_standards_at_one_height_cannot_be_told_apart_and_the_colour_may_help():
    (unknown,) = found(spot(54), spot(55), spot(85), spot(55, named="proline")).unknowns
    assert unknown.identification.compatible == ("glycine", "proline")
    assert "Cannot be told apart" in unknown.identification.words
    assert unknown.naming.verdict == "among"
    assert unknown.colour == (
        "The colour of the spot may tell them apart: glycine gives purple, L-proline gives yellow."
    )


def test_proline_alone_is_confirmed_by_its_yellow():
    """Proline yellow, other amino acids purple: NIN1, NIN2 in SOURCES.csv."""
    (unknown,) = found(spot(36), spot(55), spot(85), spot(55)).unknowns
    assert unknown.colour == "The colour of the spot is further evidence: L-proline gives yellow."
    assert colour_remark([("glycine", "")], ["yellow"]) == ""
    assert colour_remark([("glycine", "purple")], ["purple"]) == ""


def test_one_slip_on_the_whole_paper_is_said_once():
    """Measured down from the front, every value is 1 - R_f: 0.74, 0.55, 0.25."""
    measured = found(spot(36, own="0.74"), spot(55, own="0.55"), spot(85, own="0.25"), None)
    assert measured.slips.verdict == "one"
    assert measured.slip.startswith("All 3 values")
    assert found(spot(36, own="0.74"), None, None, None).slip == ""


@pytest.mark.parametrize(
    ("origin", "front"), [("", "110"), ("10", ""), ("10", "10"), ("110", "10"), ("", ""), ("10", "11")]
)
def test_what_gives_no_value_says_nothing_and_never_fails(origin, front):
    measured = found(
        spot(36, own="0.26"), spot(5), spot(200), spot(85, named="leucine"), origin=origin, front=front
    )
    assert len(measured.spots) == 4
    for one in measured.spots:
        assert "nan" not in f"{one.mostly}{one.relative_text}".casefold()


def test_a_paper_with_nothing_on_it():
    measured = found(None, None, None, None)
    assert (measured.spots, measured.run, measured.slip, measured.reference) == ((), "", "", "")


def test_help_rises_with_the_setting():
    measured = found(
        spot(36, own="0.74"),
        spot(55, own="0.55"),
        spot(85, own="0.25"),
        spot(84, own="0.74", named="glycine"),
    )
    texts = {
        setting: " ".join(one.text for one in result_help_for(measured, setting))
        for setting in ("nothing", "something", "hint", "explanation")
    }
    assert texts["nothing"] == ""
    assert texts["something"] == "Something is off with the name: lane 4, spot 1."
    assert "L-leucine" not in texts["hint"]
    assert "which standards" in texts["hint"]
    assert "Compatible with L-leucine" in texts["explanation"]
    assert "Your naming, glycine, is not compatible" in texts["explanation"]


def test_the_higher_setting_counts():
    assert higher_setting("hint", "nothing", "something") == "hint"
    assert higher_setting("nothing", "explanation") == "explanation"
    assert higher_setting() == "nothing"
