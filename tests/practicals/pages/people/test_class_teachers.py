"""The page on which a class gets its teachers."""

import uuid

import pytest
from django.urls import reverse


def send(client, cast, *people, **more):
    typed = {"once": str(uuid.uuid4()), "teachers": [str(person.uuid) for person in people], **more}
    return client.post(reverse("people:class_teachers", args=[cast.teaching_class.uuid]), typed)


def teaching(cast):
    return set(cast.teaching_class.teachers.all())


@pytest.mark.parametrize(("who", "link"), [("administrator", "Change its"), ("teacher", "Add a colleague")])
def test_the_class_s_page_says_who_teaches_and_leads_there(as_, cast, who, link):
    client = as_(getattr(cast, who))
    text = client.get(reverse("people:class", args=[cast.teaching_class.uuid])).content.decode()
    assert "Taught by Tess Teacher." in text
    assert reverse("people:class_teachers", args=[cast.teaching_class.uuid]) in text
    assert link in text


def test_an_administrator_saves_another_teacher(as_, cast):
    response = send(as_(cast.administrator), cast, cast.other_teacher)
    assert response.url == reverse("people:class", args=[cast.teaching_class.uuid])
    assert teaching(cast) == {cast.other_teacher}


def test_nobody_ticked_is_asked_about_before_it_is_done(as_, cast):
    client = as_(cast.administrator)
    first = client.get(reverse("people:class_teachers", args=[cast.teaching_class.uuid])).content.decode()
    assert "without_teacher" not in first
    asked = send(client, cast).content.decode()
    assert "nobody teaches this class" in asked
    assert 'name="without_teacher"' in asked
    assert teaching(cast) == {cast.teacher}
    send(client, cast, without_teacher="on")
    assert teaching(cast) == set()


def test_a_teacher_sees_only_colleagues_and_adds_one(as_, cast):
    client = as_(cast.teacher)
    text = client.get(reverse("people:class_teachers", args=[cast.teaching_class.uuid])).content.decode()
    assert f'name="teachers" value="{cast.other_teacher.uuid}"' in text
    assert f'name="teachers" value="{cast.teacher.uuid}"' not in text
    assert "Tick whom you want to add" in send(client, cast).content.decode()
    send(client, cast, cast.other_teacher)
    assert teaching(cast) == {cast.teacher, cast.other_teacher}
    text = client.get(reverse("people:class_teachers", args=[cast.teaching_class.uuid])).content.decode()
    assert "Every teacher of the centre teaches this class already" in text


@pytest.mark.parametrize("typed", ["nobody", "", "00000000-0000-0000-0000-000000000000"])
def test_somebody_not_in_the_list_is_refused_in_a_sentence(as_, cast, typed):
    response = send(as_(cast.administrator), cast, teachers=[typed])
    assert response.status_code == 200
    assert teaching(cast) == {cast.teacher}
    assert "Look at the list again" in response.content.decode()
