"""A class's values as a table for a spreadsheet: CSV and XLSX, one row per value, for staff."""

import csv
import io
from collections.abc import Iterator, Sequence
from decimal import Decimal

from openpyxl import Workbook

from practicals.models.class_results import ClassResults

_VALUES = (
    "analyte",
    "group",
    "paper",
    "learner",
    "R_f",
    "R_f not rounded",
    "mean of the others",
    "difference",
    "remark",
    "locked",
)
_SUMMARY = (
    "analyte",
    "which values",
    "n",
    "median",
    "MAD",
    "mean",
    "s",
    "95 % interval from",
    "95 % interval to",
    "s_r",
    "s_R",
    "outlier test",
)
Cell = str | Decimal | int | float | None
_PLACES = 4


def values_csv(results: ClassResults) -> bytes:
    """The values in UTF-8, with the mark by which spreadsheets know it."""
    file = io.StringIO()
    table = csv.writer(file)
    table.writerows([_VALUES, *(map(_text, row) for row in _value_rows(results))])
    return file.getvalue().encode("utf-8-sig")


def values_xlsx(results: ClassResults) -> bytes:
    """The values on one sheet, the summary on another; numbers are numbers."""
    book = Workbook()
    book.remove(book.active)
    for name, head, rows in (
        ("values", _VALUES, _value_rows(results)),
        ("summary", _SUMMARY, _summary_rows(results)),
    ):
        sheet = book.create_sheet(name)
        sheet.append(head)
        for row in rows:
            sheet.append([unharmed(cell) for cell in row])
        sheet.freeze_panes = "A2"
    file = io.BytesIO()
    book.save(file)
    return file.getvalue()


def unharmed(cell: Cell) -> Cell:
    """A text that a spreadsheet would take for a formula gets an apostrophe before it."""
    if isinstance(cell, str) and cell.startswith(("=", "+", "-", "@", "\t", "\r")):
        return f"'{cell}"
    return cell


def _text(cell: Cell) -> str:
    return "" if cell is None else str(unharmed(cell))


def _places(value: Decimal | float | None) -> float | None:
    return None if value is None else round(float(value), _PLACES)


def _value_rows(results: ClassResults) -> Iterator[Sequence[Cell]]:
    for one in results.analytes:
        for row in one.rows:
            yield (
                one.name,
                row.value.group,
                row.value.paper_name,
                row.value.name,
                row.rounded_rf,
                _places(row.value.rf),
                _places(row.others.mean_of_others),
                _places(row.others.difference),
                row.remark,
                "yes" if row.value.locked else "no",
            )


def _summary_rows(results: ClassResults) -> Iterator[Sequence[Cell]]:
    for one in results.analytes:
        summary, precision = one.analysis.summary, one.analysis.precision
        without = [("without those that stand out", summary.without)] if summary.without else []
        for which, found in [("all", summary.every), *without]:
            low, high = found.interval or (None, None)
            yield (
                one.name,
                which,
                found.n,
                _places(found.median),
                _places(found.mad),
                _places(found.mean),
                _places(found.sd),
                _places(low),
                _places(high),
                _places(precision.s_r),
                _places(precision.s_reproducibility),
                summary.sentence,
            )
