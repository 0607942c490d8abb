"""PDFs as they leave the renderer, read back; QR codes against the symbology's own numbers."""

import hashlib
import logging
import os
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pikepdf
import pytest

from reagents import rendering
from reagents.rendering import (
    Attachment,
    PartMissing,
    PdfUnavailable,
    missing_native_libraries,
    qr_svg,
    render_pdf,
)
from tests.documents.reading import attachments, open_pdf, page_texts, rectangles_mm

CREATED = datetime(2026, 12, 8, 9, 30, tzinfo=UTC)
RAW = Attachment("readings.csv", b"lane,mm\n1,56.0\n", CREATED, CREATED, "Raw readings")
PAGE = """{% extends "documents/base.html" %}{% block content %}<h1>Batch {{ code }}</h1>
<p>Made in the prep room.</p><figure>
<svg class="actual-size" width="100mm" height="20mm" viewBox="0 0 100 20" role="img"><title>A paper</title>
<rect width="100" height="20" fill="#eee"/></svg></figure>{{ more|safe }}{% endblock %}"""

needs_pdf = pytest.mark.skipif(
    bool(missing_native_libraries()), reason="native libraries of PDFs are missing"
)


@pytest.fixture
def template(settings, tmp_path):
    (tmp_path / "batch.html").write_text(PAGE)
    settings.TEMPLATES = [
        {**settings.TEMPLATES[0], "DIRS": [tmp_path, *settings.TEMPLATES[0]["DIRS"]]},
        *settings.TEMPLATES[1:],
    ]
    return "batch.html"


def made(template, more="", **options):
    context = {"code": "K7L1", "more": more}
    return render_pdf(template, context, title="Batch K7L1", created=CREATED, **options)


@needs_pdf
def test_same_input_gives_same_bytes(template):
    assert made(template, attachments=[RAW]) == made(template, attachments=[RAW])


@needs_pdf
@pytest.mark.slow
def test_another_process_gives_same_bytes(template, settings, tmp_path):
    script = tmp_path / "once.py"
    script.write_text(
        "import os, sys, hashlib, django\n"
        f"sys.path.insert(0, {str(settings.BASE_DIR)!r})\n"
        "from django.conf import settings\n"
        "django.setup()\n"
        f"settings.TEMPLATES[0]['DIRS'].insert(0, {str(tmp_path)!r})\n"
        "from tests.reagents.test_rendering import RAW, made\n"
        "print(hashlib.sha256(made('batch.html', attachments=[RAW])).hexdigest())\n"
    )
    said = subprocess.run(
        [sys.executable, str(script)],
        env={**os.environ, "PYTHONHASHSEED": "7"},
        capture_output=True,
        text=True,
        check=True,
    )
    assert said.stdout.strip() == hashlib.sha256(made(template, attachments=[RAW])).hexdigest()


@needs_pdf
def test_claims_archive_and_accessible_grades_iso_19005_3_and_iso_14289_1(template):
    # ISO 19005-3:2012, 6.6.4 (part and conformance in the XMP); ISO 14289-1:2014, clause 5 (part).
    with open_pdf(made(template)) as pdf, pdf.open_metadata() as xmp:
        assert (xmp["pdfaid:part"], xmp["pdfaid:conformance"]) == ("3", "A")
        assert b'pdfuaid:part="1"' in pdf.Root.Metadata.read_bytes()


@needs_pdf
def test_undescribed_property_is_described_iso_19005_3_6_6_2_3(template):
    with open_pdf(made(template)) as pdf:
        xmp = pdf.Root.Metadata.read_bytes()
    assert b"<pdfaSchema:namespaceURI>http://www.aiim.org/pdfua/ns/id/</pdfaSchema:namespaceURI>" in xmp


@needs_pdf
def test_has_what_a_reader_aloud_needs_iso_14289_1(template):
    # ISO 14289-1:2014, 7.1 and 7.2: tagged, language, title shown; 7.3: alternative of each figure.
    with open_pdf(made(template)) as pdf:
        root = pdf.Root
        assert bool(root.MarkInfo.Marked)
        assert str(root.Lang).lower() == "en-gb"
        assert bool(root.ViewerPreferences.DisplayDocTitle)
        assert str(pdf.docinfo.Title) == "Batch K7L1"
        figures = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and o.get("/S") == "/Figure"]
        assert "A paper" in [str(figure.get("/Alt")) for figure in figures]
        assert root.OutputIntents[0].S == "/GTS_PDFA1"


@needs_pdf
def test_attachment_is_inside_with_its_date_and_relationship(template):
    data = made(template, attachments=[RAW])
    assert attachments(data) == {"readings.csv": RAW.data}
    with open_pdf(data) as pdf:
        assert pdf.Root.AF[0].AFRelationship == "/Data"
        assert str(pdf.Root.AF[0].EF.F.Params.ModDate) == "D:20261208093000Z"


@needs_pdf
def test_only_our_typeface_is_used_and_is_embedded(template):
    with open_pdf(made(template, more="<p><i>R</i><sub>f</sub> ± 0.01 × µ ₂ ° −</p>")) as pdf:
        fonts = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and "/FontName" in o]
        assert fonts
        assert all("IBM-Plex-Sans" in str(font.FontName) for font in fonts)
        assert all("/FontFile2" in font or "/FontFile3" in font for font in fonts)


