"""Readings counted as evidence. The rules are the project's own; the R_f are worked by hand."""

from decimal import Decimal

import pytest

from assessment.calculations.evidence_counts import (
    PaperRead,
    codes_named,
    count_readings,
    count_words,
    in_short,
    is_supported,
)
from assessment.calculations.evidence_map import EvidenceFacts, map_evidence
from assessment.calculations.evidence_needs import EvidenceNeed
from assessment.calculations.unit_file import CriterionDefinition
from practicals.calculations.entry import LaneEntry, LaneFacts, PaperFacts, ReadingEntry, SpotEntry
from practicals.calculations.measured import measure
from practicals.calculations.review import review_readings

PAPER = PaperFacts(
    width_mm=Decimal(100),
    height_mm=Decimal(120),
    origin_height_mm=Decimal(15),
    ruler_division_mm=Decimal(1),
    lanes=(
        LaneFacts(1, "glycine", "glycine", True),
        LaneFacts(2, "alanine", "alanine", True),
        LaneFacts(3, "x", "unknown X", False),
    ),
)


def read(*centres, named="", own=("", "", ""), origin="15", front="95", no_result="", lane_ends=None):
    """Origin 15 mm, front 95 mm: 35 mm is (35 - 15) / 80 = 0.25, 45 mm is 0.375."""
    lanes = tuple(
        LaneEntry(
            number,
            spots=() if centre is None else (SpotEntry(Decimal(centre), own_rf=stated, identified_as=name),),
            no_result=(lane_ends or {}).get(number, ""),
        )
        for number, (centre, stated, name) in enumerate(
            zip(centres, own, ("", "", named), strict=True), start=1
        )
    )
    entry = ReadingEntry(
        origin_mm=Decimal(origin) if origin else None,
        front_mm=Decimal(front) if front else None,
        no_result=no_result,
        lanes=lanes,
    )
    return review_readings(entry, paper=PAPER)


def count(*reviews):
    return count_readings([paper_read(review) for review in reviews])


def paper_read(review, **more):
    return PaperRead(review, measure(review, paper=PAPER), **more)


def supported_by(review):
    return is_supported(review.unknowns[0], measure(review, paper=PAPER))


def test_nothing_read_counts_as_nothing():
    assert count_readings([]) == EvidenceFacts()


def test_a_paper_is_read_when_every_lane_has_a_spot_whatever_was_worked_out_from_it():
    facts = count(read("35", "45", "44"))
    assert (facts.papers_complete, facts.papers_begun, facts.spots, facts.own_rf_given) == (1, 1, 3, 0)


@pytest.mark.parametrize(
    "review", [read("35", "45", None), read("35", "45", "44", origin=""), read("35", "45", "44", front="")]
)
def test_a_paper_with_a_gap_is_begun_only(review):
    facts = count(review)
    assert (facts.papers_complete, facts.papers_begun) == (0, 1)


def test_a_lane_with_a_reason_leaves_no_gap_and_is_counted_as_without_result():
    facts = count(read("35", None, "44", lane_ends={2: "no spot"}))
    assert (facts.papers_complete, facts.no_results) == (1, 1)


def test_a_paper_without_result_is_one_and_not_read():
    facts = count(read(None, None, None, origin="", front="", no_result="torn"))
    assert (facts.papers_complete, facts.papers_begun, facts.no_results) == (0, 0, 1)


def test_own_values_are_right_or_explained_by_a_slip():
    # 0.25 is right; 80/30 = 2.67 is 0.375 upside down; 0.91 is nothing in particular.
    facts = count(read("35", "45", "44", own=("0.25", "2.67", "0.91")))
    assert (facts.own_rf_given, facts.own_rf_right, facts.own_rf_slips) == (3, 1, 1)


@pytest.mark.parametrize(
    ("unknown_mm", "named", "supported"),
    [("44", "alanine", True), ("44", "glycine", False), ("44", "", False), ("70", "alanine", False)],
)
def test_an_identification_is_supported_by_the_nearest_standard_on_the_paper(unknown_mm, named, supported):
    """70 mm is 0.69: alanine, at 0.38, is the nearest standard and still far."""
    review = read("35", "45", unknown_mm, named=named)
    assert supported_by(review) is supported


def test_between_two_standards_either_is_supported_only_within_reading():
    """40 mm is midway: both lie 5 mm, 0.06 away; 36 against 35 and 36 mm cannot be told apart."""
    midway = read("35", "45", "40", named="alanine")
    assert not supported_by(midway)
    close = read("35", "36", "36", named="glycine")
    assert supported_by(close)


def mixture(*spots):
    """An unknown with several spots beside glycine at 0.25 and alanine at 0.375."""
    standards = (LaneEntry(1, (SpotEntry(Decimal(35)),)), LaneEntry(2, (SpotEntry(Decimal(45)),)))
    entry = ReadingEntry(
        origin_mm=Decimal(15), front_mm=Decimal(95), lanes=(*standards, LaneEntry(3, tuple(spots)))
    )
    return review_readings(entry, paper=PAPER)


def spot_at(centre, named="", cannot_tell=False):
    return SpotEntry(Decimal(centre), identified_as=named, cannot_tell=cannot_tell)


@pytest.mark.parametrize(
    ("spots", "counted"),
    [
        ((spot_at(35, "glycine"), spot_at(45, "alanine")), (1, 1)),
        ((spot_at(35, "alanine"), spot_at(45, "glycine")), (1, 0)),
        ((spot_at(35, "glycine"), spot_at(70, "alanine")), (1, 0)),
        ((spot_at(35, "glycine"), spot_at(70, cannot_tell=True)), (1, 1)),
        ((spot_at(35, "glycine"), spot_at(45)), (0, 0)),
        ((spot_at(35, cannot_tell=True), spot_at(45, cannot_tell=True)), (0, 0)),
    ],
)
def test_a_mixture_counts_once_and_is_supported_where_each_named_spot_is(spots, counted):
    facts = count(mixture(*spots))
    assert (facts.identifications, facts.identifications_supported) == counted


def test_a_standard_without_a_spot_supports_nothing():
    review = read("35", None, "44", named="alanine")
    assert not supported_by(review)


def test_an_unknown_that_ran_on_two_papers_counts_once():
    facts = count(read("35", "45", "44", named="alanine"), read("35", "45", "44", named="glycine"))
    assert (facts.identifications, facts.identifications_supported) == (1, 1)


def test_another_source_and_impossible_readings_are_counted():
    facts = count_readings([paper_read(read("35", "45", "105"), other_source=True)])
    assert facts.another_group_source
    assert facts.readings_flagged >= 1


def test_words_and_codes():
    assert count_words("  The spot\nran  far. ") == 4
    assert count_words("") == 0
    assert codes_named(["p1: spots small", "see (M1)."], ["P1", "P10", "M1"]) == {"P1", "M1"}


def test_in_short_counts_and_does_not_judge():
    needs = (EvidenceNeed("readings"), EvidenceNeed("conclusion", 30))
    criteria = [CriterionDefinition("P1", "pass", "Read.", needs), CriterionDefinition("P2", "pass", "See.")]
    nothing, unnamed = map_evidence(criteria, EvidenceFacts())
    assert (in_short(nothing), in_short(unnamed)) == ("2 missing", "look at all")
    some, _ = map_evidence(criteria, EvidenceFacts(papers_complete=1, conclusion_words=5))
    assert in_short(some) == "1 to look at"
    everything, _ = map_evidence(criteria, EvidenceFacts(papers_complete=1, conclusion_words=50))
    assert in_short(everything) == "all there"
