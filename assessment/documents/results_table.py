"""A class's results for a spreadsheet (CSV, XLSX), and as an archive for another system."""

import csv
import io
import zipfile
from collections.abc import Iterator, Sequence
from datetime import datetime

from django.utils import timezone
from openpyxl import Workbook

from assessment.calculations.grades import read_grade_rule
from assessment.calculations.oneroster_results import LineItemOut, ResultOut, results_files
from assessment.models import Assignment
from assessment.models.results_out import NOT_HANDED_IN, NOT_RELEASED, ResultRow
from practicals.documents.class_table import unharmed
from practicals.models import RosterIdentity

HEAD = (
    "learner number",
    "learner",
    "class",
    "result",
    "attempt that counts",
    "submitted",
    "due",
    "late",
    "released",
)
_ZIP_DAY = (1980, 1, 1, 0, 0, 0)  # so that the same results give the same archive


def results_csv(assignment: Assignment, rows: Sequence[ResultRow]) -> bytes:
    """The results in UTF-8, with the mark by which spreadsheets know it."""
    file = io.StringIO()
    csv.writer(file).writerows(_table(assignment, rows))
    return file.getvalue().encode("utf-8-sig")


def results_xlsx(assignment: Assignment, rows: Sequence[ResultRow]) -> bytes:
    book = Workbook()
    sheet = book.active
    sheet.title = "results"
    for row in _table(assignment, rows):
        sheet.append(row)
    sheet.freeze_panes = "C2"
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def _table(assignment: Assignment, rows: Sequence[ResultRow]) -> Iterator[list[str]]:
    codes = [criterion.code for criterion in assignment.brief.criteria.all()]
    none = read_grade_rule(assignment.brief.unit.grade_rule).not_achieved
    yield [*HEAD, *codes]
    for row in rows:
        cells = [
            row.learner.reference,
            row.learner.name,
            assignment.teaching_class.name,
            _result(row, none),
            str(row.attempt or ""),
            _moment(row.handed_in_at),
            _moment(row.due_at),
            ("yes" if row.late else "no") if row.handed_in_at else "",
            _moment(row.released_at),
            *(row.outcomes.get(code, "") for code in codes),
        ]
        yield [str(unharmed(cell)) for cell in cells]


def _result(row: ResultRow, none: str) -> str:
    if row.level is not None:
        return row.level or none
    return NOT_RELEASED if row.handed_in_at else NOT_HANDED_IN


def _moment(value: datetime | None) -> str:
    return f"{timezone.localtime(value):%Y-%m-%d %H:%M}" if value else ""


def unknown_to_the_roster(rows: Sequence[ResultRow]) -> list[str]:
    """Learners whom the other system would not recognise."""
    return [row.learner.name for row in rows if not hasattr(row.learner, "roster_identity")]


def results_archive(assignment: Assignment, rows: Sequence[ResultRow], identity: RosterIdentity) -> bytes:
    """One archive for the system that the class came from; learners it does not know are left out."""
    rule = read_grade_rule(assignment.brief.unit.grade_rule)
    item = LineItemOut(
        sourced_id=str(assignment.uuid),
        title=assignment.brief.title,
        assigned_on=timezone.localdate(assignment.issued_at or assignment.due_at),
        due_on=timezone.localdate(assignment.due_at),
        class_id=identity.sourced_id,
        term_id=identity.term,
        school_id=identity.school,
        levels=rule.levels,
        not_achieved=rule.not_achieved,
        system="Wickmark",
    )
    known = [row for row in rows if hasattr(row.learner, "roster_identity")]
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, text in results_files(item, [_out(row, assignment) for row in known]).items():
            archive.writestr(zipfile.ZipInfo(name, _ZIP_DAY), text)
    return file.getvalue()


def _out(row: ResultRow, assignment: Assignment) -> ResultOut:
    unit = assignment.brief.unit
    return ResultOut(
        sourced_id=str(row.work.uuid),
        student=row.learner.roster_identity.sourced_id,
        level=row.level,
        score_date=timezone.localdate(row.released_at or row.handed_in_at or row.due_at),
        late=row.late,
        handed_in=row.handed_in_at is not None,
        criteria=tuple(
            (f"{unit.slug}/{unit.edition}/{code}", outcome) for code, outcome in sorted(row.outcomes.items())
        ),
    )
