from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessment.calculations.evidence_map import EvidenceFacts, map_evidence, remarks
from assessment.calculations.evidence_needs import (
    NEED_KINDS,
    EvidenceNeed,
    EvidenceNeedError,
    describe_need,
    need_as_dict,
    read_need,
)
from assessment.calculations.unit_file import CriterionDefinition, shipped_units

ALL_THERE = EvidenceFacts(
    papers_complete=2,
    papers_begun=2,
    spots=12,
    own_rf_given=6,
    own_rf_right=6,
    identifications=2,
    identifications_supported=2,
    conclusion_words=250,
    evaluation_words=250,
    photos=1,
    observed=frozenset({"P1", "M1"}),
    declared=True,
)


def item(need, facts, code="P1"):
    (criterion,) = map_evidence([CriterionDefinition(code, "pass", "text", (need,))], facts)
    return criterion.items[0]


def test_a_full_portfolio_of_the_shipped_unit_has_everything_to_be_judged():
    facts = replace(ALL_THERE, own_rf_given=9, own_rf_right=9)
    mapped = map_evidence(shipped_units()[0].criteria, facts)
    assert {found.state for criterion in mapped for found in criterion.items} == {"present"}
    assert mapped[0].sentence == "Everything named for P1 is there to be judged."


def test_an_empty_portfolio_lacks_everything():
    mapped = map_evidence(shipped_units()[0].criteria, EvidenceFacts())
    assert {found.state for criterion in mapped for found in criterion.items} == {"missing"}
    assert mapped[1].sentence == "P2: 0 of 2 there; 2 missing."


@pytest.mark.parametrize(
    ("need", "changes", "state", "sentence"),
    [
        (EvidenceNeed("readings", 2), {"papers_complete": 1}, "missing",
         "1 paper read completely, 2 asked for; 1 paper begun but not complete."),
        (EvidenceNeed("checks", 3), {}, "present",
         "All 6 own values agree with the readings, none is flagged."),
        (EvidenceNeed("checks", 7), {}, "missing", "6 own values to be checked, 7 asked for."),
        (EvidenceNeed("checks", 3), {"own_rf_right": 5, "own_rf_slips": 1}, "doubtful",
         "5 of 6 own values agree with the readings, 1 explained by a likely slip."),
        (EvidenceNeed("checks", 3), {"readings_flagged": 1}, "doubtful",
         "1 reading flagged as impossible or doubtful."),
        (EvidenceNeed("attachment"), {}, "missing", "0 files attached, 1 asked for."),
        (EvidenceNeed("attachment"), {"attachments": 2}, "present", "2 files attached, 1 asked for."),
        (EvidenceNeed("readings"), {}, "present", "2 papers read completely, 12 spots."),
        (EvidenceNeed("readings"), {"another_group_source": True}, "doubtful",
         (
             "Some readings come from another group's paper or supplied data, "
             "which this criterion does not allow for."
         )),
        (EvidenceNeed("readings", other_source=True), {"another_group_source": True}, "present",
         "2 papers read completely, 12 spots."),
        (EvidenceNeed("readings"), {"same_figures": True}, "doubtful",
         "The figures agree with another reader's beyond chance; ask the learner."),
        (EvidenceNeed("readings"), {"readings_flagged": 1}, "doubtful",
         "1 reading flagged as impossible or doubtful."),
        (EvidenceNeed("own_rf", 7), {}, "missing", "6 own values given, 7 asked for."),
        (EvidenceNeed("own_rf", 3), {"own_rf_right": 2, "own_rf_slips": 4}, "doubtful",
         "2 of 6 own values agree with the readings; 4 explained by a likely slip."),
        (EvidenceNeed("own_rf", 3), {"help_shown": 2}, "doubtful",
         "6 of 6 own values agree with the readings, help was shown twice: judge whose work it is."),
        (EvidenceNeed("identification", 2), {"identifications_supported": 1}, "doubtful",
         "2 unknowns identified, 1 supported by standards on the same paper."),
        (EvidenceNeed("identification", 3), {}, "missing", "2 unknowns identified, 3 asked for."),
        (EvidenceNeed("conclusion", 30), {"conclusion_words": 0}, "missing", "No conclusion is written."),
        (EvidenceNeed("evaluation", 30), {"evaluation_words": 1}, "doubtful",
         "The evaluation has 1 word where about 30 are expected; length proves nothing, read it."),
        (EvidenceNeed("photo", 2), {}, "missing", "1 photo kept, 2 asked for."),
    ],
)  # fmt: skip
def test_each_need_says_what_is_there_and_why(need, changes, state, sentence):
    found = item(need, replace(ALL_THERE, **changes))
    assert (found.state, found.sentence) == (state, sentence)


