"""A class's evidence in cells. The rules are this project's own; there is no outside source."""

import pytest

from assessment.calculations.evidence_grid import SIGNS, grid_cell
from assessment.calculations.evidence_map import EvidenceFacts, map_evidence
from assessment.calculations.evidence_needs import EvidenceNeed


class Asked:
    code = "P1"

    def __init__(self, *kinds):
        self.needs = tuple(EvidenceNeed(kind) for kind in kinds)


def cell(facts, *kinds):
    (found,) = map_evidence([Asked(*kinds)], facts)
    return grid_cell(found, facts)


READ = {"papers_complete": 1, "papers_begun": 1, "spots": 6, "own_rf_given": 6, "own_rf_right": 6}


def test_everything_there_is_present_without_a_reason():
    found = cell(EvidenceFacts(**READ), "readings")
    assert (found.word, found.sign, found.why) == ("present", "+", ())


def test_one_thing_missing_makes_the_cell_missing_and_names_it():
    found = cell(EvidenceFacts(**READ, same_figures=True), "readings", "photo")
    assert (found.word, found.why) == ("missing", ("photos",))


@pytest.mark.parametrize(
    ("facts", "kind", "why"),
    [
        ({"same_figures": True}, "readings", ("readings", "same figures twice")),
        ({"readings_flagged": 2}, "readings", ("readings",)),
        ({"help_shown": 1}, "own_rf", ("own retardation factors", "help shown")),
    ],
)
def test_doubt_says_in_short_what_to_look_at(facts, kind, why):
    found = cell(EvidenceFacts(**READ, **facts), kind)
    assert (found.word, found.sign, found.why) == ("look", "?", why)


def test_a_criterion_that_names_no_evidence_has_a_sign_of_its_own():
    assert (cell(EvidenceFacts()).word, cell(EvidenceFacts()).sign) == ("none named", "·")


def test_the_signs_differ_in_shape():
    assert len(set(SIGNS.values())) == len(SIGNS)
