"""Further attempts: obstacles, deadlines, caps and which result counts."""

from datetime import UTC, date, datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assessment.calculations.attempts import (
    LAST,
    RESUBMISSION,
    RETAKE,
    AttemptError,
    AttemptFacts,
    AttemptResult,
    AttemptRules,
    capped,
    later_only,
    resubmission_deadline,
    result_that_counts,
    why_no_resubmission,
)

from .published import case_id, deadline_cases

LEVELS = ("pass", "merit", "distinction")
GOOD = AttemptFacts(
    resubmissions_before=0,
    late=False,
    released=True,
    learner_declared=True,
    assessor_declared=True,
    all_met=False,
)


def fact(**changes):
    return AttemptFacts(**{**{name: getattr(GOOD, name) for name in GOOD.__dataclass_fields__}, **changes})


def test_nothing_stands_against_a_released_result_with_something_not_met():
    assert why_no_resubmission(GOOD, AttemptRules()) == ()


@pytest.mark.parametrize(
    ("changes", "words"),
    [
        ({"released": False}, "not released"),
        ({"all_met": True}, "Every criterion is met"),
        ({"resubmissions_before": 1}, "one resubmission, and no more is left"),
        ({"late": True}, "came late"),
        ({"learner_declared": False}, "learner's declaration"),
        ({"assessor_declared": False}, "assessor has not declared"),
        ({"asked_before": True}, "asked for already"),
    ],
)
def test_each_obstacle_is_a_sentence(changes, words):
    # Conditions of a resubmission: public guidance on vocational courses, read; each is a setting here.
    (said,) = why_no_resubmission(fact(**changes), AttemptRules())
    assert words in said


def test_what_the_policy_says_decides():
    late = fact(late=True)
    assert why_no_resubmission(late, AttemptRules(late_loses_resubmission=False)) == ()
    assert "allows no resubmission" in why_no_resubmission(GOOD, AttemptRules(resubmissions_allowed=0))[0]
    assert why_no_resubmission(fact(resubmissions_before=1), AttemptRules(resubmissions_allowed=2)) == ()


@pytest.mark.parametrize("case", deadline_cases(), ids=case_id)
def test_the_days_of_a_resubmission_are_those_of_the_official_list(case):
    # UK Government, bank holidays, official list (see the head of the published file).
    days = int(case["working_days"])
    if not days:
        return
    due = resubmission_deadline(
        date.fromisoformat(case["start"]),
        AttemptRules(working_days=days),
        region=case["region"],
        tz="Europe/London",
    )
    assert due.day == date.fromisoformat(case["expected"])


def test_vacations_stop_the_count_only_in_term_time_counting():
    vacation = {date(2026, 12, 21) + timedelta(days=n) for n in range(12)}
    plain, term = (
        resubmission_deadline(
            date(2026, 12, 18),
            AttemptRules(working_days=5, term_time_only=term_time),
            region="ENG-WLS",
            tz="Europe/London",
            vacations=vacation,
        ).day
        for term_time in (False, True)
    )
    # Counted by hand on a calendar: 21, 22, 23, 24 and 29 December (25 and 28 are bank holidays); in term
    # time only 4 to 8 January, since 1 January is a bank holiday and 2 and 3 are a weekend.
    assert (plain, term) == (date(2026, 12, 29), date(2027, 1, 8))


def test_a_deadline_is_2359_on_either_side_of_the_change_to_summer_time():
    # Clocks go forward on 28 March 2027 in the United Kingdom (Summer Time Act 1972, last Sunday in March).
    before, after = (
        resubmission_deadline(day, AttemptRules(working_days=1), region="SCT", tz="Europe/London").moment
        for day in (date(2027, 3, 24), date(2027, 3, 30))
    )
    assert (before.hour, after.hour) == (23, 22)
    assert (before.minute, after.minute) == (59, 59)


def test_the_lists_used_are_said():
    said = resubmission_deadline(
        date(2026, 9, 1), AttemptRules(), region="NIR", tz="Europe/London", closed={date(2026, 9, 7)}
    ).counted_with
    assert "Northern Ireland" in said
    assert "changes 1 day." in said


@given(st.datetimes(), st.datetimes())
def test_a_given_deadline_moves_only_later(given_at, counted):
    first, second = given_at.replace(tzinfo=UTC), counted.replace(tzinfo=UTC)
    assert later_only(first, second) >= first


@given(st.sampled_from(["", *LEVELS]), st.sampled_from(["", *LEVELS]))
def test_a_cap_never_raises_a_level(level, cap):
    held = capped(level, cap, LEVELS)
    rank = {"": -1, **{name: place for place, name in enumerate(LEVELS)}}
    assert rank[held] <= rank[level]
    if cap:
        assert rank[held] <= rank[cap]
    else:
        assert held == level


def test_the_better_result_counts_and_a_worse_resubmission_takes_nothing_away():
    tries = [AttemptResult(1, "first", "merit"), AttemptResult(2, RESUBMISSION, "pass")]
    standing = result_that_counts(tries, AttemptRules(), LEVELS)
    assert (standing.level, standing.number) == ("merit", 1)
    last = result_that_counts(tries, AttemptRules(which_counts=LAST), LEVELS)
    assert (last.level, last.number) == ("pass", 2)


def test_a_capped_resubmission_says_that_it_is_held():
    tries = [AttemptResult(1, "first", ""), AttemptResult(2, RESUBMISSION, "distinction")]
    standing = result_that_counts(tries, AttemptRules(cap="pass"), LEVELS)
    assert (standing.level, standing.capped) == ("pass", True)
    assert "held at pass" in standing.sentence
    assert result_that_counts([AttemptResult(1, RETAKE, "merit")], AttemptRules(), LEVELS).level == "pass"


def test_equal_results_leave_the_first_standing():
    tries = [AttemptResult(2, RESUBMISSION, "pass"), AttemptResult(1, "first", "pass")]
    assert result_that_counts(tries, AttemptRules(), LEVELS).number == 1


@pytest.mark.parametrize(
    "tries",
    [[], [AttemptResult(1, "first", "pass")] * 2, [AttemptResult(1, "first", "gold")]],
    ids=["none", "one twice", "a level that is not there"],
)
def test_what_cannot_be_counted_is_a_sentence(tries):
    with pytest.raises(AttemptError):
        result_that_counts(tries, AttemptRules(), LEVELS)


def test_a_moment_is_given_in_utc():
    due = resubmission_deadline(
        date(2026, 11, 24), AttemptRules(working_days=1), region="SCT", tz="Europe/London"
    )
    assert due.moment == datetime(2026, 11, 25, 23, 59, tzinfo=UTC)
