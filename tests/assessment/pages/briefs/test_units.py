"""Units by their pages: from a table with a preview, typed in row by row, edition after edition."""

import io
from uuid import uuid4

import openpyxl
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse
from django.utils.html import escape

from assessment.actions.add_unit import add_unit
from assessment.models import Unit
from tests.assessment.actions.test_add_unit import FILE
from tests.factories import NOW

TABLE = "\ufeffCode;Level;Text;Evidence\r\nP1;pass;Read a paper.;readings 2 + photo\r\nM1;merit;Argue.;\r\n"


def upload(client, data, **more):
    name = more.pop("name", "criteria.csv")
    given = {
        "once": str(uuid4()),
        "title": "Trial of tables",
        "levels": "pass, merit",
        "edition_of": "",
        **more,
    }
    return client.post(reverse("briefs:import_unit"), {"file": SimpleUploadedFile(name, data), **given})


def typed(rows, **more):
    data = {"once": str(uuid4()), "title": "Typed", "levels": "pass, merit", "edition_of": "", "about": ""}
    data |= {"form-TOTAL_FORMS": str(len(rows)), "form-INITIAL_FORMS": "0"}
    for place, row in enumerate(rows):
        for name, value in zip(("code", "level", "text", "evidence"), row, strict=False):
            data[f"form-{place}-{name}"] = value
    return data | more


def type_in(client, rows, query="", **more):
    return client.post(reverse("briefs:type_unit") + query, typed(rows, **more))


def test_a_table_is_shown_first_and_kept_only_when_that_is_sent(cast, as_):
    client = as_(cast.teacher)
    page = upload(client, TABLE.encode())
    assert "complete readings of 2 papers" in page.content.decode()
    assert not Unit.objects.exists()
    sent = {"once": str(uuid4()), "text": page.context["text"].replace("\n", "\r\n")}
    answer = client.post(reverse("briefs:add_unit"), sent)
    unit = Unit.objects.get()
    assert answer.url == reverse("briefs:unit", args=[unit.uuid])
    assert [(c.code, c.level, c.text) for c in unit.criteria.all()] == [
        ("P1", "pass", "Read a paper."),
        ("M1", "merit", "Argue."),
    ]
    assert unit.criteria.first().asks_for == ["complete readings of 2 papers", "1 photo of the paper"]


def test_a_workbook_is_read_as_well(cast, as_):
    book, held = openpyxl.Workbook(), io.BytesIO()
    for row in (["Code", "Level", "Text", "Photo"], ["P1", "pass", "Show it.", 2.0]):
        book.active.append(row)
    book.save(held)
    page = upload(as_(cast.teacher), held.getvalue(), name="criteria.xlsx").content.decode()
    assert "2 photos of the paper" in page


def test_faulty_rows_are_named_and_nothing_is_kept(cast, as_):
    data = TABLE.replace("M1;merit", "P1;credit").encode()
    page = upload(as_(cast.teacher), data).content.decode()
    assert "The code P1 stands in row 2 too" in page
    assert "“credit” is none of the levels pass, merit." in page
    assert "Trial of tables" in page
    assert not Unit.objects.exists()


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "The file is empty"),
        (b"%PDF-1.7", "This is a PDF"),
        (b"Name,Mark\nAda,5\n", "No headings for criteria"),
        (b"\x00\x01\x02", "not a table of text"),
        (b"PK\x03\x04 nothing", "not a workbook"),
        (TABLE.replace("photo", "1e9").encode(), "no kind of evidence"),
        (TABLE.replace("readings 2", "readings -1").encode(), "no whole number"),
    ],
)
def test_what_cannot_be_read_is_said_in_a_sentence(cast, as_, data, sentence):
    page = upload(as_(cast.teacher), data)
    assert page.status_code == 200
    assert sentence in page.content.decode()


def test_a_table_may_be_the_next_edition_of_a_unit(cast, as_):
    first = add_unit(by=cast.teacher, text=FILE, now=NOW)
    client = as_(cast.teacher)
    page = upload(client, TABLE.encode(), edition_of=first.pk, title="A trial")
    assert "edition 2 of this unit" in page.content.decode()
    client.post(reverse("briefs:add_unit"), {"once": str(uuid4()), "text": page.context["text"]})
    assert Unit.objects.filter(slug=first.slug).count() == 2
    assert first.criteria.get(code="M1").asks_for == []


