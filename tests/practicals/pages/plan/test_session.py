"""The session's page, its change, copy and start: what is mine, what is stale, what is done twice."""

import uuid

import pytest
from django.test import Client
from django.urls import reverse
from django.utils import timezone

from practicals.actions.plan_session import LessonPlan, plan_session
from practicals.models import AuditEntry, Session
from tests.factories import NOW, make_class, make_session


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


def post(client, url, **typed):
    return client.post(url, {"once": str(uuid.uuid4()), **typed})


def change(session, **typed):
    lesson = session.lessons.get()
    return {
        "title": session.title,
        "help_setting": session.help_setting,
        "version": session.version,
        f"lesson-{lesson.uuid}-day": "2030-12-03",
        f"lesson-{lesson.uuid}-start": "10:15",
        f"lesson-{lesson.uuid}-minutes": "90",
        f"lesson-{lesson.uuid}-room": "Lab 2",
        f"lesson-{lesson.uuid}-leader": str(lesson.leader.uuid),
        **typed,
    }


PAGES = ("session", "edit_session", "groups", "copy", "requisition", "catch_up", "slips", "start", "withdraw")


@pytest.mark.parametrize("page", PAGES)
def test_another_teachers_session_is_not_there(as_, cast, planned, page):
    client = as_(cast.other_teacher)
    url = reverse(f"plan:{page}", args=[planned.uuid])
    assert client.get(url).status_code == 404 or page == "start"
    assert post(client, url).status_code == 404


@pytest.mark.parametrize("page", PAGES)
def test_a_technician_and_a_learner_find_nothing(as_, cast, planned, page):
    url = reverse(f"plan:{page}", args=[planned.uuid])
    assert as_(cast.technician).get(url).status_code == 404
    assert as_(cast.learner).get(url).status_code == 404


def test_the_page_shows_groups_seed_lesson_and_what_is_next(as_, cast, planned):
    text = as_(cast.teacher).get(reverse("plan:session", args=[planned.uuid])).content.decode()
    for shown in (
        "Group 1",
        "Group 2",
        cast.learner.name,
        "Lab 2",
        '<span class="code">7</span>',
        "edition 1",
    ):
        assert shown in text
    assert text.count('class="button"') == 1


def test_a_room_taken_at_the_same_time_is_said_and_not_refused(as_, cast, planned):
    text = as_(cast.teacher).get(reverse("plan:session", args=[planned.uuid])).content.decode()
    assert "Lab 2 is taken by another session at this time." in text


def test_a_lesson_in_the_past_is_said(as_, cast, planned):
    planned.lessons.update(starts_at=NOW.replace(year=2020))
    text = as_(cast.teacher).get(reverse("plan:session", args=[planned.uuid])).content.decode()
    assert "This lesson is in the past" in text


@pytest.mark.parametrize("page", ["session", "groups", "requisition", "catch_up", "edit_session"])
def test_as_many_queries_for_3_learners_as_for_30(
    as_, cast, shipped, django_assert_max_num_queries, django_assert_num_queries, page
):
    small = make_class("Small", teacher=cast.teacher, learners=3)
    large = make_class("Large", teacher=cast.teacher, learners=30)
    client = as_(cast.teacher)
    counts = []
    for teaching_class in (small, large):
        session = make_session(
            teacher=cast.teacher, teaching_class=teaching_class, practical=shipped, started=False
        )
        url = reverse(f"plan:{page}", args=[session.uuid])
        client.get(url)
        with django_assert_max_num_queries(60) as context:
            assert client.get(url).status_code == 200
        counts.append(len(context.captured_queries))
    assert counts[0] == counts[1]


def test_the_list_takes_as_many_queries_for_many_sessions(as_, cast, django_assert_max_num_queries):
    client = as_(cast.teacher)
    counts = []
    for _ in range(2):
        client.get("/plan/sessions/")
        with django_assert_max_num_queries(40) as context:
            client.get("/plan/sessions/")
        counts.append(len(context.captured_queries))
        for _ in range(5):
            make_session(teacher=cast.teacher, teaching_class=cast.teaching_class)
    assert counts[0] == counts[1]


