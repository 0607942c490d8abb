import pytest
from django.core.exceptions import PermissionDenied

from assessment.actions.submit_work import submit_work
from assessment.calculations.manifest import is_intact
from assessment.models import Work
from practicals.actions.erase_person import CannotErase, erase_person
from practicals.models import AuditEntry, Enrolment
from tests.factories import NOW, make_assignment


def leave_class(person):
    Enrolment.objects.filter(learner=person).update(left_at=NOW)


def test_the_name_goes_and_the_token_stays(cast):
    leave_class(cast.learner)
    token = cast.learner.token
    erased = erase_person(by=cast.administrator, person=cast.learner, now=NOW)
    assert (erased.token, erased.is_active) == (token, False)
    assert erased.name == f"Person {str(token)[:8]}"
    assert not erased.has_usable_password()


def test_it_breaks_no_hash(cast):
    work = Work.objects.get(assignment=make_assignment(session=cast.session), learner=cast.learner)
    submission = submit_work(by=cast.learner, work=work, declared=True, now=NOW)
    leave_class(cast.learner)
    erase_person(by=cast.administrator, person=cast.learner, now=NOW)
    submission.refresh_from_db()
    assert is_intact(submission.manifest, submission.manifest_sha256)
    assert cast.learner.name not in submission.manifest


def test_who_is_still_in_a_class_is_not_erased(cast):
    with pytest.raises(CannotErase, match="Withdraw"):
        erase_person(by=cast.administrator, person=cast.learner, now=NOW)


def test_nobody_erases_themselves(cast):
    with pytest.raises(CannotErase):
        erase_person(by=cast.administrator, person=cast.administrator, now=NOW)


def test_only_an_administrator_erases(cast):
    leave_class(cast.learner)
    with pytest.raises(PermissionDenied):
        erase_person(by=cast.teacher, person=cast.learner, now=NOW)


def test_erasing_twice_is_one_entry_in_the_trail(cast):
    leave_class(cast.learner)
    for _ in range(2):
        erase_person(by=cast.administrator, person=cast.learner, now=NOW)
    assert AuditEntry.objects.filter(action="erase_person").count() == 1
