"""Results in the CSV binding of the open standard OneRoster 1.2: one text per file."""

import csv
import io
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

_LIFE = ("sourcedId", "status", "dateLastModified")
#: The 21 data files of the standard (names from memory, their number read); a manifest lists them all.
DATA_FILES = (
    "academicSessions", "categories", "classes", "classResources", "courses", "courseResources",
    "demographics", "enrollments", "lineItemLearningObjectiveIds", "lineItems", "lineItemScoreScales", "orgs",
    "resources", "resultLearningObjectiveIds", "results", "resultScoreScales", "roles", "scoreScales",
    "userProfiles", "userResources", "users",
)  # fmt: skip
HEADERS: dict[str, tuple[str, ...]] = {
    "categories": (*_LIFE, "title", "weight"),
    "lineItems": (
        *_LIFE, "title", "description", "assignDate", "dueDate", "classSourcedId", "categorySourcedId",
        "academicSessionSourcedId", "resultValueMin", "resultValueMax", "schoolSourcedId",
    ),
    "results": (
        *_LIFE, "lineItemSourcedId", "studentSourcedId", "scoreStatus", "score", "scoreDate", "comment",
        "textScore", "classSourcedId", "inProgress", "incomplete", "late", "missing",
    ),
    "scoreScales": (
        *_LIFE, "title", "type", "orgSourcedId", "courseSourcedId", "classSourcedId", "scoreScaleValue",
    ),
    "lineItemScoreScales": (*_LIFE, "title", "lineItemSourcedId", "scoreScaleSourcedId"),
    "resultScoreScales": (*_LIFE, "title", "resultSourcedId", "scoreScaleSourcedId"),
    "resultLearningObjectiveIds": (
        *_LIFE, "resultSourcedId", "source", "learningObjectiveId", "score", "textScore",
    ),
}  # fmt: skip
GRADED, SUBMITTED, NOT_SUBMITTED = "fully graded", "submitted", "not submitted"


@dataclass(frozen=True, slots=True)
class ResultOut:
    """One learner's result; `level` is empty for none reached and None before the release."""

    sourced_id: str
    student: str
    level: str | None
    score_date: date
    late: bool
    handed_in: bool
    criteria: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True, slots=True)
class LineItemOut:
    """The assignment as the other system knows it."""

    sourced_id: str
    title: str
    assigned_on: date
    due_on: date
    class_id: str
    term_id: str
    school_id: str
    levels: tuple[str, ...]
    not_achieved: str
    system: str


def results_files(item: LineItemOut, results: Sequence[ResultOut]) -> dict[str, str]:
    """Write the files of one assignment's results.

    A grade is no number: it stands in ``textScore`` with a score scale, and ``score`` stays empty. Each
    criterion is one row of ``resultLearningObjectiveIds``.

    Parameters
    ----------
    item : LineItemOut
        The assignment.
    results : sequence of ResultOut
        One for each learner, in any order.

    Returns
    -------
    dict of str to str
        Text of each file by its name, the manifest included.

    References
    ----------
    OneRoster 1.2, CSV binding 1.2.1 (1EdTech): names and order of the columns, score statuses.
    """
    scale, category = f"{item.sourced_id}-scale", f"{item.sourced_id}-category"
    letters = letters_of(item.levels, item.not_achieved)
    ordered = sorted(results, key=lambda one: one.sourced_id)
    graded = [one for one in ordered if one.level is not None]
    rows: dict[str, list[Sequence[str]]] = {
        "categories": [(category, "", "", "Assignments", "")],
        "lineItems": [_line_item(item, category)],
        "results": [_result(item, one, letters) for one in ordered],
        "scoreScales": [
            (scale, "", "", "Levels of the unit", "text", item.school_id, "", item.class_id, _scale(letters))
        ],
        "lineItemScoreScales": [
            (f"{item.sourced_id}-item", "", "", "Levels of the unit", item.sourced_id, scale)
        ],
        "resultScoreScales": [
            (f"{one.sourced_id}-scale", "", "", "Levels of the unit", one.sourced_id, scale) for one in graded
        ],
        "resultLearningObjectiveIds": [
            (f"{one.sourced_id}-{number}", "", "", one.sourced_id, "unknown", objective, "", outcome)
            for one in graded
            for number, (objective, outcome) in enumerate(one.criteria, start=1)
        ],
    }
    files = {f"{name}.csv": _table(HEADERS[name], found) for name, found in rows.items()}
    return {"manifest.csv": _manifest(set(rows), item.system), **files}


def letters_of(levels: Sequence[str], not_achieved: str) -> dict[str, str]:
    """Give each level the letter that stands for it in a text score.

    Parameters
    ----------
    levels : sequence of str
        Levels, lowest first.
    not_achieved : str
        Words for no level.

    Returns
    -------
    dict of str to str
        Initials in capitals and U for none, or the whole words where two levels begin alike.

    References
    ----------
    P, M, D and U: common practice, no source.
    """
    initials = [level[:1].upper() for level in levels]
    if len(set(initials)) < len(initials) or "U" in initials:
        return {**{level: level for level in levels}, "": not_achieved}
    return {**dict(zip(levels, initials, strict=True)), "": "U"}


def _line_item(item: LineItemOut, category: str) -> Sequence[str]:
    return (
        item.sourced_id,
        "",
        "",
        item.title,
        "",
        item.assigned_on.isoformat(),
        item.due_on.isoformat(),
        item.class_id,
        category,
        item.term_id,
        "",
        "",
        item.school_id,
    )


def _result(item: LineItemOut, one: ResultOut, letters: Mapping[str, str]) -> Sequence[str]:
    status = GRADED if one.level is not None else SUBMITTED if one.handed_in else NOT_SUBMITTED
    return (
        one.sourced_id,
        "",
        "",
        item.sourced_id,
        one.student,
        status,
        "",
        one.score_date.isoformat(),
        "",
        letters[one.level] if one.level is not None else "",
        item.class_id,
        "",
        "",
        "true" if one.late else "false",
        "false" if one.handed_in else "true",
    )


def _scale(letters: Mapping[str, str]) -> str:
    return ",".join(f"{{{letter}:{level or 'not yet achieved'}}}" for level, letter in letters.items())


def _manifest(present: set[str], system: str) -> str:
    rows = [("manifest.version", "1.0"), ("oneroster.version", "1.2")]
    rows += [(f"file.{name}", "bulk" if name in present else "absent") for name in DATA_FILES]
    rows += [("source.systemName", system), ("source.systemCode", "")]
    return _table(("propertyName", "value"), rows)


def _table(headers: Sequence[str], rows: Sequence[Sequence[str]]) -> str:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerows([headers, *rows])
    return text.getvalue()
