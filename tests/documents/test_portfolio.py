"""The portfolio as a file, read back: grades claimed, actual size, page numbers, raw data inside."""

import hashlib
import json
import logging
from dataclasses import dataclass
from types import SimpleNamespace

import pikepdf
import pytest
from django.db import transaction

from assessment.documents.portfolio import gather_portfolio, portfolio_pdf
from practicals.models import Centre, Role
from reagents.rendering import missing_native_libraries
from tests.assessment.documents.rich import decide_all, release_result, rich_submission
from tests.documents.reading import attachments, open_pdf, page_texts, rectangles_mm
from tests.factories import make_class, make_user

pytestmark = [
    pytest.mark.django_db,
    pytest.mark.skipif(bool(missing_native_libraries()), reason="native libraries of PDFs are missing"),
]


@dataclass(frozen=True)
class Printed:
    """What was printed, with what the printer said; made once for all tests that only read it."""

    full: bytes
    again: bytes
    before: bytes
    learner: bytes
    large: bytes
    tall: bytes
    wide: bytes
    complaints: list[str]
    sha256: str


class Undo(Exception):
    pass


@pytest.fixture(scope="module")
def printed(django_db_setup, django_db_blocker):
    heard: list[str] = []
    handler = logging.Handler(logging.WARNING)
    handler.emit = lambda record: heard.append(record.getMessage())  # type: ignore[method-assign]
    logging.getLogger("weasyprint").addHandler(handler)
    made = None
    with django_db_blocker.unblock():
        try:
            with transaction.atomic():
                made = Printed(**print_all(), complaints=heard)
                raise Undo  # noqa: TRY301 -- the way out of the block that keeps nothing
        except Undo:
            pass
    logging.getLogger("weasyprint").removeHandler(handler)
    return made


def print_all():
    Centre(name="Invented College", invented_notice="Invented data for tests.").save()
    teacher = make_user("Tess Teacher", Role.TEACHER)
    cast = SimpleNamespace(
        teacher=teacher,
        teaching_class=make_class("Class 1P", teacher=teacher, learners=1),
        technician=make_user("Tam Technician", Role.TECHNICIAN),
        verifier=make_user("Vic Verifier", Role.VERIFIER),
    )
    cast.learner = cast.teaching_class.learners().get()
    submission = rich_submission(cast)
    before = pdf(submission, for_learner=True)
    decide_all(submission)
    release_result(submission)
    return {
        "full": pdf(submission),
        "again": pdf(submission),
        "before": before,
        "learner": pdf(submission, for_learner=True),
        "large": pdf(rich_submission(cast, papers=1, width=300, height=420, photo=False)),
        "tall": pdf(rich_submission(cast, papers=1, width=100, height=120, photo=False)),
        "wide": pdf(rich_submission(cast, papers=1, width=240, height=110, photo=False)),
        "sha256": submission.manifest_sha256,
    }


def pdf(submission, *, for_learner=False):
    return portfolio_pdf(gather_portfolio(submission, for_learner=for_learner))


def sized(data, width, height):
    """A rectangle of this size is drawn, to half a millimetre."""
    return any(abs(w - width) <= 0.5 and abs(h - height) <= 0.5 for w, h in rectangles_mm(data))


def test_paper_of_180_by_150_mm_is_drawn_at_actual_size(printed):
    # A point is 1/72 inch (ISO 32000-1, 8.3.2.3), an inch 25.4 mm.
    assert sized(printed.full, 180, 150)
    assert sized(printed.full, 100, 1.2)


def test_drawing_lies_on_its_page_whole(printed):
    # A4 is 210 mm by 297 mm (ISO 216); the scale stands 10 mm to the left of the paper.
    with open_pdf(printed.full) as pdf:
        sizes = {tuple(round(float(side) * 25.4 / 72) for side in page.mediabox[2:]) for page in pdf.pages}
    assert sizes == {(210, 297)}


@pytest.mark.parametrize(("name", "width", "height"), [("tall", 100, 120), ("wide", 240, 110)])
def test_other_papers_too(printed, name, width, height):
    assert sized(getattr(printed, name), width, height)


def test_wide_paper_gets_a_turned_page(printed):
    with open_pdf(printed.wide) as pdf:
        assert any(page.mediabox[2] > page.mediabox[3] for page in pdf.pages)


def test_paper_larger_than_a_page_is_drawn_smaller_and_says_so(printed):
    assert not sized(printed.large, 300, 420)
    text = " ".join(page_texts(printed.large))
    assert "50 % of its actual size" in text
    assert "printed at 100 %" not in text


def test_page_of_pages_stands_on_every_page_and_none_is_empty(printed):
    texts = page_texts(printed.full)
    for number, text in enumerate(texts, start=1):
        assert f"Page {number} of {len(texts)}" in text
        assert len(text) > 150


