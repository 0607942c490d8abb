"""The class's values on the teacher's page and as tables."""

import csv
import io
import re
from decimal import Decimal

import openpyxl
import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from practicals.models import (
    Group,
    GroupMember,
    LaneReading,
    Paper,
    ReadingSet,
    ReferenceValue,
    Role,
    Session,
    SpotReading,
    User,
)
from practicals.models.class_results import class_results
from tests.factories import NOW, make_class, make_paper, make_readings, make_session, make_user


@pytest.fixture
def class_of(cast):
    """`class_of(n)` is a session in which n learners may read, three to a paper."""

    def make(learners, **more):
        teaching_class = make_class(teacher=cast.teacher, learners=learners)
        return make_session(
            teacher=cast.teacher,
            teaching_class=teaching_class,
            practical=cast.session.practical,
            **more,
        )

    return make


def read(session, glycine):
    """One set of readings per learner; what differs is the spot of glycine [mm]."""
    papers = {paper.group_id: paper for paper in Paper.objects.filter(group__session=session)}
    members = session.members.order_by("group__number", "id").select_related("learner")
    for member, centre in zip(members, glycine, strict=False):
        make_readings(papers[member.group_id], member.learner, centres=(str(centre), "45", "75", "74"))


def of(session, key="glycine"):
    session = Session.objects.select_related("practical__mobile_phase").get(pk=session.pk)
    return next(one for one in class_results(session).analytes if one.analyte.key == key)


def says_nothing_broken(text):
    words = re.findall(r"[A-Za-z]+", re.sub(r"<[^>]*>", " ", text))
    return not {"nan", "NaN", "inf", "None"} & set(words)


def test_the_summary_is_that_of_the_readings(cast, class_of, page):
    # By hand: spots 35 36 37 mm over origin 15 and front 95 mm are R_f 0.25, 0.2625, 0.275.
    session = class_of(3)
    read(session, [35, 36, 37])
    every = of(session).analysis.summary.every
    assert (every.n, every.median, every.mean) == (3, 0.2625, pytest.approx(0.2625))
    assert every.sd == pytest.approx(0.0125)
    text = page(cast.teacher, "results", session.uuid)
    assert "0.263" in text or "0.262" in text
    assert "Not enough readings for an outlier test: 3, and it takes at least 6." in text
    assert "Not enough papers for reproducibility: 1, and it takes at least 5." in text
    assert "<title>glycine: 3 values from 1 group" in text


def test_one_odd_value_is_flagged_by_grubbs_and_stays(cast, class_of, page):
    session = class_of(8)
    read(session, [35, 35, 36, 36, 35, 36, 35, 60])
    found = of(session)
    assert [row.stands_out for row in found.rows].count(True) == 1
    assert found.analysis.summary.every.n == 8
    text = page(cast.teacher, "results", session.uuid)
    assert "two-sided, 5 %" in text
    assert "Nothing was removed" in text
    assert "Without those that stand out" in text


def test_two_odd_values_that_hide_each_other_are_looked_for_together(class_of):
    session = class_of(12)
    read(session, [35, 35, 36, 36, 35, 36, 35, 36, 35, 36, 60, 61])
    found = of(session)
    assert "generalised ESD, at most 2 looked for" in found.analysis.summary.sentence
    assert sorted(row.value.rf for row in found.rows if row.stands_out) == [
        Decimal("0.5625"),
        Decimal("0.575"),
    ]


@pytest.mark.parametrize("values", [[], [35], [35, 36], [35] * 9, [-900, 1900, 35, 35, 35, 35], [15] * 6])
def test_bad_data_gives_sentences_and_never_a_broken_figure(cast, class_of, page, get, values):
    session = class_of(9)
    read(session, values)
    text = page(cast.teacher, "results", session.uuid)
    assert says_nothing_broken(text)
    for name in ("results_csv", "results_xlsx"):
        assert get(cast.teacher, name, session.uuid).status_code == 200


def test_without_a_front_or_a_run_there_is_no_value(cast, class_of, page):
    session = class_of(3)
    read(session, [35, 36, 37])
    first, second, third = ReadingSet.objects.filter(session=session)
    ReadingSet.objects.filter(pk=first.pk).update(front_mm=None)
    ReadingSet.objects.filter(pk=second.pk).update(front_mm=15)
    ReadingSet.objects.filter(pk=third.pk).update(source=ReadingSet.Source.SUPPLIED)
    assert of(session).rows == ()
    assert "No value of glycine yet." in page(cast.teacher, "results", session.uuid)


def test_a_lane_with_two_spots_is_left_out_and_counted(cast, class_of, page):
    session = class_of(3)
    read(session, [35, 36, 37])
    lane = LaneReading.objects.filter(reading_set__session=session, lane__analyte__key="glycine").first()
    SpotReading.objects.create(lane_reading=lane, number=2, centre_mm=50)
    assert (len(of(session).rows), of(session).several_spots) == (2, 1)
    assert "1 lane with more than one spot" in page(cast.teacher, "results", session.uuid)


