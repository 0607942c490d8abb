"""A paper drawn to scale: every place worked out by hand from the readings."""

from decimal import Decimal

import pytest

from practicals.calculations.doubts import SpotReading
from practicals.calculations.drawing import DrawingError, draw_paper

D = Decimal


def paper(**more):
    return draw_paper(
        **{
            "width_mm": D(100),
            "height_mm": D(120),
            "origin_height_mm": D(20),
            "labels": ["glycine", "X", "leucine", "Y"],
            "origin_mm": D(20),
            "front_mm": D(110),
        }
        | more
    )


def test_places_with_the_rulers_zero_at_the_lower_edge():
    drawn = paper(spots=[SpotReading(2, 1, centre_mm=D(65))])
    assert drawn.origin_y == 100  # 120 - 20
    assert drawn.fronts[0].y == 10  # 120 - 110
    assert (drawn.spots[0].cx, drawn.spots[0].cy) == (D("37.5"), 55)  # lane 2 of 4; 120 - 65


def test_places_with_the_rulers_zero_at_the_origin_line():
    drawn = paper(origin_mm=D(0), front_mm=D(90), spots=[SpotReading(2, 1, centre_mm=D(45))])
    assert drawn.origin_y == 100
    assert drawn.fronts[0].y == 10
    assert drawn.spots[0].cy == 55


def test_the_line_is_drawn_where_it_was_read_not_where_it_was_planned():
    assert paper(origin_mm=D(15)).origin_y == 105


def test_lanes_are_spread_evenly_and_labelled():
    drawn = paper()
    assert [lane.x for lane in drawn.lanes] == [D("12.5"), D("37.5"), D("62.5"), D("87.5")]
    assert [(lane.number, lane.label) for lane in drawn.lanes][1] == (2, "X")


def test_a_spots_height_is_between_its_edges_and_its_width_within_the_lane():
    (spot,) = paper(spots=[SpotReading(1, 1, leading_mm=D(66), trailing_mm=D(60))]).spots
    assert (spot.cy, spot.ry, spot.rx) == (57, 3, 3)
    (streak,) = paper(spots=[SpotReading(1, 1, leading_mm=D(80), trailing_mm=D(40))]).spots
    assert (streak.ry, streak.rx) == (20, 5)


def test_a_lane_may_have_its_own_front():
    own = paper(lane_fronts_mm={3: D(105)}).fronts[1]
    assert (own.lane, own.y, own.x1, own.x2) == (3, 15, 50, 75)


def test_doubtful_spots_are_flagged():
    spots = [SpotReading(1, 1, centre_mm=D(60)), SpotReading(1, 2, centre_mm=D(80))]
    drawn = paper(spots=spots, doubtful={(1, 2)})
    assert [spot.doubtful for spot in drawn.spots] == [False, True]


@pytest.mark.parametrize(("reading", "y"), [("1e9", -4), ("-1e9", 124), ("125", -4), ("121", -1)])
def test_what_lies_off_the_paper_is_drawn_just_outside_it(reading, y):
    (spot,) = paper(spots=[SpotReading(1, 1, centre_mm=D(reading))]).spots
    assert (spot.cy, spot.outside) == (y, True)


def test_ticks_carry_the_rulers_reading():
    ticks = paper().ticks
    assert len(ticks) == 121  # 0 to 120 mm
    assert [(tick.y, tick.label) for tick in ticks if tick.size == "major"][:2] == [(120, "0"), (110, "10")]
    assert sum(tick.size == "middle" for tick in ticks) == 12


def test_ticks_start_at_the_origin_line_if_the_ruler_did():
    ticks = {tick.label: tick.y for tick in paper(origin_mm=D(0), front_mm=D(90)).ticks if tick.label}
    assert ticks["0"] == 100
    assert ticks["-20"] == 120


def test_the_same_in_words():
    words = paper(
        spots=[SpotReading(1, 1, centre_mm=D("65.0")), SpotReading(3, 1, centre_mm=D(130))]
    ).description
    assert words == (
        "Paper 100 mm wide and 120 mm high, origin line 20 mm above the lower edge. "
        "The solvent front has been read at 110 mm. Lane 1, glycine, spots: 1 at 65 mm. "
        "Lane 2, X, spots: none. Lane 3, leucine, spots: 1 at 130 mm (off the paper). Lane 4, Y, spots: none."
    )


def test_an_empty_paper_can_be_drawn_before_anything_is_read():
    drawn = paper(origin_mm=None, front_mm=None)
    assert (drawn.origin_y, drawn.fronts, drawn.spots) == (100, (), ())
    assert "has not been read" in drawn.description


def test_spots_without_a_centre_or_a_lane_are_left_out():
    assert paper(spots=[SpotReading(1), SpotReading(9, 1, centre_mm=D(50))]).spots == ()


@pytest.mark.parametrize("size", ["0", "-5", "1e9", "NaN"])
def test_a_paper_without_a_usable_size_is_refused_in_a_sentence(size):
    with pytest.raises(DrawingError, match="at most 2000 mm"):
        paper(height_mm=D(size))
