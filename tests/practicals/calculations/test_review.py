"""Readings recomputed: what follows from what one person read."""

from decimal import Decimal

import pytest

from practicals.calculations.entry import LaneEntry, LaneFacts, PaperFacts, ReadingEntry, SpotEntry
from practicals.calculations.review import review_readings

PAPER = PaperFacts(
    width_mm=Decimal(100),
    height_mm=Decimal(120),
    origin_height_mm=Decimal(10),
    ruler_division_mm=Decimal(1),
    lanes=(LaneFacts(1, "glycine", "glycine", True), LaneFacts(2, "x", "unknown X", False)),
)


def entry(*spots, origin="10", front="110", lane=1, **more):
    return ReadingEntry(
        origin_mm=None if origin is None else Decimal(origin),
        front_mm=None if front is None else Decimal(front),
        lanes=(LaneEntry(lane, tuple(spots), **more),),
    )


def spot(centre="52", own_rf="", **edges):
    return SpotEntry(None if centre is None else Decimal(centre), own_rf=own_rf, **edges)


def reviewed(*spots, **more):
    return review_readings(entry(*spots, **more), paper=PAPER)


def test_rf_is_the_distance_of_the_spot_over_that_of_the_front_iupac_r05353():
    # IUPAC Gold Book, retardation factor, doi:10.1351/goldbook.R05353: (52 - 10) / (110 - 10).
    (found,) = reviewed(spot("52")).spots
    assert (found.rf, found.rounded_rf) == (Decimal("0.42"), Decimal("0.42"))


def test_the_printed_value_rounds_half_up_common_practice():
    # Common practice, no source: 50/80 = 0.625 is written 0.63.
    (found,) = reviewed(spot("50", "0.63"), origin="0", front="80").spots
    assert (found.rounded_rf, found.verdict) == (Decimal("0.63"), "agrees")


@pytest.mark.parametrize(
    ("own", "first_word"),
    [
        ("0.42", "agrees"),
        ("0,42", "agrees"),
        ("0.4", "agrees"),
        ("2.38", "does"),
        ("0.58", "does"),
        ("0.11", "does"),
    ],
)
def test_the_verdicts_first_word_says_which_kind_it_is(own, first_word):
    (found,) = reviewed(spot("52", own)).spots
    assert found.verdict.split()[0] == first_word


def test_a_value_cut_off_is_called_truncated_with_what_it_rounds_to():
    # 29/53 = 0.5472, printed 0.54: case A1 of tests/published/chromatography_rf_worked_examples.csv.
    (found,) = reviewed(spot("29", "0.54"), origin="0", front="53").spots
    assert found.verdict == "truncated: rounds to 0.55"


def test_a_slip_is_named():
    (found,) = reviewed(spot("52", "2.38")).spots  # 100/42, inverted: common practice, no source
    assert found.verdict == "does not agree: inverted"
    assert found.differs
    assert not found.agrees


def test_a_lanes_own_front_counts_for_that_lane():
    # Case C2: 23 of 77 mm where the paper's other fronts are at 78 and 80 mm.
    (found,) = reviewed(spot("23"), origin="0", front="80").spots
    assert found.rounded_rf == Decimal("0.29")
    own = ReadingEntry(
        origin_mm=Decimal(0), front_mm=Decimal(80), lanes=(LaneEntry(1, (spot("23"),), front_mm=Decimal(77)),)
    )
    (found,) = review_readings(own, paper=PAPER).spots
    assert found.rounded_rf == Decimal("0.30")


def test_edges_give_the_centre_between_them():
    (found,) = reviewed(spot(None, leading_mm=Decimal(54), trailing_mm=Decimal(50))).spots
    assert (found.centre_mm, found.rf) == (Decimal(52), Decimal("0.42"))


@pytest.mark.parametrize("missing", ["origin", "front"])
def test_without_origin_or_front_there_is_no_rf_and_no_verdict_that_accuses(missing):
    result = reviewed(spot("52", "0.42"), **{missing: None})
    (found,) = result.spots
    assert (found.rf, found.rounded_rf, found.uncertainty, found.explanation) == (None, None, None, None)
    assert found.verdict.startswith("cannot be checked")
    assert not found.differs
    assert any(missing in gap.sentence or "front" in gap.sentence for gap in result.missing)


@pytest.mark.parametrize("front", ["10", "5"])
def test_a_front_not_above_the_origin_is_kept_and_flagged(front):
    result = reviewed(spot("52", "0.42"), front=front)
    assert result.spots[0].rf is None
    assert "front-not-above-origin" in {doubt.kind for doubt in result.impossible}


def test_a_spot_beyond_the_front_is_kept_with_its_doubt():
    (found,) = reviewed(spot("115")).spots
    assert found.rf == Decimal("1.05")
    assert [doubt.kind for doubt in found.doubts] == ["beyond-front"]


