from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied

from practicals.actions.take_register import RegisterChanged, UnknownMark, take_register
from practicals.models import Attendance, AuditEntry, LessonHelper, Role
from tests.factories import NOW, make_user


def lesson_of(cast):
    return cast.session.lessons.get()


def marks_of(cast):
    return {row.learner: row.mark for row in Attendance.objects.filter(lesson=lesson_of(cast))}


def test_a_register_is_taken_and_says_by_whom_and_when(cast):
    marks = {cast.learner: "present", cast.rival: "absent"}
    taken = take_register(by=cast.teacher, lesson=lesson_of(cast), marks=marks, now=NOW)
    assert (taken.new, taken.changed) == (2, 0)
    assert marks_of(cast) == marks
    row = Attendance.objects.get(learner=cast.rival)
    assert (row.marked_by, row.marked_at) == (cast.teacher, NOW)
    entry = AuditEntry.objects.get(action="take_register")
    assert entry.detail["marks"] == {str(cast.learner.token): "present", str(cast.rival.token): "absent"}


def test_the_same_register_again_changes_nothing(cast):
    marks = {cast.learner: "present", cast.rival: "absent"}
    take_register(by=cast.teacher, lesson=lesson_of(cast), marks=marks, now=NOW)
    again = take_register(
        by=cast.teacher, lesson=lesson_of(cast), marks=marks, now=NOW + timedelta(minutes=5)
    )
    assert (again.new, again.changed) == (0, 0)
    assert set(Attendance.objects.values_list("marked_at", flat=True)) == {NOW}
    assert AuditEntry.objects.filter(action="take_register").count() == 1


def test_a_later_change_is_kept_in_the_trail_with_what_stood_before(cast):
    take_register(by=cast.teacher, lesson=lesson_of(cast), marks={cast.learner: "absent"}, now=NOW)
    later = NOW + timedelta(minutes=9)
    take_register(by=cast.teacher, lesson=lesson_of(cast), marks={cast.learner: "late"}, now=later)
    row = Attendance.objects.get(learner=cast.learner)
    assert (row.mark, row.marked_at) == ("late", later)
    entry = AuditEntry.objects.filter(action="take_register").first()
    assert entry.sentence == "The register of a lesson was changed."
    assert entry.detail["before"] == {str(cast.learner.token): "absent"}


def test_two_people_who_mark_different_learners_both_keep_their_marks(cast):
    seen = {cast.learner: "", cast.rival: ""}
    take_register(by=cast.teacher, lesson=lesson_of(cast), marks={cast.learner: "late"}, seen=seen, now=NOW)
    mine = {cast.rival: "present"}
    take_register(by=cast.teacher, lesson=lesson_of(cast), marks=mine, seen=seen, now=NOW)
    assert marks_of(cast) == {cast.learner: "late", cast.rival: "present"}


def test_a_mark_that_somebody_changed_meanwhile_is_not_overwritten_unseen(cast):
    seen = {cast.learner: ""}
    take_register(by=cast.teacher, lesson=lesson_of(cast), marks={cast.learner: "late"}, seen=seen, now=NOW)
    with pytest.raises(RegisterChanged, match="is marked late"):
        take_register(
            by=cast.teacher, lesson=lesson_of(cast), marks={cast.learner: "absent"}, seen=seen, now=NOW
        )
    assert marks_of(cast) == {cast.learner: "late"}


def test_a_mark_left_as_it_was_does_not_undo_somebody_elses(cast):
    lesson = lesson_of(cast)
    take_register(by=cast.teacher, lesson=lesson, marks={cast.learner: "present"}, now=NOW)
    take_register(by=cast.teacher, lesson=lesson, marks={cast.learner: "late"}, now=NOW)
    stale = {cast.learner: "present"}
    take_register(by=cast.teacher, lesson=lesson, marks={**stale, cast.rival: "absent"}, seen=stale, now=NOW)
    assert marks_of(cast) == {cast.learner: "late", cast.rival: "absent"}


def test_an_unknown_mark_and_a_learner_of_another_class_are_refused(cast):
    for marks in ({cast.learner: "asleep"}, {cast.stranger: "present"}):
        with pytest.raises(UnknownMark):
            take_register(by=cast.teacher, lesson=lesson_of(cast), marks=marks, now=NOW)
    assert not Attendance.objects.exists()


def test_only_who_leads_or_helps_in_the_lesson_takes_its_register(cast):
    helper = make_user("Hal Helper", Role.LESSON_ONLY)
    for person in (cast.other_teacher, cast.technician, cast.learner, helper, cast.administrator):
        with pytest.raises(PermissionDenied):
            take_register(by=person, lesson=lesson_of(cast), marks={cast.learner: "present"}, now=NOW)
    LessonHelper.objects.create(lesson=lesson_of(cast), user=helper, part="support assistant")
    take_register(by=helper, lesson=lesson_of(cast), marks={cast.learner: "present"}, now=NOW)
    assert marks_of(cast) == {cast.learner: "present"}
