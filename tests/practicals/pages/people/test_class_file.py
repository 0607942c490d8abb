"""Files as offices send them; the names in them are invented."""

import io
import random
import zipfile

import openpyxl
import pytest

from practicals.calculations.table_cells import LARGEST_UNPACKED_BYTES
from practicals.pages.people.class_file import UnreadableFile, read_table


def workbook(rows, **more):
    book = openpyxl.Workbook()
    for row in rows:
        book.active.append(row)
    held = io.BytesIO()
    book.save(held)
    return held.getvalue()


@pytest.mark.parametrize(
    "data",
    [
        b"Name,Number\nAda Okafor,7\n",
        b"Name;Number\r\nAda Okafor;7\r\n",
        b"Name\tNumber\nAda Okafor\t7",
        b"\xef\xbb\xbfName,Number\nAda Okafor,7\n",
        "Name,Number\nAda Okafor,7\n".encode("utf-16"),
        b'"Name","Number"\n"Ada Okafor","7"\n',
        b"Name,Number\rAda Okafor,7\r",
    ],
)
def test_one_table_in_the_usual_spellings_of_csv(data):
    assert read_table(data) == [["Name", "Number"], ["Ada Okafor", "7"]]


# RFC 4180, section 2: commas, line breaks and doubled quotation marks inside quoted cells.
def test_quoted_cells_rfc_4180():
    assert read_table(b'Name,No\r\n"Okafor, ""Ada""\r\nMay",7\r\n')[1] == ['Okafor, "Ada"\r\nMay', "7"]


def test_accents_of_an_old_office_encoding_are_read():
    assert read_table("Name;No\nZoë Ñúñez;7".encode("cp1252"))[1] == ["Zoë Ñúñez", "7"]


def test_commas_in_a_single_column_of_names_part_nothing():
    assert read_table(b"Name\nOkafor, Ada\n") == [["Name"], ["Okafor, Ada"]]


def test_a_title_above_the_headings_does_not_decide_the_delimiter():
    assert read_table(b"Class 12B, autumn, Lab 2\nName;No\nOkafor, Ada;7")[2] == ["Okafor, Ada", "7"]


def test_a_workbook_is_read_with_whole_numbers_as_people_see_them():
    rows = read_table(workbook([["Name", "No", "Born"], ["Ada Okafor", 7.0, None], ["Bo Lind", 8, 1.5]]))
    assert rows == [["Name", "No", "Born"], ["Ada Okafor", "7"], ["Bo Lind", "8", "1.5"]]


def zipped(**parts):
    held = io.BytesIO()
    with zipfile.ZipFile(held, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in parts.items():
            archive.writestr(name, content)
    return held.getvalue()


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "is empty"),
        (b" \r\n ", "is empty"),
        (b"%PDF-1.7\n\x00\x01\x02\x03", "This is a PDF"),
        (b"\x89PNG\r\n\x1a\n\x00\x00\x00", "not a table of text"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1rest", "old .xls format"),
        (b"PK\x03\x04 and then nothing", "not a workbook"),
        (zipped(mimetype="application/vnd.oasis.opendocument.spreadsheet"), "not a workbook"),
        (zipped(**{"[Content_Types].xml": "<not xml"}), "not a workbook"),
        (b'Name,No\n"Ada,7\nBo,8', "quotation marks"),
        (b'Name,No\n"Ada"x,7\n', "quotation marks"),
        (b"Name,No\n" + b"A" * 200_000, "cannot be read"),
        (b"\xff\xfe\x00", "not a table of text"),
        (b"Name\n" + b"Ada\n" * 600, "more than 500 rows"),
        (workbook([["Name"], *(["Ada"] for _ in range(600))]), "more than 500 rows"),
        (b"a" * (5 * 1024 * 1024 + 1), "larger than 5 MB"),
    ],
)
def test_what_is_no_class_list_is_refused_with_what_to_do(data, says):
    with pytest.raises(UnreadableFile, match=says):
        read_table(data)


def test_a_small_workbook_that_unpacks_to_far_more_is_refused():
    bomb = zipped(**{"xl/worksheets/sheet1.xml": b"0" * (LARGEST_UNPACKED_BYTES + 1)})
    assert len(bomb) < 200_000
    with pytest.raises(UnreadableFile, match="unpacks to more"):
        read_table(bomb)


def test_a_workbook_with_one_cell_at_the_far_end_is_not_read_to_there():
    book = openpyxl.Workbook()
    book.active["A1"] = "Name"
    book.active["XFD1048576"] = "far away"
    held = io.BytesIO()
    book.save(held)
    with pytest.raises(UnreadableFile, match="more than 500 rows"):
        read_table(held.getvalue())


@pytest.mark.filterwarnings("ignore")
@pytest.mark.parametrize("seed", range(60))
def test_a_damaged_workbook_never_fails_otherwise(seed):
    draw = random.Random(seed)
    data = bytearray(workbook([["Name", "No"], ["Ada Okafor", 7]]))
    for _ in range(draw.randint(1, 40)):
        data[draw.randrange(4, len(data))] = draw.randrange(256)
    try:
        table = read_table(bytes(data))
    except UnreadableFile:
        return
    assert all(isinstance(cell, str) for row in table for cell in row)
