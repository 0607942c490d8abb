"""Where else the front tracker shows: the board, a paper's page, the plan, the learner's session."""

from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.factories import make_class, make_session


def queries(client, address):
    with CaptureQueriesContext(connection) as found:
        assert client.get(address).status_code == 200
    return len(found)


def test_as_many_queries_for_many_heights_as_for_one(cast, as_, paper, at, run_up):
    address = reverse("bench:front", args=[paper.uuid])
    client = as_(cast.learner)
    run_up(paper, {5: 20})
    few = queries(client, address)
    run_up(paper, {n: 20 + n for n in range(6, 40)})
    assert queries(client, address) == few


def test_the_board_takes_as_many_queries_for_many_papers_in_as_for_one(cast, as_, at, run_up):
    def board_of(learners):
        session = make_session(
            teacher=cast.teacher,
            teaching_class=make_class("", teacher=cast.teacher, learners=learners),
            practical=cast.session.practical,
        )
        for group in session.groups.all():
            run_up(group.papers.get(), {10: 32, 20: 45}, by=cast.teacher)
        return reverse("board:live", args=[session.uuid])

    client = as_(cast.teacher)
    assert queries(client, board_of(3)) == queries(client, board_of(30))


def test_the_board_says_when_to_take_out_and_that_it_is_time(cast, as_, paper, at, run_up):
    client = as_(cast.teacher)
    address = reverse("board:live", args=[cast.session.uuid])
    assert "in the chamber" not in client.get(address).content.decode()
    run_up(paper, {})
    assert "in the chamber, front not read yet" in client.get(address).content.decode()
    run_up(paper, {25: 51.0})
    at(26)
    assert "take out at 11:40 (11:20 to 13:00)" in client.get(address).content.decode()
    run_up(paper, {95: 102})
    at(96)
    assert "take out now" in client.get(address).content.decode()
    of_paper = client.get(reverse("board:paper", args=[paper.uuid])).content.decode()
    assert "Heights of the front above the liquid" in of_paper
    assert reverse("board:front", args=[paper.uuid]) in of_paper


def test_past_papers_become_the_expected_time(cast, as_, paper, at, run_up, by_the_law):
    run_up(paper, by_the_law)
    practical = reverse("plan:practical", args=[cast.session.practical.uuid])
    client = as_(cast.teacher)
    assert "past sessions" not in client.get(practical).content.decode()
    cast.session.readings_locked_at = cast.session.closed_at = at(120)
    cast.session.save()
    said = "from 1 paper of past sessions: 100 min"
    assert said in client.get(practical).content.decode()
    later = make_session(
        teacher=cast.teacher,
        teaching_class=make_class("", teacher=cast.teacher),
        practical=cast.session.practical,
    )
    assert said in client.get(reverse("plan:session", args=[later.uuid])).content.decode()
    learner = later.members.first().learner
    fresh = later.groups.first().papers.get()
    front = reverse("bench:front", args=[fresh.uuid])
    assert said in as_(learner).get(front).content.decode()


def test_the_learners_session_page_says_when_to_take_out(cast, as_, paper, at, run_up):
    client = as_(cast.group_mate)
    address = reverse("bench:session", args=[cast.session.uuid])
    assert "Solvent front:" not in client.get(address).content.decode()
    run_up(paper, {25: 51.0})
    at(26)
    shown = client.get(address).content.decode()
    assert "take out at 11:40 (11:20 to 13:00)" in shown
    assert reverse("bench:front", args=[paper.uuid]) in shown
    assert "take out at" not in as_(cast.rival).get(address).content.decode()


def test_nobody_is_sent_to_a_paper_once_bench_work_has_ended(cast, as_, paper, page, at, run_up):
    run_up(paper, {95: 102})
    at(96)
    board = reverse("board:live", args=[cast.session.uuid])
    client = as_(cast.teacher)
    assert "take out now" in client.get(board).content.decode()
    cast.session.readings_locked_at = at(97)
    cast.session.save()
    shown = client.get(board).content.decode()
    assert "take out now" not in shown
    assert "nobody noted when it came out" in shown
    assert "Take the paper out now" not in page(cast.learner)
