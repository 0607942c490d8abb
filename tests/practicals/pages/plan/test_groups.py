"""Groups by hand, drawn afresh, and guests who catch up."""

import uuid

import pytest
from django.urls import reverse
from django.utils import timezone

from practicals.actions.plan_session import LessonPlan, plan_session
from practicals.models import Attendance, GroupMember, Session
from tests.factories import NOW, make_class, make_readings


@pytest.fixture
def planned(cast, shipped):
    return plan_session(
        by=cast.teacher,
        practical=shipped,
        teaching_class=cast.teaching_class,
        lessons=[LessonPlan(NOW, 90, "Lab 2", cast.teacher)],
        group_size=3,
        seed=7,
        now=timezone.now(),
    )


def post(client, session, page="groups", **typed):
    return client.post(reverse(f"plan:{page}", args=[session.uuid]), {"once": str(uuid.uuid4()), **typed})


def places(session, **changed):
    found = {f"place-{member.learner.uuid}": str(member.group.number) for member in session.members.all()}
    return {"version": session.version, **found, **changed}


def sizes(session):
    return {group.number: group.members.count() for group in session.groups.all()}


def test_a_learner_is_moved_by_hand(as_, cast, planned):
    member = planned.members.filter(group__number=1).first()
    post(as_(cast.teacher), planned, **places(planned, **{f"place-{member.learner.uuid}": "2"}))
    assert sizes(planned) == {1: 2, 2: 4}


def test_numbers_are_closed_up_when_a_group_is_left_empty(as_, cast, planned):
    everyone = {f"place-{member.learner.uuid}": "2" for member in planned.members.all()}
    post(as_(cast.teacher), planned, **places(planned, **everyone))
    assert sizes(planned) == {1: 6}
    assert planned.groups.get().papers.get().lanes.count() == len(planned.practical.lane_plan)


def test_a_new_group_gets_its_paper_and_chamber(as_, cast, planned):
    member = planned.members.first()
    post(as_(cast.teacher), planned, **places(planned, **{f"place-{member.learner.uuid}": "3"}))
    third = planned.groups.get(number=3)
    assert third.papers.count() == third.chambers.count() == planned.practical.chambers_per_group


def test_the_same_seed_draws_the_same_groups(as_, cast, planned):
    before = dict(planned.members.values_list("learner_id", "group__number"))
    client = as_(cast.teacher)
    post(client, planned, draw="1", group_size="2", seed="99", version=planned.version)
    assert sizes(planned) == {1: 2, 2: 2, 3: 2}
    planned.refresh_from_db()
    post(client, planned, draw="1", group_size="3", seed="7", version=planned.version)
    assert dict(planned.members.values_list("learner_id", "group__number")) == before
    assert sizes(planned) == {1: 3, 2: 3}


@pytest.mark.parametrize(
    "typed",
    [
        {"group_size": "0"},
        {"group_size": "x"},
        {"seed": "x"},
        {"seed": "-1"},
        {"seed": "1e12"},
        {"version": ""},
    ],
)
def test_a_draw_that_cannot_be_is_refused(as_, cast, planned, typed):
    sent = {"draw": "1", "group_size": "2", "seed": "3", "version": planned.version, **typed}
    response = post(as_(cast.teacher), planned, **sent)
    assert "Nothing was saved yet" in response.content.decode()
    assert sizes(planned) == {1: 3, 2: 3}


@pytest.mark.parametrize("number", ["99", "-1", "one", ""])
def test_a_group_that_is_not_there_is_refused(as_, cast, planned, number):
    member = planned.members.first()
    response = post(as_(cast.teacher), planned, **places(planned, **{f"place-{member.learner.uuid}": number}))
    assert response.status_code == 200
    assert sizes(planned) == {1: 3, 2: 3}


def test_two_tabs_do_not_overwrite_each_other(as_, cast, planned):
    member, stale = planned.members.filter(group__number=1).first(), places(planned)
    client = as_(cast.teacher)
    post(client, planned, **{**stale, f"place-{member.learner.uuid}": "2"})
    text = post(client, planned, **stale).content.decode()
    assert "What is saved now" in text
    assert sizes(planned) == {1: 2, 2: 4}


def test_a_learner_with_readings_stays(as_, cast):
    session = cast.session
    make_readings(session.groups.first().papers.first(), cast.learner)
    text = post(
        as_(cast.teacher), session, **places(session, **{f"place-{cast.learner.uuid}": "2"})
    ).content.decode()
    assert "stays in it" in text
    assert sizes(session) == {1: 3, 2: 3}


def test_a_started_session_is_not_drawn_again(as_, cast):
    session = cast.session
    post(as_(cast.teacher), session, draw="1", group_size="1", version=session.version)
    assert sizes(session) == {1: 3, 2: 3}


@pytest.fixture
def absent(cast, planned, shipped):
    """A learner of another class of the same teacher, marked absent, and the session that was missed."""
    parallel = make_class("Class 1C", teacher=cast.teacher, learners=2)
    home = plan_session(
        by=cast.teacher,
        practical=shipped,
        teaching_class=parallel,
        lessons=[LessonPlan(NOW, 90, "Lab 3", cast.teacher)],
        group_size=3,
        now=timezone.now(),
    )
    learner = parallel.learners().first()
    Attendance.objects.create(
        lesson=home.lessons.get(), learner=learner, mark="absent", marked_by=cast.teacher, marked_at=NOW
    )
    return learner, home


def test_an_absent_learner_catches_up_and_keeps_the_home_session(as_, cast, planned, absent):
    learner, home = absent
    post(as_(cast.teacher), planned, "catch_up", person=f"{learner.uuid}.{home.uuid}", group="2")
    guest = GroupMember.objects.get(session=planned, learner=learner)
    assert (guest.home_session, guest.group.number) == (home, 2)


def test_capacity_is_shown_and_who_came_is_not_offered_again(as_, cast, planned, absent):
    learner, home = absent
    client = as_(cast.teacher)
    page = reverse("plan:catch_up", args=[planned.uuid])
    assert "3 of 3 places taken, full" in client.get(page).content.decode()
    post(client, planned, "catch_up", person=f"{learner.uuid}.{home.uuid}", group="1")
    assert "Nobody is waiting" in client.get(page).content.decode()


@pytest.mark.parametrize(("person", "group"), [("", "1"), ("x", "1"), (None, "9"), (None, "")])
def test_a_catch_up_that_cannot_be_is_refused(as_, cast, planned, absent, person, group):
    learner, home = absent
    sent = f"{learner.uuid}.{home.uuid}" if person is None else person
    response = post(as_(cast.teacher), planned, "catch_up", person=sent, group=group)
    assert response.status_code == 200
    assert not GroupMember.objects.filter(session=planned, learner=learner).exists()


def test_nobody_of_another_teacher_is_offered(as_, cast, planned):
    elsewhere = Session.objects.get(teacher=cast.other_teacher)
    Attendance.objects.create(
        lesson=elsewhere.lessons.get(),
        learner=cast.stranger,
        mark="absent",
        marked_by=cast.other_teacher,
        marked_at=NOW,
    )
    text = as_(cast.teacher).get(reverse("plan:catch_up", args=[planned.uuid])).content.decode()
    assert cast.stranger.name not in text
