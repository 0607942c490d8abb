"""Declared once, held where the centre wants it, released together."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from assessment.actions.declare_assessor import declare_assessor
from assessment.actions.give_feedback import give_feedback
from assessment.actions.release import release
from assessment.actions.release_ready import release_ready
from assessment.actions.save_draft import save_draft
from assessment.models import AssessorDeclaration, DecisionDraft, Feedback
from assessment.models.drafts import decision_starts
from practicals.models import AuditEntry
from reagents.models import Stale
from tests.assessment.handed_in import decide_all, decided_class
from tests.assessment.submitting import hand_in
from tests.factories import NOW, make_assignment


@pytest.fixture
def decided(cast):
    return decided_class(3, verifier=cast.verifier, teacher=cast.teacher)


def ready(submission):
    by = submission.work.assessor
    give_feedback(by=by, submission=submission, text="P1 met.", seen_version=None, now=NOW)
    declare_assessor(by=by, submission=submission, authentic=True, current=True, now=NOW)


def test_it_is_declared_once_with_its_words_and_audited(cast, decided):
    by, submission = cast.teacher, decided[0]
    first = declare_assessor(by=by, submission=submission, authentic=True, current=True, now=NOW)
    assert declare_assessor(by=by, submission=submission, authentic=True, current=True, now=NOW) == first
    assert "authentic" in first.words
    assert AuditEntry.objects.filter(action="declare_assessor").count() == 1


@pytest.mark.parametrize(("authentic", "current"), [(True, False), (False, True), (False, False)])
def test_half_a_declaration_is_refused(cast, decided, authentic, current):
    with pytest.raises(ValidationError, match="Tick both"):
        declare_assessor(
            by=cast.teacher, submission=decided[0], authentic=authentic, current=current, now=NOW
        )
    assert not AssessorDeclaration.objects.exists()


@pytest.mark.parametrize("who", ["other_teacher", "verifier", "lead_verifier", "learner", "administrator"])
def test_only_the_assessor_declares_drafts_and_releases(cast, decided, who):
    person, submission = getattr(cast, who), decided[0]
    with pytest.raises(PermissionDenied):
        declare_assessor(by=person, submission=submission, authentic=True, current=True, now=NOW)
    with pytest.raises(PermissionDenied):
        release_ready(by=person, assignment=submission.work.assignment, now=NOW)
    criterion = submission.work.assignment.brief.criteria.first()
    with pytest.raises(PermissionDenied):
        save_draft(by=person, submission=submission, criterion=criterion, outcome="", comment="x", now=NOW)


def test_nothing_is_released_undeclared(cast, decided):
    give_feedback(by=cast.teacher, submission=decided[0], text="P1 met.", seen_version=None, now=NOW)
    with pytest.raises(ValidationError, match="authentic and current"):
        release(by=cast.teacher, submission=decided[0], now=NOW)
    assert not Feedback.objects.filter(released_at__isnull=False).exists()


def test_all_that_is_ready_goes_out_and_the_rest_says_why_not(cast, decided):
    ready(decided[0])
    ready(decided[1])
    found = release_ready(by=cast.teacher, assignment=decided[0].work.assignment, now=NOW)
    assert {one.submission for one in found.released} == set(decided[:2])
    (back,) = found.kept_back
    assert back.work == decided[2].work
    assert "feedback first" in back.why
    again = release_ready(by=cast.teacher, assignment=decided[0].work.assignment, now=NOW)
    assert not again.released


def test_held_results_wait_until_the_sample_is_verified(cast, decided):
    assignment = decided[0].work.assignment
    assignment.hold_until_verified = True
    assignment.save()
    for submission in decided:
        ready(submission)
    with pytest.raises(ValidationError, match="wait for the sample"):
        release(by=cast.teacher, submission=decided[0], now=NOW)
    assert len(release_ready(by=cast.teacher, assignment=assignment, now=NOW).kept_back) == 3
    assert not Feedback.objects.filter(released_at__isnull=False).exists()


def test_a_draft_is_private_and_a_later_decision_uses_it_up(cast):
    submission = hand_in(make_assignment(session=cast.session, signed_off_by=cast.verifier), cast.learner)
    criterion = submission.work.assignment.brief.criteria.first()
    kept = {"by": cast.teacher, "submission": submission, "criterion": criterion, "now": NOW}
    draft = save_draft(**kept, outcome="met", comment="I think so.")
    assert decision_starts(submission, cast.teacher)[criterion.pk].draft == draft
    assert decision_starts(submission, cast.other_teacher)[criterion.pk].draft is None
    assert "I think so." not in str(AuditEntry.objects.filter(action="save_draft").values())
    decide_all(submission, cast.teacher)
    submission.refresh_from_db()
    assert decision_starts(submission, cast.teacher)[criterion.pk].draft is None


def test_a_draft_of_a_second_tab_is_not_lost_over_the_first(cast):
    submission = hand_in(make_assignment(session=cast.session, signed_off_by=cast.verifier), cast.learner)
    criterion = submission.work.assignment.brief.criteria.first()
    kept = {"by": cast.teacher, "submission": submission, "criterion": criterion, "now": NOW}
    save_draft(**kept, outcome="", comment="One.")
    with pytest.raises(Stale):
        save_draft(**kept, outcome="", comment="Two.")
    assert DecisionDraft.objects.get().comment == "One."
