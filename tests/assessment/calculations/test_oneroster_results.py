"""Results by OneRoster 1.2, CSV binding 1.2.1 (1EdTech): headings typed from the standard's tables."""

import csv
import io
from datetime import date

import pytest

from assessment.calculations.oneroster_results import LineItemOut, ResultOut, letters_of, results_files

HEADINGS = {
    "categories": "sourcedId,status,dateLastModified,title,weight",
    "lineItems": "sourcedId,status,dateLastModified,title,description,assignDate,dueDate,classSourcedId,"
    "categorySourcedId,academicSessionSourcedId,resultValueMin,resultValueMax,schoolSourcedId",
    "results": "sourcedId,status,dateLastModified,lineItemSourcedId,studentSourcedId,scoreStatus,score,"
    "scoreDate,comment,textScore,classSourcedId,inProgress,incomplete,late,missing",
    "scoreScales": "sourcedId,status,dateLastModified,title,type,orgSourcedId,courseSourcedId,"
    "classSourcedId,scoreScaleValue",
    "lineItemScoreScales": "sourcedId,status,dateLastModified,title,lineItemSourcedId,scoreScaleSourcedId",
    "resultScoreScales": "sourcedId,status,dateLastModified,title,resultSourcedId,scoreScaleSourcedId",
    "resultLearningObjectiveIds": "sourcedId,status,dateLastModified,resultSourcedId,source,"
    "learningObjectiveId,score,textScore",
}
ITEM = LineItemOut(
    sourced_id="item",
    title="What is in it?",
    assigned_on=date(2026, 11, 2),
    due_on=date(2026, 11, 24),
    class_id="k1",
    term_id="t1",
    school_id="s1",
    levels=("pass", "merit", "distinction"),
    not_achieved="not yet achieved",
    system="a system",
)
DAY = date(2026, 11, 30)
RESULTS = [
    ResultOut("r2", "u2", "", DAY, True, True, (("unit/1/P1", "not yet met"),)),
    ResultOut("r1", "u1", "merit", DAY, False, True, (("unit/1/P1", "met"), ("unit/1/M1", "met"))),
    ResultOut("r3", "u3", None, DAY, False, False),
]


def rows(name, results=RESULTS):
    return list(csv.DictReader(io.StringIO(results_files(ITEM, results)[f"{name}.csv"])))


@pytest.mark.parametrize("name", sorted(HEADINGS))
def test_the_columns_are_the_standards_in_its_order(name):
    assert results_files(ITEM, RESULTS)[f"{name}.csv"].split("\r\n")[0] == HEADINGS[name]


def test_the_manifest_lists_all_21_data_files():
    told = {row["propertyName"]: row["value"] for row in rows("manifest")}
    files = {name: value for name, value in told.items() if name.startswith("file.")}
    assert len(files) == 21
    assert {name.removeprefix("file.") for name, value in files.items() if value == "bulk"} == set(HEADINGS)
    assert told["oneroster.version"] == "1.2"


def test_a_grade_is_text_and_never_a_number():
    by_student = {row["studentSourcedId"]: row for row in rows("results")}
    assert [by_student[u]["textScore"] for u in ("u1", "u2", "u3")] == ["M", "U", ""]
    assert {row["score"] for row in by_student.values()} == {""}
    assert [by_student[u]["scoreStatus"] for u in ("u1", "u2", "u3")] == [
        "fully graded",
        "fully graded",
        "not submitted",
    ]
    assert (by_student["u2"]["late"], by_student["u3"]["missing"]) == ("true", "true")


def test_in_bulk_files_status_and_date_stay_blank():
    for name in HEADINGS:
        assert all(row["status"] == row["dateLastModified"] == "" for row in rows(name))


def test_each_criterion_is_one_row_of_its_result():
    found = [
        (row["resultSourcedId"], row["learningObjectiveId"], row["textScore"], row["source"])
        for row in rows("resultLearningObjectiveIds")
    ]
    assert ("r1", "unit/1/M1", "met", "unknown") in found
    assert len(found) == 3


def test_what_is_not_released_has_no_grade_and_no_criteria():
    released_later = [ResultOut("r1", "u1", None, DAY, False, True, (("unit/1/P1", "met"),))]
    assert rows("results", released_later)[0]["scoreStatus"] == "submitted"
    assert rows("resultLearningObjectiveIds", released_later) == []
    assert rows("resultScoreScales", released_later) == []


def test_the_order_of_the_learners_changes_nothing():
    assert results_files(ITEM, RESULTS) == results_files(ITEM, RESULTS[::-1])


def test_levels_that_begin_alike_are_written_in_full():
    assert letters_of(("pass", "pass with credit"), "none") == {
        "pass": "pass",
        "pass with credit": "pass with credit",
        "": "none",
    }
