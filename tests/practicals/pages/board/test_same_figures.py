"""Two sets that agree beyond chance: to the teacher first, then to assessor and verifier; never a verdict."""

from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from assessment.actions.submit_work import submit_work
from assessment.models import Work
from assessment.models.facts import facts_for, frozen_facts
from practicals.models import (
    Lane,
    LaneReading,
    Paper,
    ReadingSet,
    Role,
    SameFiguresAnswer,
    SpotReading,
)
from practicals.models.equal_figures import equal_figures
from tests.access.world import World
from tests.factories import NOW, make_assignment, make_readings, make_user

#: With the front 21 readings: that any of 12 readers' pairs agree in all is rarer than 1 time in 20.
LANES = 20


@pytest.fixture
def paper(cast):
    found = Paper.objects.select_related("group__session").get(
        group__session=cast.session, group__members__learner=cast.learner
    )
    analyte = cast.session.practical.analytes.first()
    for number in range(found.lanes.count() + 1, LANES + 1):
        Lane.objects.create(paper=found, number=number, analyte=analyte)
    return found


def read(paper, learner, shift=0, **more):
    centres = tuple(str(30 + 6 * number + (shift if number % 2 else 0)) for number in range(LANES))
    return make_readings(paper, learner, centres=centres, **more)


@pytest.fixture
def alike(cast, paper):
    read(paper, cast.learner)
    read(paper, cast.group_mate)
    return paper


def test_the_teacher_sees_a_question_with_its_chance(cast, alike, page):
    text = page(cast.teacher, "paper", alike.uuid)
    assert "Same figures: a question" in text
    assert "agree to the last digit in all 21 readings" in text
    assert "Did both read for themselves?" in text
    assert "Not answered yet." in text


def test_the_class_results_lead_to_the_question(cast, alike, page):
    text = page(cast.teacher, "results", cast.session.uuid)
    assert f"{reverse('board:paper', args=[alike.uuid])}#same-figures" in text
    assert "not answered yet" in text


def test_sets_that_differ_are_no_question(cast, paper, page):
    read(paper, cast.learner)
    read(paper, cast.group_mate, shift=1)
    assert "Same figures" not in page(cast.teacher, "paper", paper.uuid)


def test_supplied_data_and_few_readings_are_no_question(cast, paper):
    read(paper, cast.learner)
    read(paper, cast.group_mate, source=ReadingSet.Source.SUPPLIED)
    assert equal_figures([cast.session.pk]) == []


def test_edges_count_instead_of_the_centre_that_follows_from_them(cast, alike):
    SpotReading.objects.update(leading_mm=Decimal(50), trailing_mm=Decimal(40))
    assert equal_figures([cast.session.pk])[0].found.readings == 2 * LANES + 1


def test_nobody_else_sees_the_question(cast, alike, as_, page):
    leader = make_user("", Role.LESSON_ONLY)
    lesson = cast.session.lessons.get()
    lesson.leader = leader
    lesson.save()
    assert "Same figures" not in page(leader, "paper", alike.uuid)
    mine = as_(cast.learner).get(reverse("bench:paper", args=[alike.uuid])).content.decode()
    assert "Same figures" not in mine


def answer_with(cast, post, paper, text):
    data = {"first": cast.learner.uuid, "second": cast.group_mate.uuid, "text": text}
    named = {f"0-{name}": value for name, value in data.items()}
    return post(cast.teacher, "same_figures", [paper.uuid], place="0", **named)


def test_an_answer_stands_beside_the_question(cast, alike, page, post):
    assert answer_with(cast, post, alike, "They measured together, I watched.").status_code == 302
    assert SameFiguresAnswer.objects.get().by == cast.teacher
    assert "They measured together, I watched." in page(cast.teacher, "paper", alike.uuid)


@pytest.mark.parametrize("text", ["", "  ", "x" * 5000])
def test_a_bad_answer_is_refused_with_a_sentence(cast, alike, as_, text):
    client = as_(cast.teacher)
    url = reverse("board:same_figures", args=[alike.uuid])
    data = {"0-first": cast.learner.uuid, "0-second": cast.group_mate.uuid, "0-text": text, "place": "0"}
    shown = client.post(url, {"once": "3f0f2c9e-5c0e-4d53-9d0c-6d1a8a0a9f10", **data}, follow=True)
    assert "The answer is not kept." in shown.content.decode()
    assert not SameFiguresAnswer.objects.exists()


@pytest.mark.parametrize("data", [{}, {"place": "99999999"}, {"0-first": "me", "0-second": "1e9"}])
def test_a_mangled_form_is_no_error(cast, alike, post, data):
    assert post(cast.teacher, "same_figures", [alike.uuid], **data).status_code == 302
    assert not SameFiguresAnswer.objects.exists()


def test_the_question_is_in_the_facts_and_freezes_with_them(cast, alike):
    ReadingSet.objects.update(locked_at=NOW)
    assignment = make_assignment(session=cast.session, signed_off_by=cast.lead_verifier)
    works = {work.learner_id: work for work in Work.objects.filter(assignment=assignment)}
    assert facts_for(works[cast.learner.pk]).same_figures
    assert not facts_for(works[cast.rival.pk]).same_figures
    submission = submit_work(by=cast.learner, work=works[cast.learner.pk], declared=True, now=NOW)
    SpotReading.objects.filter(lane_reading__reading_set__learner=cast.group_mate).update(centre_mm=20)
    assert equal_figures([cast.session.pk]) == []
    assert frozen_facts([submission])[submission.pk].same_figures


def test_the_assessor_sees_question_and_answer(cast, alike, as_, post):
    answer_with(cast, post, alike, "They measured together.")
    assignment = make_assignment(session=cast.session, signed_off_by=cast.lead_verifier)
    work = Work.objects.get(assignment=assignment, learner=cast.learner)
    text = as_(cast.teacher).get(reverse("marking:work", args=[work.uuid])).content.decode()
    assert "Same figures: a question" in text
    assert "They measured together." in text
    other = Work.objects.get(assignment=assignment, learner=cast.rival)
    text = as_(cast.teacher).get(reverse("marking:work", args=[other.uuid])).content.decode()
    assert "Same figures" not in text


def test_the_verifier_sees_question_and_answer_but_not_the_other_readers_name(cast, paper, as_, post):
    world = World(cast)
    read(paper, cast.group_mate)
    mine = world.readings
    for lane in paper.lanes.all():
        kept, _ = LaneReading.objects.get_or_create(reading_set=mine, lane=lane)
        SpotReading.objects.update_or_create(
            lane_reading=kept, number=1, defaults={"centre_mm": 30 + 6 * (lane.number - 1)}
        )
    page = reverse("verify:portfolio", args=[world.sampled.uuid])
    text = as_(cast.verifier).get(page).content.decode()
    assert "Same figures: a question" in text
    assert "Nobody has answered it yet." in text
    assert cast.group_mate.name not in text
    answer_with(cast, post, paper, "They measured together.")
    assert "They measured together." in as_(cast.verifier).get(page).content.decode()


def test_the_page_asks_as_often_for_many_readers_as_for_two(cast, alike, as_):
    def count():
        client = as_(cast.teacher)
        with CaptureQueriesContext(connection) as asked:
            client.get(reverse("board:paper", args=[alike.uuid]))
        return len(asked)

    two = count()
    for _ in range(10):
        read(alike, make_user("", Role.LEARNER))
    assert LaneReading.objects.count() == 12 * LANES
    assert count() == two
