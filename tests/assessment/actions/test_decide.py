"""Decisions, criterion by criterion: superseded with a reason, never edited, never lost."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from assessment.actions.decide import DecidedMeanwhile, decide
from assessment.actions.decide_criteria import CriterionDecision, SomeRefused, decide_criteria
from assessment.actions.declare_assessor import declare_assessor
from assessment.actions.give_feedback import give_feedback
from assessment.actions.release import release
from assessment.models import Decision
from assessment.models.results import grade_of
from practicals.models import AuditEntry
from reagents.models import Stale
from tests.assessment.submitting import hand_in
from tests.factories import NOW, make_assignment


@pytest.fixture
def submission(cast):
    assignment = make_assignment(session=cast.session, signed_off_by=cast.verifier)
    return hand_in(assignment, cast.learner)


def criterion(submission, code):
    return submission.work.assignment.brief.criteria.get(code=code)


def take(by, submission, code, outcome="met", comment="Table 1 shows it.", **more):
    return decide(
        by=by,
        submission=submission,
        criterion=criterion(submission, code),
        outcome=outcome,
        comment=comment,
        now=NOW,
        **{"valid": True, "sufficient": True, **more},
    )


def declare(by, submission):
    return declare_assessor(by=by, submission=submission, authentic=True, current=True, now=NOW)


def take_all(by, submission, **outcomes):
    for code, outcome in outcomes.items():
        take(by, submission, code, outcome)


def test_a_decision_is_kept_and_audited(cast, submission):
    decision = take(cast.teacher, submission, "P1")
    assert (decision.outcome, decision.assessor, decision.is_current) == ("met", cast.teacher, True)
    assert AuditEntry.objects.get(action="decide").subject == str(decision.uuid)


def test_the_same_again_changes_nothing(cast, submission):
    first = take(cast.teacher, submission, "P1")
    assert take(cast.teacher, submission, "P1", seen_decision=first.uuid) == first
    assert AuditEntry.objects.filter(action="decide").count() == 1


def test_a_new_decision_supersedes_and_the_old_one_stays(cast, submission):
    first = take(cast.teacher, submission, "P1")
    second = take(cast.teacher, submission, "P1", "not yet met", "No unit.", seen_decision=first.uuid)
    first.refresh_from_db()
    assert (second.supersedes, first.is_current, first.outcome) == (first, False, "met")


def test_of_two_who_decide_at_once_one_is_told_what_stands(cast, submission):
    standing = take(cast.teacher, submission, "P1")
    with pytest.raises(DecidedMeanwhile) as told:
        take(cast.teacher, submission, "P1", "not yet met", "No unit.", seen_decision=None)
    assert told.value.standing == standing
    assert Decision.objects.count() == 1


@pytest.mark.parametrize(
    ("outcome", "comment", "word"),
    [("maybe", "Well.", "Choose"), ("", "Well.", "Choose"), ("met", " \n ", "comment")],
)
def test_an_outcome_and_a_comment_are_needed(cast, submission, outcome, comment, word):
    with pytest.raises(ValidationError, match=word):
        take(cast.teacher, submission, "P1", outcome, comment)


def test_a_criterion_outside_the_brief_is_refused(cast, submission):
    submission.work.assignment.brief.criteria.remove(criterion(submission, "D1"))
    outside = submission.work.assignment.brief.unit.criteria.get(code="D1")
    with pytest.raises(ValidationError, match="not in the assignment's brief"):
        decide(by=cast.teacher, submission=submission, criterion=outside, outcome="met", comment="x", now=NOW)


def test_after_release_a_change_needs_a_reason(cast, submission):
    take_all(cast.teacher, submission, P1="met", P2="met", M1="met", D1="not yet met")
    declare(cast.teacher, submission)
    give_feedback(by=cast.teacher, submission=submission, text="Well read.", seen_version=None, now=NOW)
    release(by=cast.teacher, submission=submission, now=NOW)
    standing = submission.decisions.get(criterion__code="D1")
    with pytest.raises(ValidationError, match="Give the reason"):
        take(cast.teacher, submission, "D1", "met", "Page 2.", seen_decision=standing.uuid)
    standing.refresh_from_db()
    assert standing.is_current
    changed = take(
        cast.teacher,
        submission,
        "D1",
        "met",
        "Page 2.",
        seen_decision=standing.uuid,
        reason="Page 2 overlooked.",
    )
    assert changed.reason == "Page 2 overlooked."


def test_a_reason_longer_than_the_record_is_refused(cast, submission):
    with pytest.raises(ValidationError, match="300"):
        take(cast.teacher, submission, "P1", reason="r" * 301)


@pytest.mark.parametrize("who", ["other_teacher", "verifier", "technician", "learner", "administrator"])
def test_only_the_assessor_decides_gives_feedback_and_releases(cast, submission, who):
    person = getattr(cast, who)
    with pytest.raises(PermissionDenied):
        take(person, submission, "P1")
    with pytest.raises(PermissionDenied):
        give_feedback(by=person, submission=submission, text="x", seen_version=None, now=NOW)
    with pytest.raises(PermissionDenied):
        release(by=person, submission=submission, now=NOW)


def test_a_class_teacher_who_is_not_the_assessor_decides_nothing(cast, submission):
    cast.teaching_class.teachers.add(cast.other_teacher)
    with pytest.raises(PermissionDenied):
        take(cast.other_teacher, submission, "P1")


def test_several_decisions_are_kept_together_or_not_at_all(cast, submission):
    good = CriterionDecision(criterion(submission, "P1"), "met", "There.", valid=True, sufficient=True)
    bad = CriterionDecision(criterion(submission, "P2"), "met", "")
    with pytest.raises(SomeRefused) as refused:
        decide_criteria(by=cast.teacher, submission=submission, decisions=[good, bad], now=NOW)
    assert list(refused.value.errors) == [bad.criterion.pk]
    assert not Decision.objects.exists()
    assert not AuditEntry.objects.filter(action="decide").exists()
    assert len(decide_criteria(by=cast.teacher, submission=submission, decisions=[good], now=NOW)) == 1


def test_a_merit_met_over_an_open_pass_gives_no_grade_and_names_what_holds_it_up(cast, submission):
    take_all(cast.teacher, submission, P1="met", M1="met")
    outcome = grade_of(submission)
    assert outcome.grade is None
    assert outcome.holding_up == ("P2",)
    assert "P2" in outcome.sentence


def test_all_passes_and_merits_make_a_merit(cast, submission):
    take_all(cast.teacher, submission, P1="met", P2="met", M1="met", D1="not yet met")
    assert grade_of(submission).grade == "merit"


def test_nothing_is_released_before_every_criterion_is_decided(cast, submission):
    take_all(cast.teacher, submission, P1="met", P2="met")
    declare(cast.teacher, submission)
    give_feedback(by=cast.teacher, submission=submission, text="Well.", seen_version=None, now=NOW)
    with pytest.raises(ValidationError, match="M1, D1"):
        release(by=cast.teacher, submission=submission, now=NOW)


def test_nothing_is_released_without_feedback_and_releasing_twice_changes_nothing(cast, submission):
    take_all(cast.teacher, submission, P1="met", P2="met", M1="met", D1="met")
    with pytest.raises(ValidationError, match="feedback first"):
        release(by=cast.teacher, submission=submission, now=NOW)
    declare(cast.teacher, submission)
    give_feedback(by=cast.teacher, submission=submission, text="Well.", seen_version=None, now=NOW)
    release(by=cast.teacher, submission=submission, now=NOW)
    release(by=cast.teacher, submission=submission, now=NOW)
    assert AuditEntry.objects.filter(action="release").count() == 1


def test_feedback_of_a_second_tab_is_not_lost_over_the_first(cast, submission):
    first = give_feedback(by=cast.teacher, submission=submission, text="One.", seen_version=None, now=NOW)
    with pytest.raises(Stale):
        give_feedback(by=cast.teacher, submission=submission, text="Two.", seen_version=None, now=NOW)
    changed = give_feedback(
        by=cast.teacher, submission=submission, text="Two.", seen_version=first.version, now=NOW
    )
    assert changed.text == "Two."
    assert AuditEntry.objects.filter(action="give_feedback").count() == 2


def test_released_feedback_stays_as_it_was_read(cast, submission):
    take_all(cast.teacher, submission, P1="met", P2="met", M1="met", D1="met")
    declare(cast.teacher, submission)
    given = give_feedback(by=cast.teacher, submission=submission, text="Well.", seen_version=None, now=NOW)
    release(by=cast.teacher, submission=submission, now=NOW)
    with pytest.raises(ValidationError, match="stays as the learner read it"):
        give_feedback(
            by=cast.teacher, submission=submission, text="Other.", seen_version=given.version, now=NOW
        )


def test_empty_feedback_is_refused(cast, submission):
    with pytest.raises(ValidationError, match="what was met"):
        give_feedback(by=cast.teacher, submission=submission, text=" ", seen_version=None, now=NOW)
