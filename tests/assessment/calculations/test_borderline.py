"""Borderline: one criterion short, or just met. The definition is this project's; cases by hand."""

from assessment.calculations.borderline import borderline
from assessment.calculations.grades import CriterionState, GradeRule

RULE = GradeRule(("pass", "merit", "distinction"))


def states(**outcomes):
    levels = {"P": "pass", "M": "merit", "D": "distinction"}
    return [CriterionState(code, levels[code[0]], outcome) for code, outcome in outcomes.items()]


def test_one_criterion_short_of_the_next_level():
    found = borderline(RULE, states(P1="met", P2="met", M1="met", M2="not yet met"))
    assert found == "one criterion short of merit: M2"


def test_one_criterion_short_of_a_pass():
    assert borderline(RULE, states(P1="met", P2="not yet met", M1="not yet met")) == (
        "one criterion short of pass: P2"
    )


def test_two_short_is_not_borderline():
    assert borderline(RULE, states(P1="met", M1="not yet met", M2="not yet met")) == ""


def test_a_criterion_nobody_decided_yet_makes_nothing_borderline():
    assert borderline(RULE, states(P1="met", M1=None)) == ""


def test_a_grade_that_rests_on_a_criterion_decided_anew_is_just_met():
    found = borderline(RULE, states(P1="met", P2="met", M1="not yet met", M2="not yet met"), turned=["P2"])
    assert found == "pass just met: P2 was first not yet met"


def test_a_criterion_above_the_grade_does_not_make_it_just_met():
    given = states(P1="met", M1="met", M2="not yet met", M3="not yet met")
    assert borderline(RULE, given, turned=["M1"]) == ""


def test_all_met_is_not_borderline():
    assert borderline(RULE, states(P1="met", M1="met", D1="met")) == ""
