"""The page that erases a person: said first, ticked, and with a way back."""

from uuid import uuid4

import pytest
from django.urls import reverse

from practicals.actions.withdraw_learner import withdraw_learner
from practicals.models import User
from tests.factories import NOW


@pytest.fixture
def left(cast):
    """A learner who has left the class."""
    withdraw_learner(
        by=cast.teacher, teaching_class=cast.teaching_class, learner=cast.learner, reason="left", now=NOW
    )
    return cast.learner


def erase(client, person, **typed):
    return client.post(reverse("people:erase", args=[person.uuid]), {"once": str(uuid4()), **typed})


def test_a_person_is_erased_after_saying_that_one_is_sure(cast, as_, left):
    client, name = as_(cast.administrator), left.name
    assert "Erase this person" in client.get(reverse("people:account", args=[left.uuid])).content.decode()
    assert erase(client, left, sure="on").url == reverse("people:accounts")
    assert User.objects.get(pk=left.pk).name.startswith("Person ")
    assert name not in client.get(reverse("people:accounts")).content.decode()
    assert client.get(reverse("people:account", args=[left.uuid])).status_code == 404


def test_without_the_tick_nothing_happens(cast, as_, left):
    html = erase(as_(cast.administrator), left).content.decode()
    assert "Tick that you know" in html
    assert User.objects.get(pk=left.pk).erased_at is None


def test_what_stands_in_the_way_is_said(cast, as_):
    html = erase(as_(cast.administrator), cast.rival, sure="on").content.decode()
    assert "still in a class" in html
    assert User.objects.get(pk=cast.rival.pk).erased_at is None