def test_a_change_is_saved_with_a_new_lesson(as_, cast, planned):
    typed = change(planned, help_setting="nothing", **{"lesson0-day": "2030-12-10", "lesson0-start": "10:15"})
    response = post(as_(cast.teacher), reverse("plan:edit_session", args=[planned.uuid]), **typed)
    assert response.status_code == 302
    planned.refresh_from_db()
    assert planned.help_setting == "nothing"
    assert planned.lessons.count() == 2


def test_a_stale_change_is_refused_with_both_texts_and_may_be_sent_again(as_, cast, planned):
    url, typed = reverse("plan:edit_session", args=[planned.uuid]), change(planned)
    first, second = as_(cast.teacher), as_(cast.teacher)
    post(first, url, **{**typed, "title": "Saved first"})
    text = post(second, url, **{**typed, "title": "Typed second"}).content.decode()
    assert "Saved first" in text
    assert 'value="Typed second"' in text
    planned.refresh_from_db()
    assert planned.title == "Saved first"
    assert f'name="version" value="{planned.version}"' in text


@pytest.mark.parametrize(
    ("field", "typed"), [("title", ""), ("version", "x"), ("help_setting", ""), ("lesson0-start", "10:15")]
)
def test_a_change_that_cannot_be_is_refused(as_, cast, planned, field, typed):
    url = reverse("plan:edit_session", args=[planned.uuid])
    response = post(as_(cast.teacher), url, **change(planned, **{field: typed}))
    assert response.status_code == 200
    assert "still here" in response.content.decode()


def test_a_copy_has_the_same_practical_and_its_own_groups(as_, cast, planned):
    parallel = make_class("Class 1C", teacher=cast.teacher, learners=4)
    url = reverse("plan:copy", args=[planned.uuid])
    response = post(as_(cast.teacher), url, teaching_class=str(parallel.uuid))
    copy = Session.objects.get(copied_from=planned)
    assert response.url == reverse("plan:session", args=[copy.uuid])
    assert (copy.practical, copy.group_size, copy.members.count()) == (planned.practical, 3, 4)


def test_a_copy_whose_lesson_lacks_its_room_is_refused(as_, cast, planned):
    parallel = make_class("Class 1C", teacher=cast.teacher, learners=4)
    url = reverse("plan:copy", args=[planned.uuid])
    typed = {"lesson0-day": "2030-12-10", "lesson0-start": "10:15"}
    response = post(as_(cast.teacher), url, teaching_class=str(parallel.uuid), **typed)
    assert "Give the room" in response.content.decode()
    assert not Session.objects.filter(copied_from=planned).exists()


def test_starting_twice_starts_once(as_, cast, planned):
    url = reverse("plan:start", args=[planned.uuid])
    post(as_(cast.teacher), url)
    started = Session.objects.get(pk=planned.pk).started_at
    post(as_(cast.teacher), url)
    assert Session.objects.get(pk=planned.pk).started_at == started
    assert AuditEntry.objects.filter(action="start_session").count() == 1


def test_before_the_start_stands_what_is_still_to_do(as_, cast, planned):
    text = as_(cast.teacher).get(reverse("plan:start", args=[planned.uuid])).content.decode()
    assert "is not today but on" in text
    assert "chambers are not filled from a batch yet" in text
    assert "The register has not been taken yet" in text
    assert Session.objects.get(pk=planned.pk).started_at is None


def test_starting_takes_a_form_of_ours(cast, planned):
    client = Client(enforce_csrf_checks=True)
    client.force_login(cast.teacher, backend="practicals.gate.TableBackend")
    assert post(client, reverse("plan:start", args=[planned.uuid])).status_code == 403


