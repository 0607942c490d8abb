"""Planning a session on one page.

It needs a practical, a class and a first lesson; refuses nonsense with a sentence and keeps what was typed;
copies to parallel classes; shows nobody else's classes.
"""

import pytest
from django.urls import reverse

from practicals.models import Session
from tests.factories import make_class

URL = "/plan/sessions/new/"


def planned(cast):
    return Session.objects.filter(teacher=cast.teacher).exclude(pk=cast.session.pk)


def test_it_plans_a_session_with_groups_and_leads_to_its_page(as_, cast, answers):
    response = as_(cast.teacher).post(URL, answers(seed="7"))
    session = planned(cast).get()
    assert response.url == reverse("plan:session", args=[session.uuid])
    assert [group.members.count() for group in session.groups.all()] == [3, 3]
    assert session.group_seed == 7
    assert session.lessons.get().room == "Lab 2"


def test_a_second_lesson_follows_the_first_in_what_is_left_empty(as_, cast, answers):
    as_(cast.teacher).post(URL, answers(**{"lesson1-day": "10/12/2030", "lesson1-start": "9.00"}))
    second = planned(cast).get().lessons.last()
    assert (second.room, second.minutes, second.leader) == ("Lab 2", 90, cast.teacher)


def test_the_leader_is_me_and_fields_are_filled_as_far_as_is_known(as_, cast, shipped):
    text = as_(cast.teacher).get(f"{URL}?practical={shipped.uuid}").content.decode()
    assert f'value="{cast.teacher.uuid}" selected' in text
    assert f'value="{shipped.uuid}"' in text
    assert text.count('class="button"') == 1


def test_it_copies_to_parallel_classes_with_groups_of_their_own(as_, cast, answers):
    parallel = make_class("Class 1C", teacher=cast.teacher, learners=4)
    as_(cast.teacher).post(URL, answers(also_for=[str(parallel.uuid)]))
    copy = Session.objects.get(teaching_class=parallel)
    assert copy.copied_from.teaching_class == cast.teaching_class
    assert copy.lessons.count() == 0
    assert copy.members.count() == 4


@pytest.mark.parametrize(
    ("field", "typed"),
    [
        ("practical", ""),
        ("practical", "letters"),
        ("teaching_class", ""),
        ("teaching_class", "1"),
        ("group_size", ""),
        ("group_size", "-3"),
        ("group_size", "1e9"),
        ("group_size", "2,5"),
        ("group_size", "three"),
        ("help_setting", "everything"),
        ("seed", "seven"),
        ("seed", "-1"),
        ("seed", "1e9999"),
        ("lesson0-day", ""),
        ("lesson0-day", "soon"),
        ("lesson0-day", "0001-01-01"),
        ("lesson0-start", "25:99"),
        ("lesson0-minutes", "5"),
        ("lesson0-minutes", "1e9"),
        ("lesson0-minutes", "an hour"),
        ("lesson0-room", ""),
        ("lesson0-room", "x" * 61),
        ("lesson0-room", "Lab\x002"),
        ("lesson0-leader", "nobody"),
        ("lesson1-day", "2030-12-10"),
        ("also_for", "letters"),
        ("title", "x" * 161),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence_and_kept(as_, cast, answers, field, typed):
    response = as_(cast.teacher).post(URL, answers(**{field: typed}))
    assert response.status_code == 200
    assert "Nothing was saved yet" in response.content.decode()
    assert not planned(cast).exists()


def test_what_was_typed_stays(as_, cast, answers):
    text = (
        as_(cast.teacher)
        .post(URL, answers(group_size="three", **{"lesson0-room": "Lab 99"}))
        .content.decode()
    )
    assert 'value="three"' in text
    assert 'value="Lab 99"' in text


def test_a_length_with_its_unit_and_a_comma_is_read(as_, cast, answers):
    response = as_(cast.teacher).post(URL, answers(group_size="3,0"))
    assert response.status_code == 302


def test_two_lessons_at_one_time_are_refused(as_, cast, answers):
    again = {"lesson1-day": "2030-12-03", "lesson1-start": "10:15"}
    text = as_(cast.teacher).post(URL, answers(**again)).content.decode()
    assert "start at the same time" in text
    assert not planned(cast).exists()


def test_a_class_without_learners_is_refused_with_a_sentence(as_, cast, answers):
    empty = make_class("Class 0", teacher=cast.teacher, learners=0)
    text = as_(cast.teacher).post(URL, answers(teaching_class=str(empty.uuid))).content.decode()
    assert "Add learners to the class first" in text


def test_an_empty_parallel_class_leaves_nothing_half_done(as_, cast, answers):
    empty = make_class("Class 0", teacher=cast.teacher, learners=0)
    as_(cast.teacher).post(URL, answers(also_for=[str(empty.uuid)]))
    assert not planned(cast).exists()


def test_another_teachers_class_cannot_be_chosen(as_, cast, answers):
    elsewhere = cast.other_teacher.classes_taught.get()
    client = as_(cast.teacher)
    assert elsewhere.name not in client.get(URL).content.decode()
    assert client.post(URL, answers(teaching_class=str(elsewhere.uuid))).status_code == 200
    assert not planned(cast).exists()


def test_a_second_sending_of_the_same_form_plans_nothing_more(as_, cast, answers):
    client, form = as_(cast.teacher), answers()
    first, second = client.post(URL, form), client.post(URL, form)
    assert first.url == second.url
    assert planned(cast).count() == 1