def test_contents_lead_to_the_pages_where_the_headings_stand(printed):
    texts = page_texts(printed.full)
    at = next(n for n, text in enumerate(texts, start=1) if "The learner’s declaration “This work" in text)
    contents = next(text for text in texts if "Contents" in text)
    assert contents.split("The learner’s declaration")[1].strip(" .").startswith(str(at))


def test_claims_archive_and_accessible_grades_iso_19005_3_and_iso_14289_1(printed):
    with open_pdf(printed.full) as pdf, pdf.open_metadata() as xmp:
        assert (xmp["pdfaid:part"], xmp["pdfaid:conformance"]) == ("3", "A")
        assert b'pdfuaid:part="1"' in pdf.Root.Metadata.read_bytes()
        assert "/StructTreeRoot" in pdf.Root
        assert str(pdf.Root.Lang).lower() == "en-gb"
        assert bool(pdf.Root.ViewerPreferences.DisplayDocTitle)
        assert str(pdf.docinfo.Title).startswith("Portfolio of ")
        assert {str(spec.AFRelationship) for spec in pdf.Root.AF} == {"/Data"}


def test_every_font_is_embedded(printed):
    with open_pdf(printed.full) as pdf:
        fonts = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and "/FontName" in o]
        assert fonts
        assert all("/FontFile2" in font or "/FontFile3" in font for font in fonts)


def test_every_figure_says_what_it_shows(printed):
    with open_pdf(printed.full) as pdf:
        figures = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/S") == "/Figure"]
        said = [str(figure.get("/Alt", "")) for figure in figures]
    assert all(said)
    assert any(text.startswith("Paper 180 mm wide and 150 mm high") for text in said)
    assert any("Photo 1 of Group 1, paper A" in text for text in said)


def test_bookmarks_follow_the_headings(printed):
    with open_pdf(printed.full) as pdf, pdf.open_outline() as outline:
        (top,) = outline.root
        titles = [item.title for item in top.children]
    assert top.title == "Portfolio"
    assert "Group 1, paper A: readings" in titles
    assert "Decisions, grade and feedback" in titles


def test_printer_has_nothing_to_complain_about(printed):
    assert printed.complaints == []


def test_equal_evidence_and_decisions_give_equal_bytes(printed):
    assert printed.full == printed.again


def test_raw_data_inside_gives_the_printed_hash(printed):
    inside = attachments(printed.full)
    assert hashlib.sha256(inside["manifest.json"]).hexdigest() == printed.sha256
    assert printed.sha256 in page_texts(printed.full)[0].replace(" ", "")
    for name, part in json.loads(inside["manifest.json"])["parts"].items():
        assert hashlib.sha256(inside[f"{name}.json"]).hexdigest() == part["sha256"]
    assert inside["readings.csv"].count(b"\r\n") == 9


def test_readings_their_rf_and_the_slips_stand_there(printed):
    # (45 - 15) / (95 - 15) = 0.375, shown as far as its uncertainty goes; 80 / 30 = 2.67 is the same
    # fraction upside down.
    text = " ".join(page_texts(printed.full))
    assert "2 alanine 1 – – 45.0 95.0 0.375 ± 0.0" in text
    assert "own value 2.67" in text
    assert "inverted" in text
    assert "Lane 4, unknown X: identified as leucine." in text


def test_decisions_stand_with_assessor_date_and_history(printed):
    text = " ".join(page_texts(printed.full))
    assert "Merit: D1 is not yet met." in text
    assert "the unit was overlooked" in text
    assert "Tess Teacher, Sat 28 Nov 2026, 15:00" in text
    assert "Sound work. Round, do not cut off." in text


def test_declaration_has_its_time_in_the_centres_zone(printed):
    assert "on Fri 27 Nov 2026, 14:00 (Europe/London)" in " ".join(page_texts(printed.full))


def test_learners_copy_before_the_release_holds_what_they_handed_in_and_no_more(printed):
    text = " ".join(page_texts(printed.before))
    assert "2.67" in text
    for hidden in ("inverted", "Merit", "Decisions, grade", "small even spots", "0.38"):
        assert hidden not in text
    assert not {"facts.json", "notes.json"} & attachments(printed.before).keys()
    assert b"0.38" not in attachments(printed.before)["readings.csv"]


def test_learners_copy_after_the_release_holds_the_result_but_no_decision_they_never_saw(printed):
    text = " ".join(page_texts(printed.learner))
    assert "Sound work. Round, do not cut off." in text
    assert "inverted" in text
    assert "Decisions that no longer stand" not in text


def test_invented_data_is_said_on_every_page(printed):
    assert all("Invented demo data" in text for text in page_texts(printed.full))
