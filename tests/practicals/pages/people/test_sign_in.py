import pytest
from django.test import Client, override_settings
from django.urls import reverse

PASSWORD = "correct horse battery"


@pytest.fixture
def page(db):
    return reverse("people:sign_in")


def sign_in(client, page, person, **more):
    return client.post(page, {"username": person.username, "password": PASSWORD, **more})


def text(response):
    return response.content.decode()


def test_staff_sign_in_by_name_and_password(cast, client, page):
    response = sign_in(client, page, cast.teacher)
    assert response.url == reverse("home:home")
    assert client.session["_auth_user_id"] == str(cast.teacher.pk)


def test_capital_letters_do_not_count_in_the_name(cast, client, page):
    response = client.post(page, {"username": cast.teacher.username.upper(), "password": PASSWORD})
    assert response.status_code == 302


@pytest.mark.parametrize(
    ("name", "password"),
    [("person1", "wrong"), ("nobody", PASSWORD), ("x" * 61, "y"), ("", ""), ("a\0b", "c"), ("1e9", "-1")],
)
def test_a_failure_is_a_sentence_and_keeps_the_name(cast, client, page, name, password):
    response = client.post(page, {"username": name, "password": password})
    assert response.status_code == 200
    assert 'role="alert"' in text(response) or "invalid-feedback" in text(response)
    assert "_auth_user_id" not in client.session
    if name == "nobody":
        assert 'value="nobody"' in text(response)
        assert "do not fit together" in text(response)
        assert PASSWORD not in text(response)


def test_somebody_who_was_let_in_no_longer_is_refused(cast, client, page):
    cast.teacher.is_active = False
    cast.teacher.save()
    assert sign_in(client, page, cast.teacher).status_code == 200
    assert "_auth_user_id" not in client.session


def test_a_learner_without_a_passphrase_cannot_sign_in_by_name(cast, client, page):
    cast.learner.set_unusable_password()
    cast.learner.save()
    for password in (PASSWORD, "", "!"):
        assert client.post(page, {"username": cast.learner.username, "password": password}).status_code == 200
    assert "_auth_user_id" not in client.session


@pytest.mark.parametrize(
    ("wanted", "leads_to"),
    [
        ("/plan/sessions/", "/plan/sessions/"),
        ("https://elsewhere.example/", "/"),
        ("//elsewhere.example/", "/"),
        ("javascript:alert(1)", "/"),
        ("/\\elsewhere.example", "/"),
        ("/a\r\nSet-Cookie: x=1", "/"),
    ],
)
def test_the_way_on_stays_on_this_host(cast, client, page, wanted, leads_to):
    assert sign_in(client, page, cast.teacher, next=wanted).url == leads_to


def test_the_wanted_page_survives_a_failure(cast, client, page):
    response = client.post(f"{page}?next=/classes/", {"username": "nobody", "password": "x"})
    assert '<input type="hidden" name="next" value="/classes/">' in text(response)


def test_a_visitor_is_sent_here_from_a_closed_page(cast, client, page):
    assert client.get(reverse("people:classes")).url == f"{page}?next=/classes/"


def test_somebody_signed_in_is_sent_on(cast, as_, page):
    assert as_(cast.teacher).get(page).url == "/"


def test_signing_out_is_a_post(cast, as_, page):
    signed_in = as_(cast.teacher)
    assert signed_in.get(reverse("people:sign_out")).status_code == 405
    assert signed_in.post(reverse("people:sign_out")).url == page
    assert "_auth_user_id" not in signed_in.session


def test_the_form_is_protected_against_forgery(cast, page):
    strict = Client(enforce_csrf_checks=True)
    assert sign_in(strict, page, cast.teacher).status_code == 403


@override_settings(AXES_ENABLED=True, AXES_FAILURE_LIMIT=3)
def test_guessing_at_a_name_is_stopped_in_any_case_and_for_nobody_else(cast, client, page):
    name = cast.teacher.username
    for typed in (name, name.upper(), name.title()):
        response = client.post(page, {"username": typed, "password": "wrong"})
    assert response.status_code == 429
    assert "Too many wrong passwords" in text(response)
    assert sign_in(Client(), page, cast.teacher).status_code == 429
    assert sign_in(Client(), page, cast.other_teacher).status_code == 302
