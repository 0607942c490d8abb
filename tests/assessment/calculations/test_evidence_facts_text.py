"""Facts survive being frozen as text."""

import json

import pytest

from assessment.calculations.evidence_facts_text import EvidenceFactsError, facts_as_json, facts_from_json
from assessment.calculations.evidence_map import EvidenceFacts

SOME = EvidenceFacts(
    papers_complete=2, own_rf_given=4, observed=frozenset({"P1", "M1"}), late=True, conclusion_words=120
)


@pytest.mark.parametrize("facts", [EvidenceFacts(), SOME])
def test_facts_come_back_as_they_were(facts):
    assert facts_from_json(facts_as_json(facts)) == facts


def test_equal_facts_have_one_text_whatever_the_order_of_their_codes():
    same = EvidenceFacts(
        papers_complete=2, own_rf_given=4, observed=frozenset({"M1", "P1"}), late=True, conclusion_words=120
    )
    assert facts_as_json(same) == facts_as_json(SOME)
    assert json.loads(facts_as_json(SOME))["observed"] == ["M1", "P1"]


def test_a_fact_that_came_later_changes_no_text_that_lacks_it():
    assert "half_signed" not in facts_as_json(SOME)
    later = EvidenceFacts(half_signed=frozenset({"P1"}))
    assert facts_from_json(facts_as_json(later)) == later


def test_a_text_of_an_earlier_version_counts_what_it_lacks_as_none():
    assert facts_from_json('{"spots": 3}') == EvidenceFacts(spots=3)


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "JSON"),
        ("[]", "object"),
        ('{"marks": 3}', "marks"),
        ('{"spots": "3"}', "spots"),
        ('{"spots": true}', "spots"),
        ('{"spots": -1}', "spots"),
        ('{"late": 1}', "late"),
        ('{"observed": "P1"}', "observed"),
        ('{"observed": [1]}', "observed"),
    ],
)
def test_what_holds_no_facts_is_refused_by_name(text, word):
    with pytest.raises(EvidenceFactsError, match=word):
        facts_from_json(text)
