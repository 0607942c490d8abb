"""An assignment points a brief at sessions, and is issued only with a signed brief."""

from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from assessment.actions.issue_assignment import issue_assignment
from assessment.actions.make_assignment import make_assignment
from assessment.models import Assignment, Brief
from practicals.models import AuditEntry, GroupMember, Role
from tests.factories import NOW, enrol, make_session, make_unit, make_user


@pytest.fixture
def brief(cast):
    brief = Brief.objects.create(
        slug="b", unit=make_unit(), title="Which?", tasks="Run.", author=cast.teacher, written_at=NOW
    )
    brief.criteria.set(brief.unit.criteria.all())
    return brief


def sign(brief, by):
    Brief.objects.filter(pk=brief.pk).update(signed_off_by=by, signed_off_at=NOW)
    brief.refresh_from_db()


def make(cast, brief, **more):
    given = {
        "by": cast.teacher,
        "sessions": [cast.session],
        "assessor": cast.teacher,
        "due_at": NOW + timedelta(days=14),
        "now": NOW,
    }
    return make_assignment(brief=brief, **{**given, **more})


def test_each_learner_of_the_class_gets_a_work_with_the_assessor(cast, brief):
    assignment = make(cast, brief, assessor=cast.other_teacher)
    assert {work.learner for work in assignment.works.all()} == set(cast.teaching_class.learners())
    assert {work.assessor for work in assignment.works.all()} == {cast.other_teacher}
    assert AuditEntry.objects.get(action="make_assignment").subject == str(assignment.uuid)


def test_a_guest_who_catches_up_here_keeps_their_own_class_and_assessor(cast, brief):
    home = cast.stranger.memberships.get().session
    group = cast.session.groups.first()
    GroupMember.objects.create(session=cast.session, group=group, learner=cast.stranger, home_session=home)
    assert not make(cast, brief).works.filter(learner=cast.stranger).exists()


def test_an_unsigned_brief_is_not_issued_and_says_what_is_missing(cast, brief):
    assignment = make(cast, brief)
    with pytest.raises(ValidationError, match="not signed off"):
        issue_assignment(by=cast.teacher, assignment=assignment, now=NOW)
    assignment.refresh_from_db()
    assert assignment.issued_at is None


def test_issuing_twice_changes_nothing(cast, brief):
    sign(brief, cast.verifier)
    assignment = issue_assignment(by=cast.teacher, assignment=make(cast, brief), now=NOW)
    again = issue_assignment(by=cast.teacher, assignment=assignment, now=NOW + timedelta(days=1))
    assert again.issued_at == NOW
    assert AuditEntry.objects.filter(action="issue_assignment").count() == 1


def test_who_joined_the_class_meanwhile_gets_a_work_when_it_is_issued(cast, brief):
    sign(brief, cast.verifier)
    assignment = make(cast, brief)
    newcomer = make_user("New Comer", Role.LEARNER)
    enrol(cast.teaching_class, newcomer)
    issue_assignment(by=cast.teacher, assignment=assignment, now=NOW)
    assert assignment.works.filter(learner=newcomer, assessor=cast.teacher).count() == 1


@pytest.mark.parametrize(
    ("more", "word"),
    [
        (lambda cast: {"sessions": []}, "at least one session"),
        (lambda cast: {"due_at": NOW}, "has passed"),
        (lambda cast: {"assessor": cast.verifier}, "must be a teacher"),
    ],
)
def test_what_cannot_be_is_refused(cast, brief, more, word):
    with pytest.raises(ValidationError, match=word):
        make(cast, brief, **more(cast))
    assert not Assignment.objects.exists()


def test_sessions_of_two_classes_make_two_assignments(cast, brief):
    other = cast.stranger.memberships.get().session
    other.teaching_class.teachers.add(cast.teacher)
    with pytest.raises(ValidationError, match="belong to one class"):
        make(cast, brief, sessions=[cast.session, other])


def test_two_sessions_of_one_class_serve_one_assignment(cast, brief):
    second = make_session(teacher=cast.teacher, teaching_class=cast.teaching_class)
    assignment = make(cast, brief, sessions=[cast.session, second])
    assert assignment.sessions.count() == 2
    assert assignment.works.count() == 6


@pytest.mark.parametrize("who", ["other_teacher", "verifier", "technician", "learner"])
def test_others_neither_make_nor_issue_it(cast, brief, who):
    sign(brief, cast.verifier)
    person = getattr(cast, who)
    with pytest.raises(PermissionDenied):
        make(cast, brief, by=person)
    assignment = make(cast, brief)
    with pytest.raises(PermissionDenied):
        issue_assignment(by=person, assignment=assignment, now=NOW)
