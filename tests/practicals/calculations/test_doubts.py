"""What is impossible or doubtful about a set of readings."""

from decimal import Decimal

import pytest

from practicals.calculations.doubts import PaperReading, SpotReading, doubts

D = Decimal


def paper(*spots, origin="10", front="90", **more):
    height = more.pop("paper_height_mm", D(110))
    return PaperReading(
        origin_mm=D(origin), front_mm=D(front), spots=tuple(spots), paper_height_mm=height, **more
    )


def spot(centre=None, lane=1, number=1, leading=None, trailing=None):
    def dec(value):
        return None if value is None else D(value)

    return SpotReading(lane, number, dec(centre), dec(leading), dec(trailing))


def kinds(reading, **more):
    return [(doubt.kind, doubt.severity) for doubt in doubts(reading, **more)]


def test_ordinary_readings_raise_no_doubt():
    assert kinds(paper(spot("40"), spot("60", lane=2), origin_height_mm=D(10))) == []


@pytest.mark.parametrize(
    ("centre", "kind", "severity"),
    [
        # 0.82 mm is twice the uncertainty of a difference of two readings, 2 x 0.408 (JCGM 100, 4.3.7).
        ("90.8", "rf-very-high", "doubtful"),
        ("90.9", "beyond-front", "impossible"),
        ("9.2", "rf-very-low", "doubtful"),
        ("9.1", "below-origin", "impossible"),
        # The limits 0.05 and 0.95: common practice, no source.
        ("13", "rf-very-low", "doubtful"),
        ("87", "rf-very-high", "doubtful"),
    ],
)
def test_place_of_a_spot_jcgm_100_4_3_7(centre, kind, severity):
    assert kinds(paper(spot(centre))) == [(kind, severity)]


@pytest.mark.parametrize("centre", ["14", "86", "50"])
def test_limits_themselves_are_not_doubtful_common_practice(centre):
    assert kinds(paper(spot(centre))) == []


@pytest.mark.parametrize("front", ["10", "8", "-3"])
def test_front_not_above_origin_is_impossible_and_spots_are_left_alone(front):
    assert kinds(paper(spot("40"), front=front)) == [("front-not-above-origin", "impossible")]


def test_front_above_paper_with_the_rulers_zero_at_the_edge():
    assert kinds(paper(front="112")) == [("front-above-paper", "impossible")]


def test_front_above_paper_with_the_rulers_zero_at_the_origin_line():
    # 95 mm above a line that is 20 mm up: 115 mm on a paper of 110 mm.
    found = kinds(paper(origin="0", front="95", origin_height_mm=D(20)))
    assert found == [("front-above-paper", "impossible")]
    assert kinds(paper(origin="0", front="85", origin_height_mm=D(20))) == []


def test_front_at_the_top_edge_may_have_run_off():
    assert kinds(paper(front="110")) == [("front-at-top", "doubtful")]


def test_front_of_28_mm_is_a_short_run_jcgm_100():
    # By hand: 0.2887 x sqrt 2 / 28 = 0.0146, above 0.01; 0.2887 x sqrt 2 / 50 = 0.0082, below it.
    assert kinds(paper(origin="0", front="28")) == [("short-run", "doubtful")]
    assert kinds(paper(origin="0", front="50")) == []
    assert kinds(paper(origin="0", front="28"), wanted_uncertainty=0.02) == []


def test_each_lane_is_judged_by_its_own_front():
    reading = paper(spot("85", lane=1), spot("85", lane=2), lane_fronts_mm={2: D(80)})
    assert [(doubt.kind, doubt.lane) for doubt in doubts(reading)] == [("beyond-front", 2)]


def test_a_lanes_own_front_is_judged_like_the_papers():
    found = doubts(paper(lane_fronts_mm={3: D(120), 4: D(9)}))
    assert [(doubt.kind, doubt.lane) for doubt in found] == [
        ("front-above-paper", 3),
        ("front-not-above-origin", 4),
    ]


def test_a_paper_without_a_front_is_not_judged_yet():
    assert doubts(PaperReading(origin_mm=D(10), front_mm=None, spots=(spot("40"),))) == []


def test_swapped_edges_are_impossible():
    assert kinds(paper(spot(leading="38", trailing="44"))) == [("edges-swapped", "impossible")]


def test_centre_outside_its_edges_is_impossible():
    assert kinds(paper(spot("50", leading="44", trailing="38"))) == [("centre-outside-edges", "impossible")]


def test_a_streak_longer_than_a_quarter_of_the_run_is_doubtful_common_practice():
    assert kinds(paper(spot(leading="61", trailing="40"))) == [("long-tail", "doubtful")]
    assert kinds(paper(spot(leading="60", trailing="40"))) == []


def test_lanes_closer_than_5_mm_are_doubtful_met13():
    reading = paper(lane_positions_mm={1: D(20), 2: D(24), 3: D(29)})
    assert [(doubt.kind, doubt.lane) for doubt in doubts(reading)] == [("lanes-too-close", 2)]


def test_spots_of_one_lane_that_overlap_or_coincide():
    overlapping = paper(spot(leading="44", trailing="38"), spot(leading="47", trailing="42", number=2))
    assert kinds(overlapping) == [("spots-overlap", "doubtful")]
    assert kinds(paper(spot("40"), spot("40", number=2))) == [("same-spot-twice", "doubtful")]
    assert kinds(paper(spot("40"), spot("40", lane=2))) == []


def test_origin_line_far_from_where_it_was_planned():
    found = kinds(paper(origin="20", front="95", origin_height_mm=D(10)))
    assert found == [("origin-not-as-planned", "doubtful")]


def test_impossible_comes_before_doubtful_and_every_doubt_is_a_sentence():
    found = doubts(paper(spot("12"), spot("95", lane=2)))
    assert [doubt.severity for doubt in found] == ["impossible", "doubtful"]
    assert all(doubt.sentence.endswith(".") and "mm" in doubt.sentence for doubt in found[:1])
    assert found[0].lane == 2


@pytest.mark.parametrize("huge", ["1e9", "-1e9", "1e-9"])
def test_absurd_readings_are_flagged_not_refused(huge):
    assert doubts(paper(spot(huge)))
    assert isinstance(doubts(paper(front=huge)), list)
