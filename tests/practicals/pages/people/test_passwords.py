import pytest
from django.test import Client
from django.urls import reverse

from practicals.actions.issue_bench_codes import issue_bench_codes
from practicals.models import User
from tests.factories import NOW

GOOD = "three quiet otters"


@pytest.fixture
def at_the_bench(cast):
    cast.learner.set_unusable_password()
    cast.learner.save()
    codes = issue_bench_codes(by=cast.teacher, session=cast.session, learners=[cast.learner], now=NOW)
    client = Client()
    client.post(
        reverse("people:bench_sign_in"), {"word": cast.teaching_class.class_word, "code": codes[0][1]}
    )
    return client


def text(response):
    return response.content.decode()


def test_a_learner_at_the_bench_sets_one_and_stays_signed_in(cast, at_the_bench, send):
    page = reverse("people:passphrase")
    assert cast.learner.username in text(at_the_bench.get(page))
    response = send(at_the_bench, page, fresh=GOOD, again=GOOD)
    assert response.url == reverse("bench:home")
    assert at_the_bench.get(page).status_code == 200
    assert at_the_bench.session["bench_session"] == str(cast.session.uuid)
    assert User.objects.get(pk=cast.learner.pk).check_password(GOOD)


def test_afterwards_the_name_and_passphrase_sign_in(cast, at_the_bench, send, client):
    send(at_the_bench, reverse("people:passphrase"), fresh=GOOD, again=GOOD)
    response = client.post(
        reverse("people:sign_in"), {"username": cast.learner.username.upper(), "password": GOOD}
    )
    assert response.status_code == 302


@pytest.mark.parametrize(
    ("fresh", "again", "says"),
    [
        (GOOD, "three quiet otter", "The two differ"),
        ("short", "short", "at least 10"),
        ("", "", "Type the new one"),
        ("x" * 201, "x" * 201, "at most 200"),
        ("a\0bcdefghijk", "a\0bcdefghijk", "Null characters"),
    ],
)
def test_what_is_no_passphrase_gets_a_sentence(cast, at_the_bench, send, fresh, again, says):
    response = send(at_the_bench, reverse("people:passphrase"), fresh=fresh, again=again)
    assert says in text(response)
    assert not User.objects.get(pk=cast.learner.pk).has_usable_password()


def test_one_that_is_set_is_asked_for_before_it_changes(cast, at_the_bench, send):
    page = reverse("people:passphrase")
    send(at_the_bench, page, fresh=GOOD, again=GOOD)
    response = send(at_the_bench, page, present="a guess", fresh="four loud herons", again="four loud herons")
    assert "not the passphrase that is valid now" in text(response)
    send(at_the_bench, page, present=GOOD, fresh="four loud herons", again="four loud herons")
    assert User.objects.get(pk=cast.learner.pk).check_password("four loud herons")


def test_staff_change_their_password_and_stay_signed_in(cast, as_, send):
    teacher, page = as_(cast.teacher), reverse("people:password")
    elsewhere = as_(cast.teacher)
    response = send(teacher, page, present="correct horse battery", fresh=GOOD, again=GOOD)
    assert response.url == "/"
    assert teacher.get(page).status_code == 200
    assert elsewhere.get(page).status_code == 302


def test_a_wrong_present_password_changes_nothing(cast, as_, send):
    response = send(as_(cast.teacher), reverse("people:password"), present="x", fresh=GOOD, again=GOOD)
    assert "not your present password" in text(response)
    assert User.objects.get(pk=cast.teacher.pk).check_password("correct horse battery")


def test_each_has_their_own_page(cast, as_):
    assert as_(cast.teacher).get(reverse("people:passphrase")).status_code == 404
    assert as_(cast.learner).get(reverse("people:password")).status_code == 404