def test_a_known_title_does_not_become_the_next_edition_unasked(cast, as_):
    first = add_unit(by=cast.teacher, text=FILE, now=NOW)
    page = upload(as_(cast.teacher), TABLE.encode(), title=first.title.upper()).content.decode()
    assert "of this title is here already" in page


def test_a_unit_is_typed_in_and_empty_rows_do_not_count(cast, as_):
    rows = [("P1", "pass", "Read.", "readings 2"), ("", "", "", ""), ("M1", "merit", "Argue.", "")]
    answer = type_in(as_(cast.lead_verifier), rows, about="Invented.")
    unit = Unit.objects.get()
    assert answer.url == reverse("briefs:unit", args=[unit.uuid])
    assert (unit.slug, unit.criteria.count(), "Invented." in unit.text) == ("typed", 2, True)


@pytest.mark.parametrize(
    ("rows", "more", "sentence"),
    [
        ([], {}, "no criterion"),
        ([("P1", "pass", "Read."), ("p1", "pass", "Kept text.")], {}, "stands further up already"),
        ([("", "pass", "Kept text.")], {}, "Give this criterion a code"),
        ([("P1", "", "Kept text.")], {}, "at which level"),
        ([("P1", "pass", "", "photo")], {}, "Write what it asks"),
        ([("P1", "credit", "Kept text.")], {}, "none of pass, merit"),
        ([("P1", "pass", "Kept text.", "smell")], {}, "no kind of evidence"),
        ([("P1", "pass", "Kept text.")], {"title": ""}, "Give the unit a title"),
        ([("P1", "pass", "Kept text.")], {"levels": ","}, "needs a name"),
        ([("P1", "pass", "Kept text.")], {"levels": "pass, pass"}, "stands twice"),
        ([("P1", "pass", "Kept text.")], {"edition_of": "1e9"}, "Choose again"),
        ([("P1", "pass", "Kept\x00 text.")], {}, "Null characters"),
        ([("P1", "pass", "Kept text.")], {"form-TOTAL_FORMS": "many"}, "ManagementForm"),
    ],
)
def test_what_is_wrong_is_said_and_what_was_typed_is_kept(cast, as_, rows, more, sentence):
    page = type_in(as_(cast.teacher), rows, **more)
    assert page.status_code == 200
    text = page.content.decode()
    assert escape(sentence) in text
    assert "form-TOTAL_FORMS" in more or all("Kept text." in text for row in rows if "Kept text." in row)
    assert not Unit.objects.exists()


def test_more_rows_keep_what_was_typed_and_judge_nothing(cast, as_):
    page = type_in(as_(cast.teacher), [("P1", "", "Kept.", "smell")], more="yes", title="")
    assert len(page.context["rows"].forms) == 7
    assert "Kept." in page.content.decode()
    assert "no kind of evidence" not in page.content.decode()


@pytest.mark.parametrize("total", ["-1", "1e9", "", "99999999999", "٣"])
def test_an_odd_number_of_rows_asks_for_no_flood(cast, as_, total):
    page = type_in(as_(cast.teacher), [], **{"more": "yes", "form-TOTAL_FORMS": total})
    assert len(page.context["rows"].forms) <= 206


def test_the_next_edition_starts_from_the_one_that_is_here(cast, as_):
    text = FILE.replace('title = "A trial"', 'title = "A trial"\nabout = "Kept."')
    first = add_unit(by=cast.teacher, text=text, now=NOW)
    client = as_(cast.teacher)
    page = client.get(reverse("briefs:type_unit") + f"?from={first.uuid}")
    rows = [[form.initial.get(name, "") for name in ("code", "level", "text", "evidence")]
            for form in page.context["rows"].forms]  # fmt: skip
    assert rows[0] == ["P1", "pass", "Read a paper.", "readings 2"]
    rows[1][2] = "Argue well."
    head = {name: page.context["form"].initial[name] for name in ("title", "levels", "about")}
    type_in(client, rows, edition_of=first.pk, **head)
    second = Unit.objects.get(edition=2)
    assert second.criteria.get(code="M1").text == "Argue well."
    assert "Kept." in second.text
    assert client.get(reverse("briefs:type_unit") + "?from=nonsense").status_code == 200
