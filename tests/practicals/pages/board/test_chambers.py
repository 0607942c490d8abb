from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import NoReverseMatch, reverse

from practicals.gate import named_views
from practicals.models import Chamber, Session
from reagents.models import Batch, Requisition, RequisitionLine
from tests.factories import NOW, make_class, make_readings, make_session


@pytest.fixture
def batch(cast):
    requisition = Requisition.objects.create(
        title="Amino acids on paper, Lab 2", room="Lab 2", needed_at=NOW, asked_by=cast.teacher, asked_at=NOW
    )
    cast.session.requisition = requisition
    cast.session.save()
    line = RequisitionLine.objects.create(
        requisition=requisition,
        order=1,
        recipe=cast.session.practical.mobile_phase,
        total_ml=Decimal(100),
    )
    return make_batch(cast, "GOOD", line=line)


def make_batch(cast, code, **more):
    return Batch.objects.create(
        code=code,
        recipe=cast.session.practical.mobile_phase,
        made_at=NOW - timedelta(hours=2),
        made_by=cast.technician,
        initials="TT",
        total_ml=Decimal(100),
        **more,
    )


def batches_of(cast):
    return [chamber.batch for chamber in Chamber.objects.filter(group__session=cast.session)]


def test_all_are_filled_from_the_proposed_batch_in_one_click(cast, batch, as_, post, page):
    """What the page offers first, sent as it stands, fills every chamber."""
    response = as_(cast.technician).get(reverse("board:chambers", args=[cast.session.uuid]))
    form = response.context["form"]
    first = {name: form.fields[name].choices[0][0] for name in ("chamber", "batch")}
    assert first == {"chamber": "empty", "batch": str(batch.uuid)}
    post(cast.technician, "chambers", [cast.session.uuid], **first)
    assert batches_of(cast) == [batch, batch]
    assert "GOOD" in page(cast.teacher, "board", cast.session.uuid)


def test_a_batch_not_proposed_is_refused_with_what_was_typed_kept(cast, batch, post):
    bad = make_batch(cast, "BAD", recalled_at=NOW, recall_reason="Acid left out")
    chamber = Chamber.objects.filter(group__session=cast.session).last()
    data = {"chamber": str(chamber.uuid), "batch": str(bad.uuid)}
    answer = post(cast.technician, "chambers", [cast.session.uuid], **data)
    text = answer.content.decode()
    assert answer.status_code == 200
    assert "was recalled: Acid left out" in text
    assert f'value="{bad.uuid}" selected' in text
    assert f'value="{chamber.uuid}" selected' in text
    post(cast.technician, "chambers", [cast.session.uuid], **data, reason="Poured before the recall")
    assert batches_of(cast) == [None, bad]


@pytest.mark.parametrize(
    "data",
    [{}, {"chamber": "1e9", "batch": "-1"}, {"chamber": "empty", "batch": "x"}, {"batch": "GOOD"}],
)
def test_nonsense_fills_nothing_and_is_answered_in_words(cast, batch, post, data):
    answer = post(cast.teacher, "chambers", [cast.session.uuid], **data)
    assert answer.status_code == 200
    assert "alert" in answer.content.decode()
    assert batches_of(cast) == [None, None]


def test_without_a_batch_the_page_says_what_comes_next(cast, page):
    assert "No batch of this mobile phase has been recorded yet" in page(
        cast.technician, "chambers", cast.session.uuid
    )


def test_a_closed_session_offers_no_form(cast, batch, get, page):
    cast.session.readings_locked_at = cast.session.closed_at = NOW
    cast.session.save()
    assert "is closed" in page(cast.teacher, "chambers", cast.session.uuid)
    assert get(cast.technician, "chambers", cast.session.uuid).status_code == 404


def test_what_ran_in_a_batch_is_found_and_where_it_is_still_to_go(cast, batch, post, page):
    shown = page(cast.technician, "batch_papers", batch.uuid)
    assert "No chamber has been filled" in shown
    assert "2 of 2 empty" in shown
    chamber = Chamber.objects.filter(group__session=cast.session).first()
    data = {"chamber": str(chamber.uuid), "batch": str(batch.uuid)}
    post(cast.technician, "chambers", [cast.session.uuid], **data)
    shown = page(cast.technician, "batch_papers", batch.uuid)
    assert "Group 1, chamber 1: paper A" in shown
    assert "1 of 2 empty" in shown


def test_a_teacher_traces_a_batch_in_their_own_sessions_only(cast, batch, page, post):
    for chamber in Chamber.objects.all():
        chamber.batch, chamber.filled_at, chamber.filled_by = batch, NOW, cast.technician
        chamber.save()
    theirs = Session.objects.get(teacher=cast.other_teacher)
    chambers = reverse("board:chambers", args=[theirs.uuid])
    assert chambers in page(cast.technician, "batch_papers", batch.uuid)
    assert chambers not in page(cast.teacher, "batch_papers", batch.uuid)


def test_no_page_that_a_technician_can_open_names_a_learner(cast, batch, as_, page):
    """Every address of this journey, with every record it could mean; also with a name in a title."""
    cast.session.title = f"Catch-up for {cast.learner.name}"
    cast.session.save()
    paper = cast.session.groups.first().papers.get()
    readings = make_readings(paper, cast.learner)
    for chamber in Chamber.objects.filter(group__session=cast.session):
        chamber.batch, chamber.filled_at, chamber.filled_by = batch, NOW, cast.technician
        chamber.save()
    names = [member.learner.name for member in cast.session.members.all()]
    client = as_(cast.technician)
    lesson = cast.session.lessons.get()
    opened = []
    for view in [name for name in named_views() if name.startswith("board:")]:
        for record in (cast.session, paper, lesson, batch, readings):
            for args in ([record.uuid], [record.uuid, cast.learner.uuid]):
                try:
                    url = reverse(view, args=args)
                except NoReverseMatch:  # an address that takes other arguments
                    continue
                response = client.get(url)
                if response.status_code != 404:
                    opened.append(view)
                    text = response.content.decode()
                    assert not [name for name in names if name in text]
    assert sorted(opened) == ["board:batch_papers", "board:chambers"]


def test_who_may_not_fill_sees_neither_page(cast, batch, get):
    for person in (cast.learner, cast.verifier, cast.administrator):
        assert get(person, "chambers", cast.session.uuid).status_code == 404
        assert get(person, "batch_papers", batch.uuid).status_code == 404
    assert get(cast.other_teacher, "chambers", cast.session.uuid).status_code == 404


@pytest.mark.parametrize("name", ["chambers", "batch_papers"])
def test_as_many_questions_for_ten_groups_as_for_one(cast, batch, as_, name):
    def count(learners):
        session = make_session(
            teacher=cast.teacher,
            teaching_class=make_class(teacher=cast.teacher, learners=learners),
            practical=cast.session.practical,
        )
        Chamber.objects.filter(group__session=session).update(
            batch=batch, filled_at=NOW, filled_by=cast.technician
        )
        client = as_(cast.technician)
        url = reverse(f"board:{name}", args=[batch.uuid if name == "batch_papers" else session.uuid])
        with CaptureQueriesContext(connection) as asked:
            assert client.get(url).status_code == 200
        return len(asked)

    assert count(3) == count(30)
