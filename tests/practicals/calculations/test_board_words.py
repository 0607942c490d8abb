"""What the board says. The wording is ours; the values behind it are worked beside each check."""

from decimal import Decimal

import pytest

from practicals.calculations.amended import Change, changes_between
from practicals.calculations.board_words import flag_words, group_stage, reading_state
from practicals.calculations.entry import LaneEntry, LaneFacts, PaperFacts, ReadingEntry, SpotEntry
from practicals.calculations.review import review_readings

PAPER = PaperFacts(
    Decimal(100),
    Decimal(120),
    Decimal(15),
    Decimal(1),
    (LaneFacts(1, "gly", "glycine", True), LaneFacts(2, "ala", "alanine", True)),
)


def reviewed(*lanes, **more):
    return review_readings(
        ReadingEntry(**{"origin_mm": Decimal(15), "front_mm": Decimal(95), "lanes": lanes, **more}),
        paper=PAPER,
    )


def lane(number, centre, own=""):
    return LaneEntry(number, (SpotEntry(Decimal(centre), own_rf=own),))


def test_nothing_amiss_gives_no_flag():
    # (35 - 15) / (95 - 15) = 0.25; (55 - 15) / 80 = 0.50
    assert flag_words(reviewed(lane(1, 35, "0.25"), lane(2, 55, "0.50"))) == ()


def test_impossible_comes_before_own_values_that_differ():
    # 110 lies beyond the front at 95; 80 / 20 = 4.00 is 0.25 inverted.
    flags = flag_words(reviewed(lane(1, 35, "4.00"), lane(2, 110)))
    assert flags[0] == "1 impossible"
    assert flags[-1].startswith("own R_f differs in 1: invert")


def test_a_doubtful_spot_is_counted_as_doubtful():
    # (17 - 15) / 80 = 0.025, below 0.05: design's limit, common practice, no source.
    assert "1 doubtful" in flag_words(reviewed(lane(1, 17), lane(2, 55)))


def test_the_same_slip_in_two_lanes_is_named_once_with_its_count():
    # 80 / 20 = 4.00 and 80 / 40 = 2.00
    (flag,) = flag_words(reviewed(lane(1, 35, "4.00"), lane(2, 55, "2.00")))
    assert flag.startswith("own R_f differs in 2: ")
    assert flag.count("invert") == 1
    assert flag.endswith("(2)")


def test_what_no_slip_explains_is_said_to_be_unexplained():
    (flag,) = flag_words(reviewed(lane(1, 35, "0.91"), lane(2, 55)))
    assert "none of the usual slips explains it (1)" in flag


@pytest.mark.parametrize(
    ("lanes", "more", "locked", "expected"),
    [
        ((), {"origin_mm": None, "front_mm": None}, False, ("nothing yet", "not-yet")),
        ((), {}, False, ("draft, 0 of 2 lanes", "open")),
        ((lane(1, 35, "0.25"),), {}, False, ("draft, 1 of 2 lanes", "open")),
        ((lane(1, 35, "0.25"), lane(2, 55, "0.50")), {}, False, ("draft, 2 of 2 lanes", "open")),
        ((lane(1, 35, "0.25"), lane(2, 55, "0.50")), {}, True, ("finished", "done")),
        ((lane(1, 35, "0.25"),), {}, True, ("finished, 1 of 2 lanes", "done")),
        ((), {"no_result": "torn"}, False, ("no result, not finished", "open")),
        ((), {"no_result": "torn"}, True, ("no result, finished", "done")),
    ],
)
def test_how_far_a_set_of_readings_is(lanes, more, locked, expected):
    assert reading_state(reviewed(*lanes, **more), locked=locked) == expected


@pytest.mark.parametrize(
    ("kinds", "words"),
    [
        ([], "nobody here"),
        (["not-yet", "not-yet"], "nothing entered"),
        (["not-yet", "done"], "measuring"),
        (["open", "done"], "measuring"),
        (["done", "done"], "all finished"),
    ],
)
def test_how_far_a_group_is(kinds, words):
    assert group_stage(kinds)[0] == words


def test_changes_are_listed_in_the_order_of_the_paper():
    before = (
        '{"origin_mm":"15","front_mm":"95","lanes":[{"number":1,"spots":[{"number":1,"centre_mm":"35"}]}]}'
    )
    after = (
        '{"origin_mm":"16","front_mm":"95","lanes":[{"number":1,"spots":'
        '[{"number":1,"centre_mm":"36","cannot_tell":true},{"number":2,"centre_mm":"50","own_rf":"0.43"}]}]}'
    )
    assert changes_between(before, after) == (
        Change("origin line [mm]", "15", "16"),
        Change("lane 1, spot 1, cannot be told apart", "", "yes"),
        Change("lane 1, spot 1, centre [mm]", "35", "36"),
        Change("lane 1, spot 2, centre [mm]", "", "50"),
        Change("lane 1, spot 2, own R_f", "", "0.43"),
    )


def test_the_same_text_has_no_changes_and_no_json_is_an_error():
    same = '{"origin_mm":"15","lanes":[]}'
    assert changes_between(same, same) == ()
    with pytest.raises(ValueError, match="Expecting value"):
        changes_between("", same)
