import json
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessment.calculations.grades import (
    CriterionState,
    GradeRule,
    GradeRuleError,
    Outcome,
    grade,
    grade_rule_as_dict,
    read_grade_rule,
)

RULE = GradeRule(("pass", "merit", "distinction"))
LEVELS = {"P": "pass", "M": "merit", "D": "distinction"}
NEARLY: Any = "nearly"
OUTCOMES: dict[str, Outcome | None] = {"+": "met", "-": "not yet met", "?": None}


def decided(text):
    """'P1+ M1- D1?' is met, not yet met, undecided."""
    return [CriterionState(word[:-1], LEVELS[word[0]], OUTCOMES[word[-1]]) for word in text.split()]


@pytest.mark.parametrize(
    ("decisions", "expected", "holding_up"),
    [
        ("P1+ P2+ M1- D1-", "pass", ("M1",)),
        ("P1+ P2+ M1+ D1-", "merit", ("D1",)),
        ("P1+ P2+ M1+ D1+", "distinction", ()),
        ("P1+ P2- M1- D1-", None, ("P2",)),
        ("P1+ P2- M1+ D1+", None, ("P2",)),
        ("P1+ P2+ M1- D1+", "pass", ("M1",)),
    ],
)
def test_a_grade_needs_its_level_and_all_below_public_specifications(decisions, expected, holding_up):
    # "Met all the ... criteria" of a level: read in public vocational specifications; that a lower open
    # criterion blocks the higher grade: common practice, no source.
    outcome = grade(RULE, decided(decisions))
    assert (outcome.grade, outcome.holding_up) == (expected, holding_up)


@pytest.mark.parametrize(
    ("decisions", "sentence"),
    [
        ("P1+ P3- M1+", "No grade yet: P3 is not yet met, although M1 is met."),
        ("P1+ P3? M1+ M2+", "No grade yet: P3 is not yet decided, although M1 and M2 are met."),
        ("P1- P2- P3? M1-", "Not yet achieved: P1 and P2 are not yet met and P3 is not yet decided."),
        ("P1+ M1- D1+", "Pass: M1 is not yet met, although D1 is met."),
        ("P1+ M1? D1?", "Pass so far: M1 is not yet decided."),
        ("P1+ P2+ M1+", "Merit: all 3 criteria are met."),
        ("P1+", "Pass: the only criterion is met."),
        ("", "No grade: there are no criteria to grade by."),
    ],
)
def test_the_sentence_says_what_holds_it_up(decisions, sentence):
    assert grade(RULE, decided(decisions)).sentence == sentence


def test_undecided_and_not_yet_met_are_told_apart():
    outcome = grade(RULE, decided("P1? P2- P3+"))
    assert (outcome.undecided, outcome.not_yet_met) == (("P1",), ("P2",))


def test_a_level_without_criteria_is_neither_reached_nor_in_the_way():
    assert grade(RULE, decided("P1+ P2+")).grade == "pass"
    assert grade(RULE, decided("P1+ D1+")).grade == "distinction"


@pytest.mark.parametrize(
    ("criteria", "message"),
    [
        ([CriterionState("P1", "credit", "met")], "no level “credit”"),
        ([CriterionState("P1", "pass", "met")] * 2, "P1 was given twice"),
        ([CriterionState("P1", "pass", NEARLY)], "“nearly”"),
    ],
)
def test_criteria_that_cannot_be_graded_are_refused(criteria, message):
    with pytest.raises(GradeRuleError, match=message):
        grade(RULE, criteria)


@pytest.mark.parametrize(
    "source",
    [
        "",
        "not json",
        "[]",
        "{}",
        '{"levels": []}',
        '{"levels": "pass"}',
        '{"levels": ["pass", "pass"]}',
        '{"levels": ["pass", " "]}',
        '{"levels": ["pass", 3]}',
        '{"levels": ["pass"], "not_achieved": ""}',
    ],
)
def test_a_rule_that_cannot_be_used_is_refused(source):
    with pytest.raises(GradeRuleError):
        read_grade_rule(source)


def test_a_rule_survives_being_stored():
    rule = read_grade_rule('{"levels": ["achieved", "excellent"], "not_achieved": "not achieved"}')
    assert read_grade_rule(json.dumps(grade_rule_as_dict(rule))) == rule
    assert grade(rule, [CriterionState("1.1", "achieved", None)]).sentence.startswith("Not achieved: 1.1")


ANY_DECISIONS = st.lists(
    st.tuples(st.sampled_from(RULE.levels), st.sampled_from(list(OUTCOMES.values()))),
    min_size=1,
    max_size=9,
).map(lambda rows: [CriterionState(f"C{n}", level, outcome) for n, (level, outcome) in enumerate(rows)])


@given(ANY_DECISIONS)
def test_meeting_one_more_criterion_never_lowers_the_grade(criteria):
    def place(states):
        reached = grade(RULE, states).grade
        return -1 if reached is None else RULE.rank(reached)

    for n, criterion in enumerate(criteria):
        better = [*criteria[:n], CriterionState(criterion.code, criterion.level, "met"), *criteria[n + 1 :]]
        assert place(better) >= place(criteria)


@given(ANY_DECISIONS)
def test_nothing_open_lies_at_or_below_the_grade(criteria):
    outcome = grade(RULE, criteria)
    open_levels = [RULE.rank(c.level) for c in criteria if c.outcome != "met"]
    if outcome.grade is not None:
        assert all(level > RULE.rank(outcome.grade) for level in open_levels)
    assert bool(outcome.holding_up) == bool(open_levels)
