"""A learner's own pages, as clicked."""

import re
import uuid
from datetime import timedelta

import pytest
from django.urls import reverse
from django.utils import timezone

from assessment.models import Submission, Work
from tests.assessment.handed_in import decide_all, hand_in, issued, let_out, read_papers, work_of
from tests.factories import make_assignment, make_readings, make_session


@pytest.fixture
def work(cast):
    work = work_of(issued(cast), cast.learner)
    work.assignment.due_at = timezone.now() + timedelta(days=14)
    work.assignment.save()
    return work


@pytest.fixture
def learner(cast, as_):
    return as_(cast.learner)


@pytest.fixture
def at_bench(cast, as_):
    client = as_(cast.learner)
    session = client.session
    session["bench_session"] = str(cast.session.uuid)
    session.save()
    return client


def page(work, name="work"):
    return reverse(f"my_work:{name}", args=[work.uuid])


def send(client, url, **typed):
    return client.post(url, {"once": str(uuid.uuid4()), **typed})


def writing(client, work, **typed):
    return send(client, page(work), **{"conclusion": "", "evaluation": "", "version": "1", **typed})


def words(response):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", response.content.decode()))


def test_works_are_listed_by_due_date_with_their_state(cast, work, learner):
    later = make_assignment(session=cast.session, signed_off_by=cast.verifier)
    later.brief.title = "The later one"
    later.brief.save()
    later.due_at = work.assignment.due_at + timedelta(days=1)
    later.save()
    hand_in(work)
    text = words(learner.get(reverse("my_work:works")))
    assert text.index(work.assignment.brief.title) < text.index("The later one")
    assert "submitted" in text
    assert "not begun" in text


def test_nobody_else_opens_a_work(cast, work, as_):
    for person in (cast.group_mate, cast.rival, cast.stranger, cast.teacher, cast.verifier, cast.technician):
        for name in ("work", "submit"):
            assert as_(person).get(page(work, name)).status_code == 404
            assert send(as_(person), page(work, name), declared="on").status_code == 404
    assert not Submission.objects.exists()


def test_a_work_that_is_not_issued_stays_closed(cast, learner):
    unissued = make_assignment(session=cast.session, signed_off_by=cast.verifier, issued=False)
    assert learner.get(page(work_of(unissued, cast.learner))).status_code == 404


def test_the_page_says_what_is_not_there_without_judging(work, learner):
    read_papers(work, locked=False)
    text = words(learner.get(page(work)))
    assert "The conclusion is not written." in text
    assert "your own R f of spot 1 is not given" in text
    assert "your readings are still open" in text
    assert not re.search(r"\bmet\b", text)


def test_a_draft_is_saved_and_counted(work, learner):
    assert writing(learner, work, conclusion="Three words here", evaluation="Two words").status_code == 302
    text = words(learner.get(page(work)))
    assert "3 words of conclusion, 2 words of evaluation" in text
    work.refresh_from_db()
    assert work.conclusion == "Three words here"


def test_a_stale_draft_shows_both_texts_and_can_be_saved_after_all(work, learner):
    writing(learner, work, conclusion="from the phone")
    answer = writing(learner, work, conclusion="from the tablet")
    assert answer.status_code == 409
    assert "from the phone" in words(answer)
    assert "from the tablet" in answer.context["form"]["conclusion"].value()
    work.refresh_from_db()
    assert work.conclusion == "from the phone"
    version = answer.context["form"]["version"].value()
    assert writing(learner, work, conclusion="both", version=version).status_code == 302
    work.refresh_from_db()
    assert work.conclusion == "both"


@pytest.mark.parametrize("version", ["", "-1", "1e9", "2,5", "abc", "9" * 40, "²"])
def test_a_version_that_is_none_never_overwrites_and_never_fails(work, learner, version):
    answer = writing(learner, work, conclusion="kept", version=version)
    assert answer.status_code == 409
    assert answer.context["form"]["conclusion"].value() == "kept"
    work.refresh_from_db()
    assert work.conclusion == ""


@pytest.mark.parametrize("text", ["x" * 50_001, "null \0 inside"])
def test_text_that_cannot_be_kept_comes_back_with_a_sentence(work, learner, text):
    answer = writing(learner, work, conclusion=text)
    assert answer.status_code == 200
    assert answer.context["form"].errors["conclusion"]
    assert answer.context["form"]["conclusion"].value() == text


def test_the_submit_page_lists_what_is_in_it_and_asks_for_the_declaration(work, learner):
    read_papers(work)
    writing(learner, work, conclusion="The unknown is leucine.")
    text = words(learner.get(page(work, "submit")))
    assert "readings locked" in text
    assert "4 words, as saved" in text
    assert "nothing written" in text
    answer = send(learner, page(work, "submit"))
    assert "Tick the declaration" in words(answer)
    assert not Submission.objects.exists()


