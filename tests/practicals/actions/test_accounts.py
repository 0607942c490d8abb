import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from practicals.actions.add_account import CannotAddAccount, add_account
from practicals.actions.change_account import CannotChangeAccount, change_account
from practicals.actions.change_password import WrongPassword, change_password
from practicals.models import AuditEntry, User
from tests.factories import NOW, make_user

GOOD = "three quiet otters"


def add(by, **more):
    asked = {
        "username": "JMoreno",
        "name": "Jo Moreno",
        "roles": ["teacher", "internal verifier"],
        "password": GOOD,
    }
    return add_account(by=by, now=NOW, **{**asked, **more})


def test_a_person_may_hold_several_roles_and_signs_in_by_a_small_name(cast):
    person = add(cast.administrator)
    assert person.username == "jmoreno"
    assert person.roles == {"teacher", "internal verifier"}
    assert person.check_password(GOOD)


def test_the_first_administrator_is_made_by_the_program(db):
    person = add(None, roles=["administrator"])
    assert AuditEntry.objects.get(action="add_account").actor is None
    assert person.has_perm("practicals.manage_people")


@pytest.mark.parametrize("who", ["teacher", "technician", "verifier", "learner"])
def test_only_administrators_add_accounts(cast, who):
    with pytest.raises(PermissionDenied):
        add(getattr(cast, who))


@pytest.mark.parametrize(
    ("wrong", "says"),
    [
        ({"username": ""}, "2 to 60 letters"),
        ({"username": "a"}, "2 to 60 letters"),
        ({"username": "Jo Moreno"}, "2 to 60 letters"),
        ({"username": "jo\0"}, "2 to 60 letters"),
        ({"name": "  "}, "name"),
        ({"roles": []}, "at least one role"),
        ({"roles": ["headmaster"]}, "at least one role"),
    ],
)
def test_what_makes_no_account_is_refused_with_a_sentence(cast, wrong, says):
    with pytest.raises(CannotAddAccount, match=says):
        add(cast.administrator, **wrong)


def test_a_name_that_differs_by_case_alone_is_taken(cast):
    make_user("", "teacher", username="JMORENO")
    with pytest.raises(CannotAddAccount, match="taken"):
        add(cast.administrator)


def test_a_weak_password_is_refused(cast):
    with pytest.raises(ValidationError):
        add(cast.administrator, password="short")
    assert not User.objects.filter(username="jmoreno").exists()


def change(cast, person, by=None, **more):
    asked = {"name": person.name, "sort_name": person.sort_name, "roles": list(person.roles), "active": True}
    return change_account(by=by or cast.administrator, person=person, now=NOW, **{**asked, **more})


def test_roles_are_given_and_taken(cast):
    change(cast, cast.teacher, roles=["technician"])
    teacher = User.objects.get(pk=cast.teacher.pk)
    assert teacher.roles == {"technician"}
    assert not teacher.has_perm("practicals.plan_session")


@pytest.mark.parametrize("stuck", [{"roles": ["teacher"]}, {"active": False}])
def test_the_last_administrator_stays_one(cast, stuck):
    with pytest.raises(CannotChangeAccount, match="only administrator"):
        change(cast, cast.administrator, **stuck)
    assert User.objects.get(pk=cast.administrator.pk).holds("administrator")


def test_one_of_two_administrators_may_go(cast):
    other = make_user("", "administrator")
    change(cast, cast.administrator, by=other, roles=["teacher"])
    assert not User.objects.get(pk=cast.administrator.pk).holds("administrator")


def test_an_administrator_who_cannot_sign_in_does_not_count(cast):
    make_user("", "administrator", is_active=False)
    with pytest.raises(CannotChangeAccount, match="only administrator"):
        change(cast, cast.administrator, roles=["teacher"])


def test_a_new_password_is_set_and_an_empty_one_keeps_the_old(cast):
    change(cast, cast.teacher, password=GOOD)
    change(cast, cast.teacher, password="")
    assert User.objects.get(pk=cast.teacher.pk).check_password(GOOD)


def test_the_trail_says_what_changed_and_not_the_password(cast):
    change(cast, cast.teacher, name="Tess Other", password=GOOD)
    entry = AuditEntry.objects.get(action="change_account")
    assert entry.sentence == "An account was changed: name, password."
    assert GOOD not in repr(entry.detail)


@pytest.mark.parametrize("who", ["teacher", "learner", "lead_verifier"])
def test_only_administrators_change_accounts(cast, who):
    with pytest.raises(PermissionDenied):
        change(cast, cast.rival, by=getattr(cast, who), roles=["administrator"])


def test_staff_change_their_own_password(cast):
    change_password(by=cast.teacher, present="correct horse battery", password=GOOD, now=NOW)
    assert User.objects.get(pk=cast.teacher.pk).check_password(GOOD)
    assert AuditEntry.objects.filter(action="change_password", actor=cast.teacher.token).exists()


def test_the_present_password_is_needed_and_a_weak_one_refused(cast):
    with pytest.raises(WrongPassword):
        change_password(by=cast.teacher, present="wrong", password=GOOD, now=NOW)
    with pytest.raises(ValidationError):
        change_password(by=cast.teacher, present="correct horse battery", password="short", now=NOW)
    with pytest.raises(PermissionDenied):
        change_password(by=cast.learner, present="correct horse battery", password=GOOD, now=NOW)
