"""Frozen texts are read back exactly, and what is no such text is a sentence."""

import json
from datetime import UTC, datetime
from decimal import Decimal

import pytest

from assessment.calculations.frozen_paper import (
    FrozenRemark,
    FrozenTextError,
    FrozenWriting,
    read_entry,
    read_paper,
    read_remarks,
    read_writing,
)
from practicals.calculations.entry import SpotEntry

SPOT = {
    "number": 1,
    "centre_mm": "34.5",
    "leading_mm": None,
    "trailing_mm": None,
    "own_rf": "0,24",
    "identified_as": "",
    "cannot_tell": False,
}
LANE = {"number": 1, "front_mm": None, "no_result": "", "spots": [SPOT]}
ENTRY = {"unit": "mm", "origin_mm": "15", "front_mm": "95.5", "no_result": "", "lanes": [LANE]}
PAPER = {
    "label": "Group 1, paper A",
    "practical": "Amino acids",
    "edition": 2,
    "stationary_phase": "paper",
    "mobile_phase": "6 : 1.5 : 2.5",
    "batch": "MP-1",
    "source": "own group's paper",
    "locked_at": "2026-11-24T10:00:00+00:00",
    "width_mm": "100",
    "height_mm": "120",
    "origin_height_mm": "15",
    "ruler_division_mm": "1",
    "lanes": [
        {"number": 2, "key": "x", "name": "unknown X", "is_standard": False, "applied_by_this_learner": True},
        {"number": 1, "key": "g", "name": "glycine", "is_standard": True, "applied_by_this_learner": False},
    ],
    "photos": ["ab"],
    "amendments": [{"at": "2026-11-25T10:00:00+00:00", "reason": "slip", "before": "{}"}],
}


def test_lengths_come_back_as_the_decimals_they_were():
    entry = read_entry(json.dumps(ENTRY))
    assert (entry.origin_mm, entry.front_mm) == (Decimal(15), Decimal("95.5"))
    assert entry.lanes[0].spots == (SpotEntry(Decimal("34.5"), own_rf="0,24"),)


def test_each_spot_keeps_its_own_name():
    spots = [{**SPOT, "identified_as": "glycine"}, {**SPOT, "number": 2, "cannot_tell": True}]
    entry = read_entry(json.dumps({**ENTRY, "lanes": [{**LANE, "spots": spots}]}))
    assert [(spot.identified_as, spot.cannot_tell) for spot in entry.lanes[0].spots] == [
        ("glycine", False),
        ("", True),
    ]


def test_a_first_edition_that_named_the_lane_named_each_of_its_spots():
    bare = {key: value for key, value in SPOT.items() if key not in ("identified_as", "cannot_tell")}
    lane = {**LANE, "identified_as": "glycine", "cannot_tell": False, "spots": [bare, {**bare, "number": 2}]}
    entry = read_entry(json.dumps({**ENTRY, "lanes": [lane]}))
    assert [spot.identified_as for spot in entry.lanes[0].spots] == ["glycine", "glycine"]


def test_a_half_width_and_a_colour_come_back_where_they_were_stated():
    spots = [SPOT | {"judged_to_mm": "1.5", "colour": "yellow"}, SPOT | {"number": 2}]
    first, second = read_entry(json.dumps(ENTRY | {"lanes": [LANE | {"spots": spots}]})).lanes[0].spots
    assert (first.judged_to_mm, first.colour) == (Decimal("1.5"), "yellow")
    assert (second.judged_to_mm, second.colour) == (None, "")


@pytest.mark.parametrize("judged", ["0", "-1", "26", "NaN", "1e9", "1,5"])
def test_a_half_width_that_nobody_judges_is_refused(judged):
    spots = [SPOT | {"judged_to_mm": judged}]
    with pytest.raises(FrozenTextError):
        read_entry(json.dumps(ENTRY | {"lanes": [LANE | {"spots": spots}]}))


def test_a_centre_found_from_the_edges_is_left_to_them():
    spot = SPOT | {"centre_mm": "34", "leading_mm": "36", "trailing_mm": "32"}
    entry = read_entry(json.dumps(ENTRY | {"lanes": [LANE | {"spots": [spot]}]}))
    assert entry.lanes[0].spots[0].centre_mm is None
    assert entry.lanes[0].spots[0].place_mm == 34


def test_a_paper_comes_back_with_its_lanes_in_order():
    paper = read_paper(json.dumps(PAPER))
    assert [lane.name for lane in paper.facts.lanes] == ["glycine", "unknown X"]
    assert paper.applied_lanes == (2,)
    assert paper.locked_at == datetime(2026, 11, 24, 10, tzinfo=UTC)
    assert paper.amendments[0].reason == "slip"
    assert str(paper) == "Group 1, paper A"


def test_writing_and_remarks_come_back():
    assert read_writing('{"conclusion":"a\\nb","evaluation":""}') == FrozenWriting("a\nb", "")
    later = {"at": "2026-11-24T11:00:00+00:00", "text": "second", "by": "the program"}
    first = {"at": "2026-11-24T10:00:00+00:00", "text": "first"}
    found = read_remarks(json.dumps([later, first]))
    assert [remark.text for remark in found] == ["first", "second"]
    assert found[1] == FrozenRemark(datetime(2026, 11, 24, 11, tzinfo=UTC), "second", "the program")


@pytest.mark.parametrize("read", [read_entry, read_paper, read_writing, read_remarks])
@pytest.mark.parametrize("text", ["", "{", "null", "7", '"x"', "[1]", '{"lanes": 3}', "[" * 100_000])
def test_what_is_no_such_text_is_a_sentence(read, text):
    with pytest.raises(FrozenTextError, match="cannot be read"):
        read(text)


@pytest.mark.parametrize(
    "change",
    [{"unit": "inch"}, {"origin_mm": "NaN"}, {"front_mm": "Infinity"}, {"front_mm": "12,5"}, {"lanes": [{}]}],
)
def test_readings_that_no_ruler_gives_are_refused(change):
    with pytest.raises(FrozenTextError):
        read_entry(json.dumps(ENTRY | change))


@pytest.mark.parametrize(
    "change", [{"width_mm": None}, {"locked_at": "yesterday"}, {"lanes": [{"number": "one"}]}, {"photos": 1}]
)
def test_a_paper_that_lacks_something_is_refused(change):
    with pytest.raises(FrozenTextError):
        read_paper(json.dumps(PAPER | change))
