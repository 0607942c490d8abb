"""Two spots of one paper, held against each other with their own uncertainty (JCGM 100:2008, 5.1.2)."""

from decimal import Decimal
from math import hypot

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practicals.calculations.close_spots import CLOSE, PlacedSpot, close_pairs
from practicals.calculations.entry import LaneEntry, LaneFacts, PaperFacts, ReadingEntry, SpotEntry
from practicals.calculations.measured import measure
from practicals.calculations.review import review_readings
from practicals.calculations.uncertainty import Located, rf_uncertainty

D = Decimal
U = 0.29


def at(mm):
    return Located(D(mm), U)


def standard(lane, mm, key=None, front=None):
    return PlacedSpot(lane, 1, key or f"s{lane}", f"{lane}, standard {lane}", True, at(mm), front)


def pairs(*spots, front=110):
    return close_pairs(spots, origin=at(10), front=None if front is None else at(front))


def test_two_standards_two_hundredths_apart_jcgm_100_5_1_2():
    # By hand, origin 10, front 110, spots 72 and 74 mm, each u = 0.29 mm: delta = 0.02,
    # u = sqrt(0.29^2 + 0.29^2 + 0.02^2 (0.29^2 + 0.29^2)) / 100 = 0.004102. As two values that share nothing
    # it would be 0.0049, which is wrong here.
    (pair,) = pairs(standard(1, 72), standard(2, 74))
    assert pair.difference.u == pytest.approx(0.004102, abs=1e-6)
    apart = [rf_uncertainty(at(mm), origin=at(10), front=at(110)).u for mm in (72, 74)]
    assert hypot(*apart) > 1.15 * pair.difference.u
    assert pair.sentence == (
        "Lanes 1, standard 1 and 2, standard 2: They differ by 0.020, more than the 0.008 (k = 2) that"
        " readings can account for: they can be told apart. But one substance can lie up to 0.04 apart in two"
        " lanes of a paper."
    )


def test_standards_half_a_millimetre_apart_cannot_be_told_apart():
    (pair,) = pairs(standard(1, "72"), standard(2, "72.5"))
    assert pair.sentence.endswith("they cannot be told apart.")


def test_all_that_stand_close_or_else_the_nearest_two():
    # Runs of 100 mm, so millimetres are hundredths: 20, 50, 53, 57 and 90.
    close = pairs(*(standard(lane, mm) for lane, mm in enumerate((30, 60, 63, 67, 100), start=1)))
    assert [(one.first.lane, one.second.lane) for one in close] == [(2, 3), (3, 4)]
    far = pairs(standard(1, 30), standard(2, 60), standard(3, 80))
    assert [(one.first.lane, one.second.lane) for one in far] == [(2, 3)]
    assert "But one substance" not in far[0].sentence


def test_one_substance_in_two_lanes_and_unknowns_are_no_pair_of_standards():
    assert pairs(standard(1, 60, "gly"), standard(2, 61, "gly")) == ()
    assert pairs(standard(1, 60), PlacedSpot(2, 1, "x", "2, Unknown X", False, at(60))) == ()


def test_spots_of_one_lane_are_compared_from_the_origin_line_up():
    spots = [PlacedSpot(3, number, "x", "3, Unknown X", False, at(mm)) for number, mm in ((1, 82), (2, 54))]
    (pair,) = pairs(*spots)
    assert pair.sentence.startswith("Lane 3, spots 2 and 1: They differ by 0.280, more than the 0.009")


def test_impossible_spots_and_missing_lines_are_compared_with_nothing():
    assert pairs(standard(1, 5), standard(2, 130), standard(3, 60)) == ()
    assert pairs(standard(1, 60), standard(2, 61), front=None) == ()
    assert pairs(standard(1, 60), standard(2, 61), front=10) == ()
    assert pairs() == ()


def test_lanes_with_their_own_front_need_no_front_of_the_paper():
    own = Located(D(110), U)
    (pair,) = pairs(standard(1, 60, front=own), standard(2, 61, front=own), standard(3, 61), front=None)
    assert (pair.first.lane, pair.second.lane) == (1, 2)


@given(st.lists(st.integers(-50, 250), max_size=8), st.sampled_from([None, 10, 90, 110]))
def test_whatever_is_read_gives_sentences_and_no_broken_figure(places, front):
    found = pairs(*(standard(lane, mm) for lane, mm in enumerate(places)), front=front)
    assert not any(word in one.sentence for one in found for word in ("nan", "inf", "None"))
    close = [one for one in found if abs(one.difference.delta) <= CLOSE]
    assert close or len({one.difference.delta for one in found}) <= 1 or not found


def test_they_stand_among_what_the_readings_are_worth():
    lanes = (LaneFacts(1, "leu", "leucine", True), LaneFacts(2, "ile", "isoleucine", True))
    checked = review_readings(
        ReadingEntry(
            origin_mm=D(10),
            front_mm=D(110),
            lanes=(LaneEntry(1, (SpotEntry(D(83)),)), LaneEntry(2, (SpotEntry(D(82)),))),
        ),
        paper=PaperFacts(D(100), D(150), D(10), D(1), lanes),
    )
    found = measure(checked, paper=PaperFacts(D(100), D(150), D(10), D(1), lanes))
    assert [one.sentence[:40] for one in found.neighbours] == ["Lanes 2, isoleucine and 1, leucine: They"]
