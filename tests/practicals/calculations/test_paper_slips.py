"""One slip across a whole paper."""

from decimal import Decimal
from random import Random

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from practicals.calculations.paper_patterns import Pair, patterns_in
from practicals.calculations.paper_slips import StatedSpot, explain_paper, standards_order
from practicals.calculations.rf import rounded
from practicals.calculations.slip_making import MADE, random_paper
from practicals.calculations.slip_trials import explained
from practicals.calculations.slips import Neighbour, explain

D = Decimal
# Distances from the origin line on a run of 80 mm; the line 10 mm up a paper of 100 mm, as in the table of
# slips (tests/published/chromatography_slip_table.csv): R_f 0.25, 0.50, 0.75 and 0.125.
SPOTS = (D(20), D(40), D(60), D(10))


def paper(*stated, leading=None):
    spots = []
    for lane, (spot, text) in enumerate(zip(SPOTS, stated, strict=False), start=1):
        if text is not None:
            found = explain(
                text,
                spot_mm=spot + 10,
                origin_mm=D(10),
                front_mm=D(90),
                paper_height_mm=D(100),
                leading_mm=None if leading is None else spot + 10 + D(leading),
            )
            spots.append(StatedSpot(lane, f"lane {lane}", found))
    return explain_paper(spots, run_mm=D(80))


# Values of each slip at R_f 0.25, 0.50 and 0.75, worked by hand from its formula (front 80, origin 10 mm up,
# paper 100, radius 3 mm), named in ERR2, ERR3, ERR5 of SOURCES.csv.
@pytest.mark.parametrize(
    ("slip", "stated"),
    [
        ("both-from-edge", ("0.33", "0.56", "0.78")),
        ("spot-from-edge", ("0.38", "0.63", "0.88")),
        ("inverted", ("4.00", "2.00", "1.33")),
        ("leading-edge", ("0.29", "0.54", "0.79")),
        ("paper-height-as-front", ("0.20", "0.40", "0.60")),
        ("spot-in-cm", ("0.025", "0.05", "0.075")),
        ("front-in-cm", ("2.5", "5.0", "7.5")),
    ],
)
def test_one_slip_on_every_spot_is_named_alone_err2_err3_err5(slip, stated):
    found = paper(*stated, leading=3)
    assert (found.verdict, [one.slip for one in found.leading]) == ("one", [slip])
    assert f"All {found.wrong} values" in found.summary
    assert found.hint


def test_two_slips_that_take_the_same_length_are_a_tie():
    # Front from the edge: 80 + 10 = 90 mm; origin line to the top edge of a paper of 100 mm: 90 mm as well.
    found = paper("0.22", "0.44", "0.67")
    assert found.verdict == "tie"
    assert {one.slip for one in found.leading} == {"front-from-edge", "paper-height-as-front"}


def test_from_the_front_is_invisible_at_one_half_and_found_on_the_rest():
    found = paper("0.75", "0.50", "0.25")
    assert (found.verdict, found.wrong, found.leading[0].slip) == ("one", 2, "from-the-front")
    assert found.summary.startswith("1 of the 3 R_f stated is right. All 2 values")


def test_a_whole_paper_breaks_a_tie_that_one_spot_cannot():
    # At R_f 0.50 the leading edge 5 mm on gives 0.5625, both from the edge 50/90 = 0.5556: both are 0.56.
    alone = paper(None, "0.56", leading=5)
    assert alone.verdict == "single"
    assert "equally well" in alone.summary
    together = paper("0.33", "0.56", "0.78", leading=5)
    assert [one.slip for one in together.leading] == ["both-from-edge"]


def test_most_but_not_all_says_what_is_left_over():
    found = paper("4.00", "2.00", "1.33", "0.91")
    assert (found.verdict, found.leading[0].slip, found.leading[0].explains) == ("most", "inverted", 3)
    assert "Not explained by it: lane 4 (0.13 is right, 0.91 is stated)" in found.summary


def test_an_equal_explanation_is_a_tie():
    # 0.25 cut down from the front is 0.75; at 0.75 it is 0.25; swapping lanes 1 and 3 gives the same.
    pairs = [("0.75", D(20), D(60)), ("0.25", D(60), D(20))]
    spots = []
    for lane, (text, spot, other) in enumerate(pairs, start=1):
        found = explain(
            text, spot_mm=spot, origin_mm=D(0), front_mm=D(80), neighbours=[Neighbour("other", other)]
        )
        spots.append(StatedSpot(lane, f"lane {lane}", found))
    tied = explain_paper(spots)
    assert tied.verdict == "tie"
    assert {one.slip for one in tied.leading} == {"from-the-front", "neighbour-spot"}
    assert "equally well" in tied.summary


def test_a_slip_of_its_own_in_each_lane_is_said_to_be_no_single_one():
    found = paper("4.00", "0.05", None)
    assert found.verdict == "several"
    assert "look at each" in found.summary


def test_right_papers_empty_papers_and_single_slips():
    assert paper("0.25", "0.50", "0.75").verdict == "right"
    assert paper("0.25").summary == "The R_f stated is right."
    assert explain_paper([]).verdict == "nothing"
    single = paper("0.25", "2.00", "0.75")
    assert (single.verdict, single.hint) == ("single", "")
    assert single.summary.startswith("lane 2: One slip explains this")


