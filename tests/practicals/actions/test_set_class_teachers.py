"""Who teaches a class: everybody may be chosen by an administrator, added to by those who teach it."""

import pytest
from django.core.exceptions import PermissionDenied

from practicals.access import planned_sessions, readable_classes
from practicals.actions.set_class_teachers import CannotSetTeachers, NobodyLeft, set_class_teachers
from practicals.models import AuditEntry


def put(cast, by, *teachers, **more):
    return set_class_teachers(by=by, teaching_class=cast.teaching_class, teachers=teachers, **more)


def teaching(cast):
    return set(cast.teaching_class.teachers.all())


def test_an_administrator_hands_a_class_to_another_teacher(cast):
    put(cast, cast.administrator, cast.other_teacher)
    assert teaching(cast) == {cast.other_teacher}
    assert planned_sessions(cast.other_teacher).contains(cast.session)
    assert not readable_classes(cast.teacher).contains(cast.teaching_class)


def test_who_planned_a_session_keeps_it_after_leaving_the_class(cast):
    put(cast, cast.administrator, cast.other_teacher)
    assert planned_sessions(cast.teacher).contains(cast.session)


def test_a_teacher_of_the_class_adds_a_colleague_and_takes_nobody_off(cast):
    put(cast, cast.teacher, cast.other_teacher)
    assert teaching(cast) == {cast.teacher, cast.other_teacher}
    put(cast, cast.other_teacher)
    assert teaching(cast) == {cast.teacher, cast.other_teacher}


@pytest.mark.parametrize("who", ["other_teacher", "technician", "learner", "verifier", "lead_verifier"])
def test_nobody_else_changes_who_teaches(cast, who):
    with pytest.raises(PermissionDenied):
        put(cast, getattr(cast, who), cast.other_teacher)
    assert teaching(cast) == {cast.teacher}


def test_a_class_is_left_without_a_teacher_only_when_that_is_meant(cast):
    with pytest.raises(NobodyLeft, match="nobody teaches"):
        put(cast, cast.administrator)
    assert teaching(cast) == {cast.teacher}
    put(cast, cast.administrator, without_teacher=True)
    assert teaching(cast) == set()


@pytest.mark.parametrize("who", ["technician", "learner"])
def test_only_teachers_teach(cast, who):
    with pytest.raises(CannotSetTeachers, match="no teacher"):
        put(cast, cast.administrator, cast.teacher, getattr(cast, who))
    assert teaching(cast) == {cast.teacher}


def test_a_teacher_who_may_no_longer_sign_in_is_not_added_but_may_stay(cast):
    cast.other_teacher.is_active = cast.teacher.is_active = False
    cast.other_teacher.save()
    cast.teacher.save()
    put(cast, cast.administrator, cast.teacher)
    with pytest.raises(CannotSetTeachers):
        put(cast, cast.administrator, cast.teacher, cast.other_teacher)
    assert teaching(cast) == {cast.teacher}


def test_the_trail_names_by_token_and_is_silent_when_nothing_changed(cast):
    put(cast, cast.administrator, cast.teacher)
    assert not AuditEntry.objects.filter(action="set_class_teachers").exists()
    put(cast, cast.administrator, cast.other_teacher)
    entry = AuditEntry.objects.get(action="set_class_teachers")
    assert entry.detail == {"joined": [str(cast.other_teacher.token)], "left": [str(cast.teacher.token)]}
    assert cast.teacher.name not in entry.sentence
