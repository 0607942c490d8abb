"""The page on which a session planned by mistake is withdrawn, and what is left of it."""

import uuid

import pytest
from django.urls import reverse

from practicals.models import Session
from tests.factories import make_class, make_session


@pytest.fixture
def planned(cast, shipped):
    mistaken = make_class("Mistaken", teacher=cast.teacher)
    return make_session(teacher=cast.teacher, teaching_class=mistaken, practical=shipped, started=False)


@pytest.fixture
def client(as_, cast):
    return as_(cast.teacher)


def to(name, session):
    return reverse(f"plan:{name}", args=[session.uuid])


def withdraw(client, session, reason="planned twice"):
    return client.post(to("withdraw", session), {"once": str(uuid.uuid4()), "reason": reason})


def text(client, address):
    return client.get(address).content.decode()


def test_the_session_s_page_leads_there_until_it_starts(client, cast, planned):
    assert to("withdraw", planned) in text(client, to("session", planned))
    assert to("withdraw", cast.session) not in text(client, to("session", cast.session))


def test_reading_the_page_withdraws_nothing(client, planned):
    assert "cannot be undone" in text(client, to("withdraw", planned))
    assert Session.objects.get(pk=planned.pk).withdrawn_at is None


def test_it_is_withdrawn_and_its_page_says_why(client, planned):
    assert withdraw(client, planned).url == to("session", planned)
    page = text(client, to("session", planned))
    assert "because: planned twice" in page
    assert to("start", planned) not in page
    assert to("copy", planned) not in page


def test_it_leaves_the_lists_and_the_first_page(client, planned):
    places = (reverse("plan:sessions"), "/")
    assert all(str(planned.uuid) in text(client, place) for place in places)
    withdraw(client, planned)
    text(client, to("session", planned))  # takes the message that names it
    assert not any(str(planned.uuid) in text(client, place) for place in places)


def test_its_lesson_clashes_with_nothing_any_more(client, cast, planned):
    other = make_session(teacher=cast.teacher, teaching_class=planned.teaching_class, started=False)
    clash = "The class also has a lesson of another session at this time."
    assert clash in text(client, to("session", other))
    withdraw(client, planned)
    assert clash not in text(client, to("session", other))


@pytest.mark.parametrize("reason", ["", "   ", "x" * 201])
def test_without_a_fitting_reason_the_page_comes_back_with_what_was_typed(client, planned, reason):
    response = withdraw(client, planned, reason)
    assert response.status_code == 200
    assert "Nothing was saved yet" in response.content.decode()
    assert reason.strip() in response.content.decode()
    assert Session.objects.get(pk=planned.pk).withdrawn_at is None


def test_a_started_session_says_that_it_cannot(client, cast):
    assert "no longer be withdrawn" in text(client, to("withdraw", cast.session))
    withdraw(client, cast.session)
    assert Session.objects.get(pk=cast.session.pk).withdrawn_at is None


def test_its_board_is_not_there_and_starting_it_is_refused(client, planned):
    withdraw(client, planned)
    assert client.get(reverse("board:board", args=[planned.uuid])).status_code == 404
    response = client.post(to("start", planned), {"once": str(uuid.uuid4())}, follow=True)
    assert "was withdrawn" in response.content.decode()
    assert Session.objects.get(pk=planned.pk).started_at is None


@pytest.mark.parametrize("page", ["edit_session", "groups", "copy", "requisition", "catch_up", "withdraw"])
def test_an_address_kept_from_before_still_answers(client, planned, page):
    withdraw(client, planned)
    assert client.get(to(page, planned)).status_code == 200


def test_the_class_s_page_still_leads_to_it_and_says_that_it_was_withdrawn(client, planned):
    withdraw(client, planned)
    page = text(client, reverse("people:class", args=[planned.teaching_class.uuid]))
    assert to("session", planned) in page
    assert '<span class="state">withdrawn</span>' in page