def test_five_hundred_learners(cast, class_of, page):
    session = class_of(1)
    group = Group.objects.create(session=session, number=2)
    paper = make_paper(group)
    lanes = list(paper.lanes.all())
    people = User.objects.bulk_create(
        User(username=f"many{n}", name=f"Many {n}", sort_name=f"Many {n}") for n in range(500)
    )
    GroupMember.objects.bulk_create(GroupMember(session=session, group=group, learner=one) for one in people)
    sets = ReadingSet.objects.bulk_create(
        ReadingSet(session=session, paper=paper, learner=one, origin_mm=15, front_mm=95, saved_at=NOW)
        for one in people
    )
    rows = LaneReading.objects.bulk_create(
        LaneReading(reading_set=one, lane=lane) for one in sets for lane in lanes
    )
    SpotReading.objects.bulk_create(
        SpotReading(lane_reading=row, number=1, centre_mm=35 + n % 5) for n, row in enumerate(rows)
    )
    text = page(cast.teacher, "results", session.uuid)
    assert text.count("<circle") + text.count("<polygon") >= 2000
    assert says_nothing_broken(text)


@pytest.mark.parametrize("name", ["results", "results_csv", "results_xlsx"])
def test_the_pages_ask_as_often_for_30_learners_as_for_3(cast, class_of, as_, name):
    def count(learners):
        session = class_of(learners)
        read(session, [35] * learners)
        client = as_(cast.teacher)
        with CaptureQueriesContext(connection) as asked:
            assert client.get(reverse(f"board:{name}", args=[session.uuid])).status_code == 200
        return len(asked)

    assert count(3) == count(30) <= 16


def test_the_tables_hold_the_values_and_no_formula(cast, class_of, get):
    session = class_of(1)
    learner = session.members.get().learner
    learner.name = '=HYPERLINK("http://x.example")'
    learner.save()
    read(session, [35])
    text = get(cast.teacher, "results_csv", session.uuid).content.decode("utf-8-sig")
    rows = list(csv.DictReader(io.StringIO(text)))
    assert [row["R_f"] for row in rows] == ["0.25", "0.38", "0.75", "0.74"]
    assert rows[0]["learner"].startswith("'=")
    response = get(cast.teacher, "results_xlsx", session.uuid)
    book = openpyxl.load_workbook(io.BytesIO(response.content))
    assert book.sheetnames == ["values", "summary"]
    assert book["values"]["D2"].value.startswith("'=")
    assert book["values"]["D2"].data_type == "s"
    assert book["values"]["E2"].value == 0.25
    assert "attachment" in response["Content-Disposition"]


def test_a_release_needs_locked_readings_and_then_shows_when(cast, class_of, page, post):
    session = class_of(5)
    read(session, [35] * 5)
    post(cast.teacher, "release_results", [session.uuid])
    assert Session.objects.get(pk=session.pk).results_released_at is None
    assert "can be released once the readings are locked" in page(cast.teacher, "results", session.uuid)
    session.readings_locked_at = NOW
    session.save()
    assert "Release to the learners" in page(cast.teacher, "results", session.uuid)
    assert post(cast.teacher, "release_results", [session.uuid]).status_code == 302
    assert Session.objects.get(pk=session.pk).results_released_at
    assert "Released " in page(cast.teacher, "results", session.uuid)


@pytest.fixture
def published():
    def add(ratio="12:3:5", rf="0.26", **more):
        return ReferenceValue.objects.create(
            **{
                "analyte": "glycine",
                "support": "paper",
                "mobile_phase": "butan-1-ol/ethanoic acid/water",
                "ratio": ratio,
                "rf_low": rf,
                "rf_high": rf,
                "source": "Invented table",
                "confirmed": True,
                "added_at": NOW,
                **more,
            }
        )

    return add


def test_a_confirmed_value_of_the_very_system_is_compared_and_drawn(cast, class_of, page, published):
    # The test's mixture is 6 : 1.5 : 2.5 by volume, which is 12 : 3 : 5.
    published()
    session = class_of(6)
    read(session, [35, 36, 37, 36, 36, 37])
    found = of(session)
    assert found.analysis.against_published.reference == pytest.approx(0.26)
    assert found.analysis.picture.published_x is not None
    assert "Published for this very system: 0.26 (Invented table)." in page(
        cast.teacher, "results", session.uuid
    )


@pytest.mark.parametrize(
    "other", [{"confirmed": False}, {"ratio": "4:1:5"}, {"support": "tlc"}, {"withdrawn_at": NOW}]
)
def test_an_unconfirmed_value_or_one_of_another_system_is_not_compared(class_of, published, other):
    published(**other)
    session = class_of(6)
    read(session, [35, 36, 37, 36, 36, 37])
    found = of(session)
    assert found.analysis.against_published is None
    assert found.analysis.picture.published_x is None
    assert "No confirmed value" in found.published.sentences[0]


def test_lesson_staff_do_not_open_the_results(cast, get):
    person = make_user("", Role.LESSON_ONLY)
    lesson = cast.session.lessons.get()
    lesson.leader = person
    lesson.save()
    assert get(person, "board", cast.session.uuid).status_code == 200
    assert get(person, "results", cast.session.uuid).status_code == 404