@pytest.mark.parametrize(
    ("changes", "state", "words"),
    [
        ({}, "present", "An observation record names P1."),
        ({"observed": frozenset(), "half_signed": frozenset({"P1"})}, "doubtful", "not signed it yet"),
        ({"observed": frozenset(), "noted": frozenset({"P1"})}, "doubtful", "A bench note names P1"),
        ({"observed": frozenset(), "witnessed": frozenset({"P1"})}, "doubtful", "Only a witness statement"),
        ({"observed": frozenset({"P2"})}, "missing", "Nobody has recorded an observation for P1."),
    ],
)
def test_a_witness_statement_does_not_stand_alone_public_guidance(changes, state, words):
    # Observation record primary, witness statement supporting: vocational centre guidance, read.
    found = item(EvidenceNeed("observation"), replace(ALL_THERE, **changes))
    assert found.state == state
    assert words in found.sentence


def test_a_criterion_without_needs_points_at_the_whole_portfolio():
    (found,) = map_evidence([CriterionDefinition("D9", "distinction", "text")], ALL_THERE)
    assert found.sentence == "No evidence is named for D9; look at the whole portfolio."


def test_remarks_concern_the_whole():
    assert remarks(ALL_THERE) == ()
    facts = EvidenceFacts(help_shown=3, no_results=1, another_group_source=True, same_figures=True, late=True)
    said = remarks(facts)
    assert len(said) == 6
    assert said[:3] == (
        "The learner's declaration is not made yet.",
        "Submitted after the deadline without an agreed extension; this is no penalty on a grade.",
        "The program showed help 3 times; see the help log.",
    )


def test_lateness_changes_no_evidence():
    criteria = shipped_units()[0].criteria
    assert map_evidence(criteria, replace(ALL_THERE, late=True)) == map_evidence(criteria, ALL_THERE)


def test_an_unknown_kind_of_need_is_refused():
    with pytest.raises(EvidenceNeedError, match="P1 asks for “telepathy”"):
        item(EvidenceNeed("telepathy"), ALL_THERE)
    with pytest.raises(EvidenceNeedError, match="“telepathy” is no kind"):
        describe_need(EvidenceNeed("telepathy"))


@pytest.mark.parametrize(
    "data",
    [{}, {"kind": "telepathy"}, {"kind": 3}, {"kind": ["photo"]}, {"kind": "photo", "at_least": 0},
     {"kind": "photo", "at_least": "2"}, {"kind": "photo", "at_least": True},
     {"kind": "photo", "at_least": 10**9},
     {"kind": "photo", "other_source": "yes"}, {"kind": "photo", "colour": "red"}],
)  # fmt: skip
def test_a_need_that_cannot_be_read_is_refused(data):
    with pytest.raises(EvidenceNeedError, match=r"\.$"):
        read_need(data)


NEEDS = st.builds(EvidenceNeed, st.sampled_from(NEED_KINDS), st.integers(1, 5000), st.booleans())


@given(NEEDS)
def test_a_need_survives_being_stored_and_can_be_described(need):
    assert read_need(need_as_dict(need)) == need
    assert describe_need(need)


@given(NEEDS, st.integers(0, 6), st.integers(0, 400))
def test_nothing_is_present_in_an_empty_portfolio_nor_missing_in_a_boundless_one(need, begun, slips):
    nothing = EvidenceFacts(papers_begun=begun, own_rf_slips=slips, help_shown=slips)
    plenty = replace(
        ALL_THERE, papers_complete=5000, own_rf_given=5000, identifications=5000, conclusion_words=1,
        evaluation_words=1, photos=5000, attachments=5000,
    )  # fmt: skip
    assert item(need, nothing).state == "missing"
    assert item(need, plenty).state != "missing"
