from html import unescape
from urllib.parse import quote
from uuid import uuid4

import pytest
from django.test import Client
from django.urls import reverse

from practicals.models import ReadingSet

READ = {"unit": "mm", "origin": "15", "front": "95", "l1_s1_centre": "34,5"}


@pytest.fixture
def address(cast):
    paper = cast.session.groups.get(members__learner=cast.learner).papers.get()
    return reverse("bench:readings", args=[paper.uuid])


def test_a_form_sent_after_the_sign_in_ended_comes_back_whole(cast, address):
    answer = Client().post(address, {"once": str(uuid4()), **READ})
    page = answer.content.decode()
    assert answer.status_code == 403
    assert "Nothing is lost" in page
    for name, value in READ.items():
        assert f'<textarea name="{name}" hidden>{value}</textarea>' in unescape(page)
    assert not ReadingSet.objects.exists()


def test_sent_again_after_signing_in_it_is_saved(cast, as_, address):
    once = str(uuid4())
    Client().post(address, {"once": once, **READ})
    assert as_(cast.learner).post(address, {"once": once, **READ}).status_code == 302
    assert ReadingSet.objects.get().learner == cast.learner


def test_a_form_opened_by_one_person_is_not_saved_for_another(cast, as_, address):
    sent = {"once": str(uuid4()), "opened_by": str(cast.learner.uuid), **READ}
    answer = as_(cast.group_mate).post(address, sent)
    assert answer.status_code == 409
    assert "34,5" in answer.content.decode()
    assert not ReadingSet.objects.exists()


def test_a_stale_token_from_an_own_page_offers_the_entry_again(cast, address):
    client = Client(enforce_csrf_checks=True)
    client.force_login(cast.learner)
    answer = client.post(address, {"once": str(uuid4()), **READ}, headers={"origin": "http://testserver"})
    assert "Send it again" in answer.content.decode()
    assert not ReadingSet.objects.exists()


def test_a_form_from_a_foreign_page_is_not_offered_again(cast, address):
    client = Client(enforce_csrf_checks=True)
    client.force_login(cast.learner)
    answer = client.post(
        address, {"once": str(uuid4()), **READ}, headers={"origin": "http://elsewhere.example"}
    )
    assert "Send it again" not in answer.content.decode()


def test_no_password_is_shown_again(cast):
    secrets = dict.fromkeys(("present", "fresh", "again", "password"), "open sesame now")
    page = Client().post(reverse("people:password"), {"once": str(uuid4()), **secrets}).content.decode()
    assert "open sesame now" not in page


def test_a_page_that_refreshes_itself_is_led_to_the_sign_in(cast):
    board = reverse("board:board", args=[cast.session.uuid])
    headers = {"hx-request": "true", "hx-current-url": f"http://testserver{board}"}
    answer = Client().get(reverse("board:live", args=[cast.session.uuid]), headers=headers)
    assert answer.status_code == 204
    assert answer["HX-Redirect"] == f"{reverse('people:sign_in')}?next={quote(board, safe='')}"