@needs_pdf
def test_title_date_and_page_of_pages_stand_on_every_page(template):
    texts = page_texts(made(template, more='<p class="new-page">Second page</p>'))
    assert [f"Page {n} of 2" in text for n, text in enumerate(texts, start=1)] == [True, True]
    assert all("Batch K7L1" in text and "8 December 2026" in text for text in texts)


@needs_pdf
def test_heading_of_a_table_repeats_and_no_row_is_cut(template):
    # Nine lines a row: fewer would stay together by the rule for orphans alone.
    lines = [[f"row {n} line {k}." for k in range(9)] for n in range(20)]
    rows = "".join(f"<tr><td>{'<br>'.join(row)}</td></tr>" for row in lines)
    texts = page_texts(made(template, more=f"<table><thead><tr><th>Part</th></tr></thead>{rows}</table>"))
    assert len(texts) > 2
    assert all("Part" in text for text in texts)
    assert all(any(" ".join(row) in text for text in texts) for row in lines)


@needs_pdf
def test_figure_stays_with_its_caption(template):
    # Somewhere among these heights the drawing alone fits under the heading, but not with its caption.
    for height in range(195, 225, 3):
        more = (
            f'<figure><svg width="100mm" height="{height}mm" viewBox="0 0 100 {height}"><title>Tall</title>'
            '<text x="9" y="9" font-size="5">Drawing</text></svg><figcaption>Caption</figcaption></figure>'
        )
        texts = page_texts(made(template, more=more))
        assert [("Drawing" in text) == ("Caption" in text) for text in texts] == [True] * len(texts)


@needs_pdf
def test_actual_size_is_actual(template):
    # A point is 1/72 inch (ISO 32000-1, 8.3.2.3), an inch 25.4 mm: the drawn rectangle is 100 mm by 20 mm.
    assert (100.0, 20.0) in rectangles_mm(made(template))


@needs_pdf
def test_renderer_has_nothing_to_complain_about(template, caplog):
    with caplog.at_level(logging.WARNING, logger="weasyprint"):
        made(template)
    assert caplog.messages == []


@needs_pdf
@pytest.mark.parametrize(
    "address",
    ["http://127.0.0.1:9/x.png", "file:///etc/hostname", "static:../settings.py", "part:other.png", "x.png"],
)
def test_picture_from_elsewhere_stops_the_document(template, address):
    with pytest.raises(PartMissing, match=r"batch\.html"):
        made(template, more=f'<img alt="" src="{address}">', parts={"photo.png": b""})


@needs_pdf
def test_handed_over_picture_is_used(template):
    svg = b'<svg xmlns="http://www.w3.org/2000/svg" width="9" height="9"><rect width="9" height="9"/></svg>'
    plain = made(template)
    assert len(made(template, more='<img alt="Dot" src="part:dot.svg">', parts={"dot.svg": svg})) > len(plain)


def test_date_without_zone_is_refused():
    with pytest.raises(ValueError, match="time zone"):
        render_pdf("documents/base.html", {}, title="T", created=CREATED.replace(tzinfo=None))


def test_missing_libraries_are_said_with_their_packages(monkeypatch):
    monkeypatch.setattr(rendering, "missing_native_libraries", lambda: ["pango-1.0", "harfbuzz-subset"])
    with pytest.raises(PdfUnavailable, match=r"pango-1\.0, harfbuzz-subset.*apt-get") as refused:
        render_pdf("documents/base.html", {}, title="T", created=CREATED)
    assert refused.value.missing == ["pango-1.0", "harfbuzz-subset"]


def test_library_that_does_not_open_is_named(monkeypatch):
    monkeypatch.setitem(rendering.NATIVE_LIBRARIES, "no-such-thing", ("libno-such-thing.so.0", "none"))
    assert "no-such-thing" in missing_native_libraries()


@needs_pdf
def test_fonts_are_unpacked_once_and_found_again(settings, tmp_path):
    settings.HOME = tmp_path
    first = rendering._font_configuration()
    stamp = first.stat().st_mtime_ns
    assert rendering._font_configuration() == first
    assert first.stat().st_mtime_ns == stamp
    assert sorted(path.suffix for path in Path(first.parent).glob("*.ttf")) == [".ttf"] * 3


def test_unpacking_gives_way_to_another_process(settings, tmp_path):
    settings.HOME = tmp_path
    folder = rendering._font_configuration().parent
    rendering._unpack_fonts([rendering._font_source(name) for name in rendering.FONT_FILES], folder)
    assert [path.name for path in tmp_path.iterdir()] == [folder.name]


def test_qr_has_finder_patterns_and_quiet_zone_iso_18004():
    # ISO/IEC 18004: version 1 is 21 modules wide, each finder pattern 7 x 7, quiet zone 4 modules.
    svg = str(qr_svg("K7L1"))
    assert 'viewBox="0 0 29 29"' in svg
    for corner_x, corner_y in ((4, 4), (18, 4), (4, 18)):
        assert all(f"M{corner_x + step} {corner_y}h1" in svg for step in range(7))
        assert f"M{corner_x + 1} {corner_y + 1}h1" not in svg


def test_qr_passes_the_content_policy_and_escapes_its_title():
    svg = str(qr_svg("https://x.test/?a=1&b=<2>", size_mm=25))
    assert "style=" not in svg
    assert 'width="25mm"' in svg
    assert "<title>QR code: https://x.test/?a=1&amp;b=&lt;2&gt;</title>" in svg
