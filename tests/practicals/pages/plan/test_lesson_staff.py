from uuid import uuid4

import pytest
from django.urls import reverse

from practicals.models import AuditEntry, LessonHelper, Role
from tests.factories import make_user


@pytest.fixture
def address(cast):
    return reverse("plan:lesson_staff", args=[cast.session.lessons.get().uuid])


@pytest.fixture
def support(cast):
    return make_user("Sunny Support", Role.LESSON_ONLY)


def give(client, address, person, part="support assistant"):
    return client.post(address, {"once": str(uuid4()), "person": str(person.uuid), "part": part})


def test_a_lesson_is_given_and_opens_its_board(cast, as_, address, support):
    give(as_(cast.teacher), address, support)
    board = reverse("board:board", args=[cast.session.uuid])
    assert as_(support).get(board).status_code == 200
    assert AuditEntry.objects.filter(action="give_lesson").count() == 1


def test_taken_back_the_board_is_gone(cast, as_, address, support):
    client = as_(cast.teacher)
    give(client, address, support)
    client.post(address, {"once": str(uuid4()), "take_back": str(support.uuid)})
    assert not LessonHelper.objects.exists()
    assert as_(support).get(reverse("board:board", args=[cast.session.uuid])).status_code == 404


def test_a_technician_cannot_be_given_a_lesson(cast, as_, address):
    answer = give(as_(cast.teacher), address, cast.technician)
    assert "Choose one of the list." in answer.content.decode()
    assert not LessonHelper.objects.exists()


def test_garbage_is_a_sentence(cast, as_, address):
    sent = {"once": str(uuid4()), "person": "nobody at all", "part": "boss"}
    answer = as_(cast.teacher).post(address, sent).content.decode()
    assert "Choose one of the list." in answer
    assert "Choose one of the two." in answer


def test_taking_back_from_nobody_changes_nothing(cast, as_, address):
    answer = as_(cast.teacher).post(address, {"once": str(uuid4()), "take_back": "x"})
    assert answer.status_code == 302
