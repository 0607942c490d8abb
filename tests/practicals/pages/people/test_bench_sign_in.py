import pytest
from django.contrib.messages import get_messages
from django.test import Client
from django.urls import reverse

from practicals.actions.issue_bench_codes import issue_bench_codes
from practicals.actions.set_passphrase import set_passphrase
from practicals.calculations.bench_code import FREE_TRIES
from tests.factories import NOW


@pytest.fixture
def page(db):
    return reverse("people:bench_sign_in")


@pytest.fixture
def codes(cast):
    for member in cast.session.members.all():
        member.learner.set_unusable_password()
        member.learner.save()
    return {p.pk: code for p, code in issue_bench_codes(by=cast.teacher, session=cast.session, now=NOW)}


@pytest.fixture
def word(cast):
    return cast.teaching_class.class_word


def text(response):
    return response.content.decode()


def test_word_and_code_open_the_session(cast, client, page, codes, word):
    response = client.post(page, {"word": word, "code": codes[cast.learner.pk]})
    assert response.url == reverse("bench:session", args=[cast.session.uuid])
    assert client.session["bench_session"] == str(cast.session.uuid)
    assert client.session["_auth_user_backend"] == "practicals.gate.TableBackend"


def test_the_slip_s_address_fills_the_form_and_leaves_no_code_in_the_address(client, page):
    response = client.get(page, {"word": "amber1", "code": "D8RD-8SG4"}, follow=True)
    assert response.redirect_chain == [(page, 302)]
    assert 'value="amber1"' in text(response)
    assert 'value="D8RD-8SG4"' in text(response)
    assert "D8RD" not in text(client.get(page))


def test_the_address_alone_signs_nobody_in(cast, client, page, codes, word):
    client.get(page, {"word": word, "code": codes[cast.learner.pk]}, follow=True)
    assert "_auth_user_id" not in client.session


@pytest.mark.parametrize("value", ["x" * 5000, "\0", "<script>", "Ω"])
def test_an_odd_address_is_answered(client, page, value):
    response = client.get(page, {"word": value, "code": value}, follow=True)
    assert response.status_code == 200
    assert "<script>" not in text(response)


@pytest.mark.parametrize(
    ("word", "code"),
    [
        ("", ""),
        ("amber", ""),
        ("", "D8RD8SG4"),
        ("x" * 61, "y" * 61),
        ("a\0", "b\0"),
        ("-1", "1e9"),
        ("a", "12,5"),
    ],
)
def test_what_cannot_be_right_gets_a_sentence_and_stays(client, page, word, code):
    response = client.post(page, {"word": word, "code": code})
    assert response.status_code == 200
    assert "invalid-feedback" in text(response)
    if word == "amber":
        assert 'value="amber"' in text(response)


def test_a_wrong_code_keeps_what_was_typed(cast, client, page, word):
    response = client.post(page, {"word": word, "code": "zzzz-zzz2"})
    assert "do not fit together" in text(response)
    assert 'value="zzzz-zzz2"' in text(response)


def test_many_wrong_codes_say_how_long_to_wait_and_leave_others_signed_in(cast, client, page, codes, word):
    inside = Client()
    inside.post(page, {"word": word, "code": codes[cast.learner.pk]})
    for _ in range(FREE_TRIES):
        client.post(page, {"word": word, "code": "zzzz-zzz2"})
    response = client.post(page, {"word": word, "code": codes[cast.rival.pk]})
    assert "Wait 5 seconds" in text(response) or "Wait 4 seconds" in text(response)
    assert inside.get(reverse("bench:session", args=[cast.session.uuid])).status_code == 200


def test_it_is_narrowed_to_one_session(cast, client, page, codes, word):
    client.post(page, {"word": word, "code": codes[cast.learner.pk]})
    other = cast.stranger.memberships.get().session
    assert client.get(reverse("bench:session", args=[other.uuid])).status_code == 404


def test_it_ends_when_the_session_closes(cast, client, page, codes, word):
    client.post(page, {"word": word, "code": codes[cast.learner.pk]})
    cast.session.readings_locked_at = cast.session.closed_at = NOW
    cast.session.save()
    response = client.get(reverse("bench:session", args=[cast.session.uuid]))
    assert response.status_code == 302
    assert "_auth_user_id" not in client.session


def offers(response):
    return [str(message) for message in get_messages(response.wsgi_request)]


def test_a_passphrase_is_offered_until_one_is_set(cast, client, page, codes, word):
    typed = {"word": word, "code": codes[cast.learner.pk]}
    (offer,) = offers(client.post(page, typed))
    assert reverse("people:passphrase") in offer
    cast.learner.refresh_from_db()
    set_passphrase(by=cast.learner, passphrase="three quiet otters", now=NOW)
    assert offers(Client().post(page, typed)) == []


def test_the_next_learner_on_a_shared_tablet_replaces_the_last(cast, client, page, codes, word):
    client.post(page, {"word": word, "code": codes[cast.learner.pk]})
    assert f"{cast.learner.name} is signed in" in text(client.get(page))
    client.post(page, {"word": word, "code": codes[cast.rival.pk]})
    assert client.session["_auth_user_id"] == str(cast.rival.pk)


def test_signing_out_leads_the_next_learner_in_with_the_class_word(cast, client, page, codes, word):
    client.post(page, {"word": word, "code": codes[cast.learner.pk]})
    response = client.post(reverse("people:sign_out"), follow=True)
    assert response.redirect_chain == [(f"{page}?word={word}", 302)]
    assert f'value="{word}"' in text(response)
    assert codes[cast.learner.pk] not in text(response)


def test_it_ends_after_half_an_hour_without_use(cast, client, page, codes, word, monkeypatch):
    client.post(page, {"word": word, "code": codes[cast.learner.pk]})
    assert client.session.get_expiry_age() == 30 * 60
    first = client.session["bench_seen"]
    there = reverse("bench:session", args=[cast.session.uuid])
    client.get(there)
    assert client.session["bench_seen"] == first
    monkeypatch.setattr("practicals.pages.bench_idle.time.time", lambda: first + 600)
    client.get(there)
    assert client.session["bench_seen"] == first + 600


def test_a_later_sign_in_by_passphrase_is_not_narrowed(cast, client, page, codes, word):
    client.post(page, {"word": word, "code": codes[cast.learner.pk]})
    cast.learner.refresh_from_db()
    set_passphrase(by=cast.learner, passphrase="three quiet otters", now=NOW)
    client.post(
        reverse("people:sign_in"), {"username": cast.learner.username, "password": "three quiet otters"}
    )
    assert "bench_session" not in client.session
    assert client.session.get_expiry_age() > 60 * 60
