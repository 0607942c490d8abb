import uuid
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from practicals.models import Attendance, AuditEntry, GroupMember, LessonHelper, Role, Session
from tests.factories import NOW, make_class, make_session, make_user


@pytest.fixture
def lesson(cast):
    return cast.session.lessons.get()


def form_of(session, word="", seen=""):
    learners = [member.learner for member in session.members.all()]
    marks = {f"mark-{learner.uuid}": word for learner in learners if word}
    return marks | {f"seen-{learner.uuid}": seen for learner in learners}


def test_one_save_marks_everybody_guests_included(cast, lesson, page, post):
    guest = cast.stranger
    home = Session.objects.get(teacher=cast.other_teacher)
    GroupMember.objects.create(
        session=cast.session, group=cast.session.groups.first(), learner=guest, home_session=home
    )
    assert guest.name in page(cast.teacher, "register", lesson.uuid)
    answer = post(cast.teacher, "register", [lesson.uuid], **form_of(cast.session, "present"))
    assert answer.url == reverse("board:board", args=[cast.session.uuid])
    assert Attendance.objects.filter(lesson=lesson, mark="present").count() == 7
    shown = page(cast.teacher, "register", lesson.uuid)
    assert "Last saved by Tess Teacher" in shown


def test_all_others_present_in_one_click(cast, lesson, post):
    form = form_of(cast.session) | {f"mark-{cast.learner.uuid}": "absent", "rest": "present"}
    post(cast.teacher, "register", [lesson.uuid], **form)
    marks = {row.learner: row.mark for row in Attendance.objects.all()}
    assert marks.pop(cast.learner) == "absent"
    assert set(marks.values()) == {"present"}
    assert len(marks) == 5


def test_without_that_button_nobody_is_marked_unasked(cast, lesson, post, page):
    form = form_of(cast.session) | {f"mark-{cast.learner.uuid}": "late"}
    post(cast.teacher, "register", [lesson.uuid], **form)
    assert Attendance.objects.get().learner == cast.learner
    assert "5 not marked yet" in page(cast.teacher, "register", lesson.uuid)


def test_a_double_click_saves_once(cast, lesson, as_):
    key = uuid.uuid4()
    client, url = as_(cast.teacher), reverse("board:register", args=[lesson.uuid])
    for _ in range(2):
        assert client.post(url, {"once": key, **form_of(cast.session, "present")}).status_code == 302
    assert AuditEntry.objects.filter(action="take_register").count() == 1


def test_what_somebody_else_changed_meanwhile_is_shown_and_ones_own_choice_kept(cast, lesson, post):
    post(cast.teacher, "register", [lesson.uuid], **form_of(cast.session, "present"))
    stale = form_of(cast.session, "", "") | {f"mark-{cast.learner.uuid}": "absent"}
    answer = post(cast.teacher, "register", [lesson.uuid], **stale)
    text = answer.content.decode()
    assert answer.status_code == 200
    assert f"{cast.learner} is marked present" in text
    assert f'name="mark-{cast.learner.uuid}" value="absent" checked' in text
    assert f'name="mark-{cast.rival.uuid}" value="present" checked' in text
    assert Attendance.objects.get(learner=cast.learner).mark == "present"
    again = {f"mark-{cast.learner.uuid}": "absent", f"seen-{cast.learner.uuid}": "present"}
    post(cast.teacher, "register", [lesson.uuid], **form_of(cast.session, "present", "present") | again)
    assert Attendance.objects.get(learner=cast.learner).mark == "absent"
    assert Attendance.objects.get(learner=cast.rival).mark == "present"


@pytest.mark.parametrize("word", ["asleep", "1e9", "-1", "0,5", "<b>"])
def test_a_mark_that_is_none_is_refused_and_the_others_keep_their_choice(cast, lesson, post, word):
    form = form_of(cast.session, "late") | {f"mark-{cast.learner.uuid}": word}
    answer = post(cast.teacher, "register", [lesson.uuid], **form)
    text = answer.content.decode()
    assert answer.status_code == 200
    assert "Choose present, late or absent." in text
    assert f'name="mark-{cast.rival.uuid}" value="late" checked' in text
    assert not Attendance.objects.exists()


def test_learners_of_other_classes_slip_in_by_no_form(cast, lesson, post):
    form = form_of(cast.session, "present") | {f"mark-{cast.stranger.uuid}": "present"}
    post(cast.teacher, "register", [lesson.uuid], **form)
    assert not Attendance.objects.filter(learner=cast.stranger).exists()


def test_lesson_staff_have_the_register_of_their_lesson_only(cast, lesson, get):
    helper = make_user("Hal Helper", Role.LESSON_ONLY)
    LessonHelper.objects.create(lesson=lesson, user=helper, part="support assistant")
    second = cast.session.lessons.create(
        starts_at=NOW + timedelta(days=7), minutes=60, room="Lab 3", leader=cast.teacher
    )
    assert get(helper, "register", lesson.uuid).status_code == 200
    assert get(helper, "register", second.uuid).status_code == 404
    assert get(cast.teacher, "register", second.uuid).status_code == 200


def test_nobody_else_opens_it(cast, lesson, get, post):
    for person in (cast.other_teacher, cast.technician, cast.learner, cast.verifier, cast.administrator):
        assert get(person, "register", lesson.uuid).status_code == 404
        assert post(person, "register", [lesson.uuid], **form_of(cast.session, "present")).status_code == 404
    assert not Attendance.objects.exists()


def test_as_many_questions_for_thirty_as_for_three(cast, as_):
    def count(learners):
        teaching_class = make_class(teacher=cast.teacher, learners=learners)
        session = make_session(teacher=cast.teacher, teaching_class=teaching_class)
        client, url = as_(cast.teacher), reverse("board:register", args=[session.lessons.get().uuid])
        with CaptureQueriesContext(connection) as asked:
            assert client.get(url).status_code == 200
        return len(asked)

    assert count(3) == count(30)