def test_open_readings_stop_the_submission_with_a_sentence(work, learner):
    read_papers(work, locked=False)
    answer = send(learner, page(work, "submit"), declared="on")
    assert "Some of your readings are still open" in words(answer)
    assert answer.context["form"]["declared"].value()
    assert not Submission.objects.exists()


def test_submitting_twice_changes_nothing(work, learner):
    read_papers(work)
    key = str(uuid.uuid4())
    first = learner.post(page(work, "submit"), {"once": key, "declared": "on"})
    double_click = learner.post(page(work, "submit"), {"once": key, "declared": "on"})
    second_tab = send(learner, page(work, "submit"), declared="on")
    assert {answer.url for answer in (first, double_click, second_tab)} == {page(work)}
    submission = Submission.objects.get()
    text = words(learner.get(page(work)))
    assert "was submitted before; nothing was changed" in text
    assert submission.manifest_sha256 in text
    assert submission.declaration in text
    assert learner.get(page(work, "submit")).url == page(work)


def test_a_tab_left_open_keeps_its_text_on_the_page_but_not_in_the_work(work, learner):
    hand_in(work)
    answer = writing(learner, work, conclusion="typed too late", version="2")
    assert answer.status_code == 409
    assert "typed too late" in words(answer)
    assert "can no longer be changed" in words(answer)
    work.refresh_from_db()
    assert work.conclusion == "The unknown is leucine."


def test_what_was_handed_in_shows_no_check_before_the_result_is_out(cast, work, learner):
    submission = hand_in(work)
    before = words(learner.get(page(work)))
    assert "has not released the result" in before
    assert "Own value" not in before
    decide_all(submission, cast.teacher)
    still = words(learner.get(page(work)))
    assert "Seen for P1" not in still
    let_out(submission, cast.teacher)
    after = words(learner.get(page(work)))
    for said in (
        "Seen for P1",
        "Distinction: all 4 criteria are met.",
        "Read the front per lane.",
        "Own value",
    ):
        assert said in after


def test_at_the_bench_one_writes_and_submits_but_reads_no_result(cast, work, at_bench, learner):
    assert writing(at_bench, work, conclusion="at the bench").status_code == 302
    submission = hand_in(Work.objects.get(pk=work.pk))
    decide_all(submission, cast.teacher)
    let_out(submission, cast.teacher)
    text = words(at_bench.get(page(work)))
    assert "Sign in with your passphrase to read your result." in text
    for hidden in ("Seen for P1", "Distinction", "Read the front per lane.", "Own value"):
        assert hidden not in text
    assert "the result is out" not in words(at_bench.get(reverse("my_work:works")))
    assert "the result is out" in words(learner.get(reverse("my_work:works")))


def test_the_bench_sign_in_opens_the_work_of_its_session_only(cast, work, at_bench):
    other = make_assignment(
        session=make_session(teacher=cast.teacher, teaching_class=cast.teaching_class),
        signed_off_by=cast.verifier,
    )
    hidden = work_of(other, cast.learner)
    assert at_bench.get(page(work)).status_code == 200
    assert at_bench.get(page(hidden)).status_code == 404
    assert len(at_bench.get(reverse("my_work:works")).context["lines"]) == 1


def test_who_catches_up_elsewhere_works_on_the_home_class_assignment(cast, work, as_):
    there = make_session(teacher=cast.other_teacher, teaching_class=cast.teaching_class)
    there.members.filter(learner=cast.learner).update(home_session=cast.session)
    client = as_(cast.learner)
    session = client.session
    session["bench_session"] = str(there.uuid)
    session.save()
    answer = client.get(page(work))
    assert answer.status_code == 200
    assert f"You caught up in {there.title}" in words(answer)
    assert writing(client, work, conclusion="caught up").status_code == 302


def count(client, url, django_assert_max_num_queries):
    with django_assert_max_num_queries(40) as seen:
        assert client.get(url).status_code == 200
    return len(seen)


def test_the_list_takes_as_many_queries_for_many_works_as_for_few(
    cast, work, learner, django_assert_max_num_queries
):
    url = reverse("my_work:works")
    hand_in(work)
    few = count(learner, url, django_assert_max_num_queries)
    for _ in range(10):
        issued(cast)
    assert count(learner, url, django_assert_max_num_queries) == few


def test_a_work_takes_as_many_queries_for_many_papers_as_for_one(
    cast, work, learner, django_assert_max_num_queries
):
    read_papers(work)
    few = count(learner, page(work), django_assert_max_num_queries)
    for _ in range(3):
        session = make_session(teacher=cast.teacher, teaching_class=cast.teaching_class)
        work.assignment.sessions.add(session)
        for paper in session.members.get(learner=cast.learner).group.papers.all():
            make_readings(paper, cast.learner, locked_at=timezone.now())
    assert count(learner, page(work), django_assert_max_num_queries) == few
