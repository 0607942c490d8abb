import pytest
from django.core.exceptions import PermissionDenied

from practicals.actions.issue_bench_codes import issue_bench_codes
from practicals.actions.withdraw_learner import CannotWithdraw, withdraw_learner
from practicals.models import AuditEntry, BenchCode, ReadingSet
from tests.factories import NOW, make_readings


def withdraw(cast, by=None, reason="moved to class 2B", learner=None):
    return withdraw_learner(
        by=by or cast.teacher,
        teaching_class=cast.teaching_class,
        learner=learner or cast.learner,
        reason=reason,
        now=NOW,
    )


def test_the_learner_leaves_with_a_reason(cast):
    enrolment = withdraw(cast)
    assert (enrolment.left_at, enrolment.left_reason) == (NOW, "moved to class 2B")
    assert cast.learner not in cast.teaching_class.learners()


def test_readings_and_group_are_kept(cast):
    make_readings(cast.session.groups.first().papers.first(), cast.learner)
    withdraw(cast)
    assert ReadingSet.objects.filter(learner=cast.learner).exists()
    assert cast.session.members.filter(learner=cast.learner).exists()


def test_the_bench_code_ends_for_this_learner_only(cast):
    issue_bench_codes(by=cast.teacher, session=cast.session, now=NOW)
    withdraw(cast)
    assert not BenchCode.objects.filter(learner=cast.learner).exists()
    assert BenchCode.objects.count() == 5


@pytest.mark.parametrize("reason", ["", "  "])
def test_a_reason_is_needed(cast, reason):
    with pytest.raises(CannotWithdraw, match="Say why"):
        withdraw(cast, reason=reason)


def test_who_is_not_in_the_class_cannot_leave_it(cast):
    withdraw(cast)
    for gone in (cast.learner, cast.stranger):
        with pytest.raises(CannotWithdraw, match="not in the class"):
            withdraw(cast, learner=gone)


@pytest.mark.parametrize("who", ["other_teacher", "technician", "learner", "verifier"])
def test_only_the_class_s_teacher_or_an_administrator_does_it(cast, who):
    with pytest.raises(PermissionDenied):
        withdraw(cast, by=getattr(cast, who))
    assert withdraw(cast, by=cast.administrator)


def test_the_audit_trail_names_the_learner_by_token(cast):
    withdraw(cast)
    entry = AuditEntry.objects.get(action="withdraw_learner")
    assert entry.detail["learner"] == str(cast.learner.token)
    assert cast.learner.name not in entry.sentence
