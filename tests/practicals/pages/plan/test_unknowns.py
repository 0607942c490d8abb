"""The page of a session's unknowns: the key, drawing afresh, picking by hand, and what it refuses."""

import uuid

import pytest
from django.urls import reverse

from practicals.actions.plan_session import LessonPlan, plan_session
from practicals.models.unknowns import sets_of
from tests.factories import NOW


@pytest.fixture
def session(cast, shipped):
    return plan_session(
        by=cast.teacher,
        practical=shipped,
        teaching_class=cast.teaching_class,
        lessons=[LessonPlan(NOW, 90, "Lab 2", cast.teacher)],
        group_size=2,
        now=NOW,
    )


@pytest.fixture
def page(session):
    return reverse("plan:unknowns", args=[session.uuid])


def send(client, page, session, **typed):
    answers = {"once": str(uuid.uuid4()), "version": str(session.version), **typed}
    return client.post(page, answers)


def picked(first="w", second="z"):
    return {
        f"unknown-{group}-{place}": key for group in (1, 2, 3) for place, key in ((1, first), (2, second))
    }


def test_the_key_says_what_each_code_holds(as_, cast, page, session):
    html = as_(cast.teacher).get(page).content.decode()
    for one in session.unknown_codes.filter(analyte__key__in=sets_of(session)[1]):
        assert one.code in html
        assert one.analyte.recipe.title in html


def test_it_draws_afresh_from_a_typed_seed(as_, cast, page, session):
    answer = send(as_(cast.teacher), page, session, draw="1", how="differ", unknowns_seed="11")
    assert answer.status_code == 302
    session.refresh_from_db()
    assert (session.unknowns, session.unknowns_seed) == ("differ", 11)


def test_it_keeps_what_was_picked_for_each_group(as_, cast, page, session):
    assert send(as_(cast.teacher), page, session, **picked()).status_code == 302
    assert sets_of(session) == {1: ("w", "z"), 2: ("w", "z"), 3: ("w", "z")}


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (picked("w", "w"), "same unknown twice"),
        (picked("w", "leucine"), "Choose one of the list"),
        ({}, "Choose an unknown"),
        ({"draw": "1", "how": "by hand"}, "Select a valid choice"),
        ({"draw": "1", "how": ""}, "Choose how"),
        ({"draw": "1", "how": "same", "unknowns_seed": "1e12"}, "2147483647"),
        ({"draw": "1", "how": "same", "unknowns_seed": "-3"}, "0"),
        ({"draw": "1", "how": "same", "version": "99"}, "Somebody saved this"),
        ({"draw": "1", "how": "same", "version": "x"}, "unknowns"),
    ],
)
def test_what_cannot_be_is_refused_with_a_sentence(as_, cast, page, session, typed, says):
    before = sets_of(session), session.unknowns_seed
    answer = send(as_(cast.teacher), page, session, **typed)
    assert answer.status_code == 200
    assert says in answer.content.decode()
    session.refresh_from_db()
    assert (sets_of(session), session.unknowns_seed) == before


def test_a_class_of_many_groups_takes_as_many_queries(as_, cast, shipped, django_assert_max_num_queries):
    for size in (1, 3):
        session = plan_session(
            by=cast.teacher,
            practical=shipped,
            teaching_class=cast.teaching_class,
            lessons=[LessonPlan(NOW, 90, "Lab 2", cast.teacher)],
            group_size=size,
            unknowns="differ",
            now=NOW,
        )
        client = as_(cast.teacher)
        with django_assert_max_num_queries(18):
            client.get(reverse("plan:unknowns", args=[session.uuid]))
