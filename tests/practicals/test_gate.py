"""The gate: what a bench code opens, how long, and that the same form sent twice counts once."""

from uuid import uuid4

import pytest
from django.http import Http404, HttpResponse, HttpResponseRedirect
from django.urls import reverse

from practicals.actions.issue_bench_codes import issue_bench_codes
from practicals.actions.withdraw_learner import withdraw_learner
from practicals.gate import OnceOnlyMiddleware, named_views
from practicals.models import Role, RoleGrant, TeachingClass
from reagents.models import FormKey
from tests.factories import NOW


@pytest.fixture
def at_the_bench(cast, client):
    """A client signed in with the learner's code, as from a slip."""
    [(_, code)] = issue_bench_codes(by=cast.teacher, session=cast.session, learners=[cast.learner], now=NOW)
    word = cast.teaching_class.class_word
    client.post(reverse("people:bench_sign_in"), {"word": word, "code": code})
    return client


def bench(cast):
    return reverse("bench:session", args=[cast.session.uuid])


def test_a_bench_code_opens_no_other_role_of_its_learner(cast, at_the_bench, as_):
    RoleGrant.objects.create(user=cast.learner, role=Role.ADMINISTRATOR)
    accounts = reverse("people:accounts")
    assert as_(cast.learner).get(accounts).status_code == 200
    assert at_the_bench.get(bench(cast)).status_code == 200
    assert at_the_bench.get(accounts).status_code == 404
    assert "Accounts" not in at_the_bench.get(bench(cast)).content.decode()


def test_a_code_that_was_replaced_ends_what_it_opened(cast, at_the_bench):
    assert at_the_bench.get(bench(cast)).status_code == 200
    issue_bench_codes(by=cast.teacher, session=cast.session, learners=[cast.learner], reissue=True, now=NOW)
    assert at_the_bench.get(bench(cast)).url.startswith(reverse("people:sign_in"))


def test_printing_a_slip_again_ends_nothing(cast, at_the_bench):
    issue_bench_codes(by=cast.teacher, session=cast.session, now=NOW)
    assert at_the_bench.get(bench(cast)).status_code == 200


def test_leaving_the_class_ends_what_the_code_opened(cast, at_the_bench):
    withdraw_learner(
        by=cast.teacher,
        teaching_class=TeachingClass.objects.get(pk=cast.teaching_class.pk),
        learner=cast.learner,
        reason="moved",
        now=NOW,
    )
    assert at_the_bench.get(bench(cast)).url.startswith(reverse("people:sign_in"))


# -- once only --------------------------------------------------------------------------------------


@pytest.fixture
def send(cast, rf):
    """Send a form with a key past the middleware to a view; it counts how often the view ran."""

    def sent(view, key, person=cast.teacher):
        request = rf.post("/classes/", {"once": str(key)})
        request.user, request.resolver_match = person, None
        return OnceOnlyMiddleware(view).process_view(request, view, (), {})

    return sent


class Counting:
    """A view with one answer, which counts how often it ran."""

    def __init__(self, answer):
        self.answer, self.ran = answer, 0

    def __call__(self, request):
        self.ran += 1
        if isinstance(self.answer, Exception):
            raise self.answer
        return self.answer


def test_a_second_sending_gets_the_first_answer_and_runs_nothing(send):
    view, key = Counting(HttpResponseRedirect("/done/")), uuid4()
    assert [send(view, key).url, send(view, key).url] == ["/done/", "/done/"]
    assert view.ran == 1


def test_a_key_belongs_to_its_person(cast, send):
    view, key = Counting(HttpResponseRedirect("/done/")), uuid4()
    send(view, key)
    send(view, key, cast.other_teacher)
    assert view.ran == 2


def test_a_form_that_comes_back_with_errors_may_be_sent_again(send):
    view, key = Counting(HttpResponse("what was wrong")), uuid4()
    send(view, key)
    send(view, key)
    assert view.ran == 2


@pytest.mark.parametrize("failure", [Http404(), ValueError("broken")])
def test_a_view_that_fails_gives_the_key_back(send, failure):
    view, key = Counting(failure), uuid4()
    for _ in range(2):
        with pytest.raises(type(failure)):
            send(view, key)
    assert view.ran == 2
    assert not FormKey.objects.exists()


def test_a_key_whose_sending_never_answered_is_said_so(cast, send, monkeypatch):
    # As after a power cut between the first sending and its answer.
    monkeypatch.setattr(OnceOnlyMiddleware, "PATIENCE_S", 0.1)
    view, key = Counting(HttpResponseRedirect("/done/")), uuid4()
    FormKey.objects.create(person=cast.teacher, key=key)
    answer = send(view, key)
    assert (answer.status_code, view.ran) == (409, 0)
    assert "sent twice" in answer.content.decode()


def test_a_form_without_its_key_is_refused(send):
    view = Counting(HttpResponseRedirect("/done/"))
    assert send(view, "no key").status_code == 400
    assert view.ran == 0


def test_forms_that_need_no_key_exist():
    assert set(named_views()) >= OnceOnlyMiddleware.WITHOUT_KEY
