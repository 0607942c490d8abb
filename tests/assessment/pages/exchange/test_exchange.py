"""Results as files: only what is released, for nobody but the class's teachers."""

import csv
import io
import zipfile

import openpyxl
import pytest
from django.urls import reverse

from practicals.models import RosterIdentity
from tests.assessment.handed_in import decide_all, hand_in, issued, let_out, work_of


@pytest.fixture
def assignment(cast):
    return issued(cast)


@pytest.fixture
def released(cast, assignment):
    submission = hand_in(work_of(assignment, cast.learner))
    decide_all(submission, cast.teacher)
    let_out(submission, cast.teacher)
    return submission


def table(client, assignment):
    answer = client.get(reverse("exchange:csv", args=[assignment.uuid]))
    return {row["learner"]: row for row in csv.DictReader(io.StringIO(answer.content.decode("utf-8-sig")))}


def test_the_table_has_each_learner_and_what_is_released(cast, as_, assignment, released):
    second = hand_in(work_of(assignment, cast.group_mate))
    decide_all(second, cast.teacher)
    rows = table(as_(cast.teacher), assignment)
    assert len(rows) == cast.teaching_class.learners().count()
    mine, waiting = rows[cast.learner.name], rows[cast.group_mate.name]
    assert (mine["result"], mine["P1"], mine["attempt that counts"]) == ("distinction", "met", "1")
    assert (waiting["result"], waiting["P1"]) == ("not released", "")
    assert rows[cast.rival.name]["result"] == "not submitted"


def test_the_workbook_holds_the_same(cast, as_, assignment, released):
    answer = as_(cast.teacher).get(reverse("exchange:xlsx", args=[assignment.uuid]))
    sheet = openpyxl.load_workbook(io.BytesIO(answer.content)).active
    head, *rows = sheet.iter_rows(values_only=True)
    found = {row[1]: dict(zip(head, row, strict=True)) for row in rows}
    assert found[cast.learner.name]["result"] == "distinction"


def test_a_name_that_looks_like_a_formula_is_only_a_name(cast, as_, assignment):
    cast.learner.name = "=1+1"
    cast.learner.save()
    assert "'=1+1" in table(as_(cast.teacher), assignment)


def test_a_class_without_a_roster_is_told_so(cast, as_, assignment, released):
    answer = as_(cast.teacher).get(reverse("exchange:roster_results", args=[assignment.uuid]), follow=True)
    assert "did not come from a roster" in answer.content.decode()


def test_for_a_class_from_a_roster_the_results_go_back_under_its_names(cast, as_, assignment, released):
    RosterIdentity.objects.create(
        kind="class", sourced_id="k1", teaching_class=cast.teaching_class, school="s1", term="t1"
    )
    RosterIdentity.objects.create(kind="person", sourced_id="u1", person=cast.learner)
    answer = as_(cast.teacher).get(reverse("exchange:roster_results", args=[assignment.uuid]))
    with zipfile.ZipFile(io.BytesIO(answer.content)) as archive:
        assert "manifest.csv" in archive.namelist()
        (row,) = csv.DictReader(io.StringIO(archive.read("results.csv").decode()))
    assert (row["studentSourcedId"], row["textScore"], row["classSourcedId"]) == ("u1", "D", "k1")


def test_the_same_number_of_queries_for_three_learners_as_for_six(
    cast, as_, assignment, django_assert_max_num_queries
):
    client = as_(cast.teacher)
    with django_assert_max_num_queries(24):
        client.get(reverse("exchange:csv", args=[assignment.uuid]))
    for work in assignment.works.all():
        hand_in(work)
    with django_assert_max_num_queries(24):
        client.get(reverse("exchange:csv", args=[assignment.uuid]))
