"""Takes the cells out of an uploaded class list. The file itself is read once and not kept."""

import csv
import io
import zipfile
import zlib
from collections.abc import Iterator
from typing import Any

import openpyxl
from openpyxl.utils.exceptions import InvalidFileException

from practicals.calculations.class_list import MOST_ROWS, are_headings

LARGEST_BYTES = 5 * 1024 * 1024
#: A workbook is a packed archive: a small file may unpack to far more than it says.
LARGEST_UNPACKED_BYTES = 60 * 1024 * 1024
MOST_ROWS_READ = MOST_ROWS + 50
MOST_COLUMNS = 60
BROKEN_WORKBOOK = (
    zipfile.BadZipFile,
    zlib.error,
    InvalidFileException,
    ArithmeticError,
    AttributeError,
    AssertionError,
    EOFError,
    LookupError,
    NotImplementedError,
    OSError,
    RuntimeError,
    SyntaxError,
    TypeError,
    ValueError,
)


class UnreadableFile(ValueError):
    """The file is no table that can be read; the message says what to do."""


def read_table(data: bytes) -> list[list[str]]:
    """Rows of cells as text, from a CSV file or an XLSX workbook, told apart by content, not by name."""
    if not data.strip():
        raise UnreadableFile("The file is empty. Choose the file with the class list.")
    if len(data) > LARGEST_BYTES:
        raise UnreadableFile("The file is larger than 5 MB, which no class list is. Choose another one.")
    if data.startswith(b"\xd0\xcf\x11\xe0"):
        raise UnreadableFile("This is a workbook in the old .xls format. Save it as .xlsx or as CSV.")
    if data.startswith(b"%PDF"):
        raise UnreadableFile("This is a PDF, which has no rows. Export the list as .xlsx or as CSV.")
    table = _workbook(data) if data.startswith(b"PK\x03\x04") else _separated(data)
    if len(table) > MOST_ROWS_READ:
        raise UnreadableFile(f"The file has more than {MOST_ROWS} rows. Export one class at a time.")
    return table


def _workbook(data: bytes) -> list[list[str]]:
    try:
        _refuse_bomb(data)
        book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        return list(_cells(book))
    except UnreadableFile:
        raise
    except BROKEN_WORKBOOK as error:
        raise UnreadableFile(
            "This file is not a workbook that can be read. Save the class list as CSV and choose that file."
        ) from error


def _refuse_bomb(data: bytes) -> None:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        if sum(part.file_size for part in archive.infolist()) > LARGEST_UNPACKED_BYTES:
            raise UnreadableFile("The workbook unpacks to more than a class list needs. Save it as CSV.")


def _cells(book: Any) -> Iterator[list[str]]:
    """The first sheet; a workbook may consist of charts only."""
    if not book.worksheets:
        return
    rows = book.worksheets[0].iter_rows(max_row=MOST_ROWS_READ + 1, max_col=MOST_COLUMNS, values_only=True)
    for row in rows:
        cells = [_text(cell) for cell in row]
        while cells and not cells[-1]:
            cells.pop()
        yield cells


def _text(cell: Any) -> str:
    if cell is None:
        return ""
    if isinstance(cell, float) and cell.is_integer():
        return str(int(cell))
    return str(cell)


def _separated(data: bytes) -> list[list[str]]:
    text = _decoded(data)
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text), strict=True)
    table: list[list[str]] = []
    try:
        for row in lines:
            table.append(row[:MOST_COLUMNS])
            if len(table) > MOST_ROWS_READ:
                break
    except csv.Error as error:
        raise UnreadableFile(
            f"Line {lines.line_num} cannot be read: its quotation marks do not pair. Correct it and choose "
            "the file again."
        ) from error
    return table


def _decoded(data: bytes) -> str:
    marked = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    encodings = ["utf-16"] if marked else ["utf-8-sig", "cp1252"]
    for encoding in encodings:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    raise UnreadableFile("This file is not a table of text. Save the class list as CSV (UTF-8) or .xlsx.")


def _delimiter(text: str) -> str:
    """The sign that parts the headings; offices in many countries use semicolons.

    Decided by the headings, since a single column of "Last, First" names has commas that part nothing.
    """
    lines = [line for line in text.splitlines()[:10] if line.strip()]
    for line in lines:
        for sign in ",;\t":
            if are_headings(line.replace('"', "").split(sign)):
                return sign if sign in line else "\t"
    return max(",;\t", key=lines[0].count) if lines else ","
