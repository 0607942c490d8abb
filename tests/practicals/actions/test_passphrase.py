import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from practicals.actions.clear_passphrase import clear_passphrase
from practicals.actions.set_passphrase import WrongPassphrase, set_passphrase
from practicals.models import AuditEntry, User
from tests.factories import NOW

GOOD = "three quiet otters"


@pytest.fixture
def learner(cast):
    cast.learner.set_unusable_password()
    cast.learner.save()
    return cast.learner


def test_a_learner_sets_the_first_one_freely(learner):
    set_passphrase(by=learner, passphrase=GOOD, now=NOW)
    assert User.objects.get(pk=learner.pk).check_password(GOOD)


def test_a_found_slip_does_not_change_it(learner):
    set_passphrase(by=learner, passphrase=GOOD, now=NOW)
    with pytest.raises(WrongPassphrase):
        set_passphrase(by=learner, passphrase="four loud herons", now=NOW)
    assert User.objects.get(pk=learner.pk).check_password(GOOD)


def test_its_owner_changes_it_with_the_present_one(learner):
    set_passphrase(by=learner, passphrase=GOOD, now=NOW)
    set_passphrase(by=learner, passphrase="four loud herons", present=GOOD, now=NOW)
    assert User.objects.get(pk=learner.pk).check_password("four loud herons")


@pytest.mark.parametrize("weak", ["", "short", "password123"])
def test_a_weak_one_is_refused(learner, weak):
    with pytest.raises(ValidationError):
        set_passphrase(by=learner, passphrase=weak, now=NOW)
    assert not User.objects.get(pk=learner.pk).has_usable_password()


def test_staff_have_passwords_instead(cast):
    with pytest.raises(PermissionDenied):
        set_passphrase(by=cast.teacher, passphrase=GOOD, now=NOW)


def test_it_is_in_the_audit_trail_without_the_passphrase(learner):
    set_passphrase(by=learner, passphrase=GOOD, now=NOW)
    entry = AuditEntry.objects.get(action="set_passphrase")
    assert GOOD not in repr((entry.sentence, entry.detail))


def clear(cast, by, learner):
    clear_passphrase(by=by, teaching_class=cast.teaching_class, learner=learner, now=NOW)


def test_the_teacher_clears_a_forgotten_one(cast, learner):
    set_passphrase(by=learner, passphrase=GOOD, now=NOW)
    clear(cast, cast.teacher, learner)
    assert not User.objects.get(pk=learner.pk).has_usable_password()
    assert AuditEntry.objects.filter(action="clear_passphrase", actor=cast.teacher.token).exists()


@pytest.mark.parametrize("who", ["other_teacher", "technician", "group_mate", "verifier"])
def test_nobody_else_clears_it(cast, learner, who):
    set_passphrase(by=learner, passphrase=GOOD, now=NOW)
    with pytest.raises(PermissionDenied):
        clear(cast, getattr(cast, who), learner)
    assert User.objects.get(pk=learner.pk).has_usable_password()


def test_a_teacher_cannot_clear_one_of_another_class_or_of_staff_who_also_learn(cast, learner):
    with pytest.raises(PermissionDenied):
        clear(cast, cast.teacher, cast.stranger)
    learner.grants.create(role="teacher")
    with pytest.raises(PermissionDenied):
        clear(cast, cast.teacher, learner)