def test_a_session_without_lessons_does_not_start(as_, cast, planned):
    parallel = make_class("Class 1C", teacher=cast.teacher, learners=4)
    post(as_(cast.teacher), reverse("plan:copy", args=[planned.uuid]), teaching_class=str(parallel.uuid))
    copy = Session.objects.get(copied_from=planned)
    client = as_(cast.teacher)
    text = client.post(
        reverse("plan:start", args=[copy.uuid]), {"once": str(uuid.uuid4())}, follow=True
    ).content.decode()
    assert "Add its first lesson" in text
    assert Session.objects.get(pk=copy.pk).started_at is None


def test_slips_are_made_by_a_form_and_then_printed_as_often_as_wanted(as_, cast, planned):
    client = as_(cast.teacher)
    url = reverse("plan:slips", args=[planned.uuid])
    assert post(client, url).url == url
    made = list(planned.bench_codes.values_list("learner", "serial", "issued_at"))
    assert len(made) == 6
    trail = AuditEntry.objects.count()
    for _ in range(2):
        assert client.get(url).content.startswith(b"%PDF")
    assert list(planned.bench_codes.values_list("learner", "serial", "issued_at")) == made
    assert AuditEntry.objects.count() == trail


def test_reading_the_address_before_gives_out_nothing_and_says_what_to_do(as_, cast, planned):
    response = as_(cast.teacher).get(reverse("plan:slips", args=[planned.uuid]))
    assert "6 learners have no code" in response.content.decode()
    assert "Make the slips</button>" in response.content.decode()
    assert not planned.bench_codes.exists()
    assert not AuditEntry.objects.filter(action="issue_bench_codes").exists()


def test_making_slips_takes_a_form_of_ours(cast, planned):
    client = Client(enforce_csrf_checks=True)
    client.force_login(cast.teacher, backend="practicals.gate.TableBackend")
    assert post(client, reverse("plan:slips", args=[planned.uuid])).status_code == 403
    assert not planned.bench_codes.exists()


def test_the_session_s_page_makes_slips_by_a_form_and_prints_them_by_a_link(as_, cast, planned):
    client = as_(cast.teacher)
    page, url = (reverse(f"plan:{name}", args=[planned.uuid]) for name in ("session", "slips"))
    before = client.get(page).content.decode()
    assert f'<form method="post" action="{url}">' in before
    assert f'href="{url}"' not in before
    post(client, url)
    after = client.get(page).content.decode()
    assert f'action="{url}"' not in after
    assert f'href="{url}">Print the sign-in slips' in after


def test_who_joined_after_the_printing_gets_a_slip_beside_the_others(as_, cast, planned):
    client, url = as_(cast.teacher), reverse("plan:slips", args=[planned.uuid])
    post(client, url)
    planned.bench_codes.get(learner=cast.learner).delete()
    assert f"1 learner has no code for this session yet: {cast.learner}." in client.get(url).content.decode()
    post(client, f"{url}?learner={cast.learner.uuid}")
    assert client.get(url).content.startswith(b"%PDF")


def test_a_session_without_learners_has_no_slips_to_make(as_, cast, planned):
    planned.members.all().delete()
    client, url = as_(cast.teacher), reverse("plan:slips", args=[planned.uuid])
    assert "Nobody works in this session yet" in client.get(url, follow=True).content.decode()
    sent = client.post(url, {"once": str(uuid.uuid4())}, follow=True)
    assert "Nobody works in this session yet" in sent.content.decode()


def test_a_lost_slip_is_replaced(as_, cast, planned):
    client = as_(cast.teacher)
    url = reverse("plan:slips", args=[planned.uuid])
    post(client, url)
    response = post(client, reverse("plan:reissue", args=[planned.uuid, cast.learner.uuid]))
    assert response.url == f"{url}?learner={cast.learner.uuid}"
    assert client.get(response.url).content.startswith(b"%PDF")
    assert planned.bench_codes.get(learner=cast.learner).serial == 2


@pytest.mark.parametrize("learner", ["nobody", "00000000-0000-0000-0000-000000000000"])
def test_there_is_no_slip_for_someone_else(as_, cast, planned, learner):
    url = reverse("plan:slips", args=[planned.uuid])
    assert as_(cast.teacher).get(url, {"learner": learner}).status_code == 404
