"""Takes the cells out of a table that somebody exported: CSV in the usual spellings, or an XLSX workbook."""

import csv
import io
import zipfile
import zlib
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import openpyxl
from openpyxl.utils.exceptions import InvalidFileException

LARGEST_BYTES = 5 * 1024 * 1024
#: A workbook is a packed archive: a small file may unpack to far more than it says.
LARGEST_UNPACKED_BYTES = 60 * 1024 * 1024
#: Headings and empty rows may stand beside the rows that count.
ROWS_BESIDE = 50
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


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the table holds, such as "class list"; how many rows at most; how its headings are known."""

    what: str
    most_rows: int
    too_many: str
    are_headings: Callable[[Sequence[str]], bool]


def read_cells(data: bytes, wanted: Wanted) -> list[list[str]]:
    """Return rows of cells as text; CSV and XLSX are told apart by content, not by name.

    Parameters
    ----------
    data : bytes
        The file [-].
    wanted : Wanted
        What it should hold [-].

    Returns
    -------
    list of list of str
        Rows in the order of the file; the first sheet of a workbook.

    Raises
    ------
    UnreadableFile
        If the file is empty, too large, of another format or damaged; the message says what to do.

    References
    ----------
    .. [1] RFC 4180 (CSV); ISO/IEC 29500 (XLSX). Semicolons and old encodings: common practice, no source.
    """
    if not data.strip():
        raise UnreadableFile(f"The file is empty. Choose the file with the {wanted.what}.")
    if len(data) > LARGEST_BYTES:
        raise UnreadableFile(f"The file is larger than 5 MB, which no {wanted.what} is. Choose another one.")
    if data.startswith(b"\xd0\xcf\x11\xe0"):
        raise UnreadableFile("This is a workbook in the old .xls format. Save it as .xlsx or as CSV.")
    if data.startswith(b"%PDF"):
        raise UnreadableFile("This is a PDF, which has no rows. Export the list as .xlsx or as CSV.")
    table = _workbook(data, wanted) if data.startswith(b"PK\x03\x04") else _separated(data, wanted)
    if len(table) > wanted.most_rows + ROWS_BESIDE:
        raise UnreadableFile(f"The file has more than {wanted.most_rows} rows. {wanted.too_many}")
    return table


def _workbook(data: bytes, wanted: Wanted) -> list[list[str]]:
    try:
        _refuse_bomb(data, wanted.what)
        book = openpyxl.load_workbook(io.BytesIO(data), read_only=True, data_only=True, keep_links=False)
        return list(_cells(book, wanted.most_rows))
    except UnreadableFile:
        raise
    except BROKEN_WORKBOOK as error:
        raise UnreadableFile(
            "This file is not a workbook that can be read. "
            f"Save the {wanted.what} as CSV and choose that file."
        ) from error


def _refuse_bomb(data: bytes, what: str) -> None:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        if sum(part.file_size for part in archive.infolist()) > LARGEST_UNPACKED_BYTES:
            raise UnreadableFile(f"The workbook unpacks to more than a {what} needs. Save it as CSV.")


def _cells(book: Any, most_rows: int) -> Iterator[list[str]]:
    """The first sheet; a workbook may consist of charts only."""
    if not book.worksheets:
        return
    rows = book.worksheets[0].iter_rows(
        max_row=most_rows + ROWS_BESIDE + 1, max_col=MOST_COLUMNS, values_only=True
    )
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


def _separated(data: bytes, wanted: Wanted) -> list[list[str]]:
    text = _decoded(data, wanted.what)
    lines = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text, wanted), strict=True)
    table: list[list[str]] = []
    try:
        for row in lines:
            table.append(row[:MOST_COLUMNS])
            if len(table) > wanted.most_rows + ROWS_BESIDE:
                break
    except csv.Error as error:
        raise UnreadableFile(
            f"Line {lines.line_num} cannot be read: its quotation marks do not pair. Correct it and choose "
            "the file again."
        ) from error
    return table


def _decoded(data: bytes, what: str) -> str:
    marked = data.startswith((b"\xff\xfe", b"\xfe\xff"))
    encodings = ["utf-16"] if marked else ["utf-8-sig", "cp1252"]
    for encoding in encodings:
        try:
            text = data.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\0" not in text:
            return text
    raise UnreadableFile(f"This file is not a table of text. Save the {what} as CSV (UTF-8) or .xlsx.")


def _delimiter(text: str, wanted: Wanted) -> str:
    """The sign that parts the headings; offices in many countries use semicolons.

    Decided by the headings, since a single column of "Last, First" names has commas that part nothing.
    """
    lines = [line for line in text.splitlines()[:10] if line.strip()]
    for line in lines:
        for sign in ",;\t":
            if wanted.are_headings(line.replace('"', "").split(sign)):
                return sign if sign in line else "\t"
    return max(",;\t", key=lines[0].count) if lines else ","