def test_a_whole_entry_misses_nothing():
    lanes = (
        LaneEntry(1, (spot("52", "0.42"),)),
        LaneEntry(2, (spot("53", "0.43", identified_as="glycine"),)),
    )
    result = review_readings(
        ReadingEntry(origin_mm=Decimal(10), front_mm=Decimal(110), lanes=lanes), paper=PAPER
    )
    assert result.missing == ()
    assert result.complete
    assert (result.lanes_complete, result.stated, result.flags) == (2, 2, 0)
    assert [lane.told for lane in result.unknowns] == ["glycine"]
    assert [lane.name for lane in result.standards] == ["glycine"]


def test_gaps_are_said_lane_by_lane():
    result = reviewed(spot("52"), lane=2)
    assert [(gap.lane, gap.sentence.split(": ")[1][:8]) for gap in result.missing] == [
        (1, "no spot "),
        (2, "your own"),
        (2, "you have"),
    ]


def test_nothing_entered_at_all_can_be_reviewed():
    result = review_readings(ReadingEntry(), paper=PAPER)
    assert not result.complete
    assert (result.lanes_complete, result.doubts, result.spots) == (0, (), ())


def test_no_result_of_the_paper_leaves_nothing_missing():
    result = review_readings(ReadingEntry(no_result="front lost"), paper=PAPER)
    assert result.complete
    assert all(lane.no_result == "front lost" for lane in result.lanes)


def test_no_result_of_a_lane_completes_that_lane_only():
    result = reviewed(lane=1, no_result="no spot")
    assert [lane.complete for lane in result.lanes] == [True, False]


def test_a_standard_is_never_asked_what_it_is_and_cannot_tell_is_an_answer():
    result = reviewed(spot("52", "0.42", cannot_tell=True), lane=2)
    assert result.lanes[1].complete
    assert result.lanes[1].told == "cannot be told apart"


@pytest.mark.parametrize(
    ("first", "second", "complete", "told"),
    [
        (
            {"identified_as": "glycine"},
            {"cannot_tell": True},
            True,
            "spot 1 glycine, spot 2 cannot be told apart",
        ),
        ({"identified_as": "glycine"}, {}, False, "spot 1 glycine"),
        ({}, {"cannot_tell": True}, False, "spot 2 cannot be told apart"),
        ({}, {}, False, ""),
    ],
)
def test_an_unknown_is_complete_when_each_spot_has_its_answer(first, second, complete, told):
    result = reviewed(spot("52", "0.42", **first), spot("77", "0.67", **second), lane=2)
    assert (result.lanes[1].complete, result.lanes[1].told) == (complete, told)
    assert all(told != one.sentence for one in result.missing)


def test_what_has_no_answer_is_missed_spot_by_spot():
    result = reviewed(spot("52", "0.42", identified_as="glycine"), spot("77", "0.67"), lane=2)
    said = [gap.sentence for gap in result.missing if gap.lane == 2]
    assert said == ["Lane 2, unknown X: you have not said what spot 2 is."]


def test_one_standard_for_two_spots_is_a_doubt_at_the_later_one():
    twice = spot("52", "0.42", identified_as="glycine"), spot("77", "0.67", identified_as="glycine")
    result = reviewed(*twice, lane=2)
    (doubt,) = [doubt for doubt in result.doubts if doubt.kind == "named-twice"]
    assert (doubt.severity, doubt.lane, doubt.spot) == ("doubtful", 2, 2)
    assert "spots 1 and 2 are both taken for glycine" in doubt.sentence
    assert doubt in result.spots[1].doubts


@pytest.mark.parametrize("second", [{"identified_as": "alanine"}, {"cannot_tell": True}, {}])
def test_two_names_or_none_are_no_doubt(second):
    result = reviewed(spot("52", identified_as="glycine"), spot("77", **second), lane=2)
    assert "named-twice" not in {doubt.kind for doubt in result.doubts}


@pytest.mark.parametrize("own", ["NaN", "abc", "1e999", "Infinity"])
def test_a_stored_text_that_is_no_number_does_not_break_the_page(own):
    (found,) = reviewed(spot("52", own)).spots
    assert found.explanation is None
    assert not found.differs


def test_the_uncertainty_is_that_of_the_ruler_jcgm_100():
    # JCGM 100:2008, 4.3.7: 1 mm divisions give 0.2887 mm a reading; sqrt(1 + 0.58^2 + 0.42^2)/100 of it.
    (found,) = reviewed(spot("52")).spots
    assert found.uncertainty == pytest.approx(0.2887 * (1 + 0.58**2 + 0.42**2) ** 0.5 / 100, rel=1e-3)


def test_a_neighbours_spot_is_among_the_slips():
    lanes = (LaneEntry(1, (spot("52", "0.67"),)), LaneEntry(2, (spot("77"),)))
    result = review_readings(
        ReadingEntry(origin_mm=Decimal(10), front_mm=Decimal(110), lanes=lanes), paper=PAPER
    )
    assert "neighbour-spot" in {match.slip for match in result.spots[0].explanation.matches}
