"""The standards on the board: a batch, or one paper, that is off."""

import pytest

from practicals.models import Group, Paper, ReadingSet, Session
from practicals.models.solvent import RULE, solvent_check_of
from reagents.models import Batch
from tests.factories import NOW, make_class, make_practical, make_readings, make_session

USUAL = ("35", "45", "75", "74")
#: Every spot 6.4 mm of an 80 mm run higher: R_f 0.08 more.
HIGHER = ("41.4", "51.4", "81.4", "80.4")


@pytest.fixture
def class_of(cast):
    """`class_of(papers)` is a session of its own with so many papers, one learner each."""

    def make(papers, practical=None, **more):
        teaching_class = make_class(teacher=cast.teacher, learners=papers)
        return make_session(
            teacher=cast.teacher,
            teaching_class=teaching_class,
            practical=practical or cast.session.practical,
            group_size=1,
            **more,
        )

    return make


def read(session, rows):
    papers = Paper.objects.filter(group__session=session).order_by("group__number")
    for paper, centres in zip(papers, rows, strict=True):
        make_readings(paper, paper.group.members.get().learner, centres=centres)


def fill(session, batch):
    for group in Group.objects.filter(session=session):
        group.chambers.update(batch=batch, filled_at=NOW, filled_by=session.teacher)


def batch_of(cast):
    return Batch.objects.create(
        code="24N-K7P",
        recipe=cast.session.practical.mobile_phase,
        made_at=NOW,
        made_by=cast.technician,
        initials="TT",
        total_ml=100,
    )


def test_a_batch_is_suspect_when_most_papers_lie_higher_than_past_sessions(cast, class_of, page):
    past = class_of(3, readings_locked_at=NOW)
    read(past, [USUAL] * 3)
    today = class_of(5)
    fill(today, batch_of(cast))
    read(today, [HIGHER] * 4 + [USUAL])
    text = page(cast.teacher, "live", today.uuid)
    assert "Mobile phase suspect." in text
    assert "On 4 of 5 papers the standards lie higher than expected, by 0.08" in text
    assert "batch 24N-K7P" in text
    assert RULE in page(cast.teacher, "board", today.uuid)


def test_one_paper_alone_is_its_front_or_its_origin_line(cast, class_of, page):
    today = class_of(5)
    read(today, [USUAL] * 2 + [HIGHER] + [USUAL] * 2)
    text = page(cast.teacher, "live", today.uuid)
    assert "One paper is off." in text
    assert "On paper 3A alone" in text
    assert "Mobile phase suspect" not in text


def test_nothing_is_said_before_a_standard_is_read_nor_where_all_is_well(cast, class_of, page):
    today = class_of(4)
    assert "standards" not in page(cast.teacher, "live", today.uuid).lower()
    read(today, [USUAL] * 4)
    assert solvent_check_of(today).findings == ()


def test_a_session_in_another_system_gives_no_expectation(cast, class_of):
    other = class_of(3, practical=make_practical(), readings_locked_at=NOW)
    read(other, [HIGHER] * 3)
    today = class_of(3)
    read(today, [USUAL] * 3)
    assert solvent_check_of(today).papers == ()
    assert "Nothing is known" in solvent_check_of(today).missing[0]


def test_readings_of_a_photo_are_no_evidence(cast, class_of):
    past = class_of(3, readings_locked_at=NOW)
    read(past, [USUAL] * 3)
    today = class_of(3)
    read(today, [HIGHER] * 3)
    assert [one.kind for one in solvent_check_of(today).findings] == ["mobile phase"]
    ReadingSet.objects.filter(session=today).update(source=ReadingSet.Source.PHOTO)
    assert solvent_check_of(today).findings == ()


@pytest.mark.parametrize(("learners", "papers"), [(3, 3), (30, 30)])
def test_the_check_asks_as_often_for_30_papers_as_for_3(
    cast, class_of, django_assert_num_queries, learners, papers
):
    past = class_of(3, readings_locked_at=NOW)
    read(past, [USUAL] * 3)
    read(class_of(papers), [USUAL] * papers)
    today = Session.objects.select_related("practical").latest("pk")
    with django_assert_num_queries(4):
        solvent_check_of(today)
