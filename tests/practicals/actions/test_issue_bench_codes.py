import pytest
from django.core.exceptions import PermissionDenied
from django.db import connection
from django.test.utils import CaptureQueriesContext

from practicals.actions.issue_bench_codes import (
    NothingToIssue,
    NotIssuedYet,
    all_have_codes,
    issue_bench_codes,
    issued_bench_codes,
)
from practicals.actions.withdraw_learner import withdraw_learner
from practicals.models import AuditEntry, BenchCode, GroupMember
from tests.factories import NOW, enrol, make_class, make_session, make_user


def issue(cast, **more):
    return issue_bench_codes(by=cast.teacher, session=cast.session, now=NOW, **more)


def test_everybody_in_the_session_gets_a_code_of_their_own(cast):
    codes = issue(cast)
    assert [person for person, _ in codes] == list(cast.teaching_class.learners())
    assert len({code for _, code in codes}) == 6


def test_a_second_printing_gives_the_same_codes(cast):
    assert issue(cast) == issue(cast)
    assert BenchCode.objects.count() == 6


def test_no_code_is_kept_anywhere(cast):
    (_, code), *_ = issue(cast)
    rows = [*BenchCode.objects.values_list(), *AuditEntry.objects.values_list()]
    assert code not in repr(rows)


def test_a_replaced_code_is_another_one_and_only_for_those_named(cast):
    before = dict(issue(cast))
    ((person, code),) = issue(cast, learners=[cast.learner], reissue=True)
    after = dict(issue(cast))
    assert person == cast.learner
    assert code == after[cast.learner] != before[cast.learner]
    assert {p: c for p, c in after.items() if p != person} == {p: c for p, c in before.items() if p != person}


def test_a_learner_of_another_class_gets_no_code_even_when_named(cast):
    with pytest.raises(NothingToIssue):
        issue(cast, learners=[cast.stranger])


def test_a_catch_up_learner_gets_a_code_and_one_who_left_does_not(cast):
    home = make_session(teacher=cast.other_teacher, teaching_class=make_class(learners=1))
    guest = home.members.get().learner
    GroupMember.objects.create(
        session=cast.session, group=cast.session.groups.first(), learner=guest, home_session=home
    )
    withdraw_learner(
        by=cast.teacher, teaching_class=cast.teaching_class, learner=cast.rival, reason="moved", now=NOW
    )
    people = [person for person, _ in issue(cast)]
    assert guest in people
    assert cast.rival not in people


@pytest.mark.parametrize("who", ["other_teacher", "technician", "administrator", "learner"])
def test_only_the_session_s_teachers_give_out_codes(cast, who):
    with pytest.raises(PermissionDenied):
        issue_bench_codes(by=getattr(cast, who), session=cast.session, now=NOW)
    assert not BenchCode.objects.exists()


def test_a_closed_session_gets_no_codes(cast):
    cast.session.readings_locked_at = cast.session.closed_at = NOW
    cast.session.save()
    with pytest.raises(NothingToIssue, match="closed"):
        issue(cast)


def test_it_is_in_the_audit_trail_by_token(cast):
    issue(cast, learners=[cast.learner], reissue=True)
    entry = AuditEntry.objects.get(action="issue_bench_codes")
    assert entry.detail == {"learners": [str(cast.learner.token)], "replaced": True}
    assert cast.learner.name not in entry.sentence


def test_thirty_learners_take_as_many_queries_as_three(cast):
    def queries(learners):
        teacher = make_user("", "teacher")
        session = make_session(teacher=teacher, teaching_class=make_class(teacher=teacher, learners=learners))
        with CaptureQueriesContext(
            connection,
        ) as count:
            assert len(issue_bench_codes(by=teacher, session=session, now=NOW)) == learners
        return len(count)

    assert queries(3) == queries(30)


def test_somebody_enrolled_later_gets_a_code_beside_the_old_ones(cast):
    before = issue(cast)
    late = make_user("Zed Late", "learner")
    enrol(cast.teaching_class, late)
    GroupMember.objects.create(session=cast.session, group=cast.session.groups.last(), learner=late)
    after = issue(cast)
    assert after[:-1] == before
    assert after[-1][0] == late


def test_issued_codes_are_worked_out_again_and_nothing_is_written(cast):
    with pytest.raises(NotIssuedYet) as refused:
        issued_bench_codes(by=cast.teacher, session=cast.session)
    assert refused.value.missing == list(cast.teaching_class.learners())
    assert not BenchCode.objects.exists()
    issue(cast, learners=[cast.learner], reissue=True)
    issue(cast, learners=[cast.learner], reissue=True)
    given = issue(cast)
    entries = AuditEntry.objects.count()
    assert issued_bench_codes(by=cast.teacher, session=cast.session) == given
    assert AuditEntry.objects.count() == entries


@pytest.mark.parametrize("who", ["other_teacher", "technician", "administrator", "learner"])
def test_only_the_session_s_teachers_print_them_again(cast, who):
    issue(cast)
    with pytest.raises(PermissionDenied):
        issued_bench_codes(by=getattr(cast, who), session=cast.session)


def test_all_have_codes_only_when_everybody_does(cast):
    assert not all_have_codes(cast.session)
    issue(cast, learners=[cast.learner])
    assert not all_have_codes(cast.session)
    issue(cast)
    assert all_have_codes(cast.session)
    cast.session.members.all().delete()
    assert not all_have_codes(cast.session)