def test_a_constant_plus_that_no_known_length_gives_is_a_pattern():
    # 0.25, 0.50, 0.75 all 0.09 too high: 7.2 mm of 80.
    found = paper("0.34", "0.59", "0.84")
    assert found.verdict == "pattern"
    assert found.patterns[0].kind == "plus"
    assert "too high by the same 0.09, that is 7.2 mm of the run" in found.summary
    assert found.hint


def test_a_constant_factor_that_no_known_length_gives_is_a_pattern():
    # A front of 110 instead of 80 mm: factor 0.727.
    found = paper("0.18", "0.36", "0.55")
    assert [pattern.kind for pattern in found.patterns] == ["factor"]
    assert "too low by the same factor, 0.73" in found.summary


def test_a_line_that_is_not_the_origin_line_shrinks_the_distance_from_the_front():
    # All from a line 20 mm lower: 40/100, 60/100, 80/100; 1 - R_f is 0.8 of what it should be.
    found = paper("0.40", "0.60", "0.80")
    assert [pattern.kind for pattern in found.patterns] == ["factor from the front"]
    assert "one line that is not the origin line" in found.summary


def pairs(rights, founds, within="0.005"):
    return [
        Pair(lane, D(right), D(found), D(within))
        for lane, (right, found) in enumerate(zip(rights, founds, strict=True), start=1)
    ]


def test_lanes_counted_from_the_other_side():
    found = patterns_in(pairs(["0.11", "0.30", "0.55", "0.80"], ["0.80", "0.55", "0.30", "0.11"]))
    assert [pattern.kind for pattern in found] == ["lanes reversed"]


@pytest.mark.parametrize(
    ("founds", "side"),
    [(["0.30", "0.55", "0.80", "0.99"], "right"), (["0.99", "0.11", "0.30", "0.55"], "left")],
)
def test_lanes_counted_from_the_wrong_one(founds, side):
    found = patterns_in(pairs(["0.11", "0.30", "0.55", "0.80"], founds))
    assert [pattern.kind for pattern in found] == ["lanes shifted"]
    assert f"to its {side}" in found[0].sentence


def test_two_readers_of_one_paper_can_be_compared_too():
    # Not stated values but readings, each good to 0.02: one reader is 0.05 higher throughout.
    found = patterns_in(pairs(["0.10", "0.45", "0.80"], ["0.16", "0.49", "0.86"], "0.02"))
    assert [pattern.kind for pattern in found] == ["plus"]


def test_too_few_or_too_close_or_right_values_share_nothing():
    assert patterns_in(pairs(["0.2", "0.5"], ["0.3", "0.6"])) == ()
    assert patterns_in(pairs(["0.20", "0.21", "0.22"], ["0.30", "0.31", "0.32"])) == ()
    assert patterns_in(pairs(["0.2", "0.5", "0.7"], ["0.2", "0.5", "0.7"])) == ()
    assert patterns_in(pairs(["0.2", "0.5", "0.7"], ["0.9", "0.1", "0.6"])) == ()


EXPECTED = {"lysine": D("0.14"), "glycine": D("0.26"), "proline": D("0.43"), "leucine": D("0.73")}  # TB1


@pytest.mark.parametrize(
    ("found", "order"),
    [
        (("0.20", "0.33", "0.50", "0.80"), "as expected"),
        (("0.86", "0.74", "0.57", "0.27"), "reversed"),  # 1 - R_f
        (("0.20", "0.80", "0.50", "0.33"), "otherwise"),
        (("0.30", "0.31", "0.32", "0.33"), "too few"),
        (("0.20", "0.33"), "too few"),
    ],
)
def test_order_of_standards_against_the_published_order_tb1(found, order):
    said, sentence = standards_order(EXPECTED, dict(zip(EXPECTED, map(D, found), strict=False)))
    assert said == order
    assert sentence.endswith(".")


@settings(deadline=None)
@given(st.integers(0, 10**6), st.sampled_from(sorted(set(MADE) - {"digits-swapped", "neighbour-spot"})))
def test_a_slip_made_on_every_lane_is_found_or_tied(seed, slip):
    random = Random(seed)
    made = random_paper(random)
    spots = [
        StatedSpot(lane, f"lane {lane}", explained(made, lane, stated))
        for lane in range(len(made.spots_mm))
        if (stated := MADE[slip](made, lane, random)) is not None
    ]
    found = explain_paper(spots, run_mm=made.front_mm - made.origin_mm)
    assume(found.wrong > 1)
    assert slip in {one.slip for one in found.leading}
    assert all(one.explains == found.wrong for one in found.leading)


@settings(deadline=None)
@given(st.integers(0, 10**6))
def test_a_right_paper_is_never_accused(seed):
    made = random_paper(Random(seed))
    run = made.front_mm - made.origin_mm
    spots = [
        StatedSpot(lane, "", explained(made, lane, f"{rounded((spot - made.origin_mm) / run)}"))
        for lane, spot in enumerate(made.spots_mm)
    ]
    found = explain_paper(spots, run_mm=run)
    assert (found.verdict, found.slips, found.patterns) == ("right", (), ())
