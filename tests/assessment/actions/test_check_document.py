"""Is this file ours and unaltered? Every answer is a sentence, and names nobody."""

import json
from io import BytesIO, StringIO

import pikepdf
import pytest
from django.core.management import CommandError, call_command

from assessment.actions.check_document import LARGEST_BYTES, check_document, check_evidence_hash
from assessment.documents.make_portfolio import make_portfolio
from reagents.rendering import missing_native_libraries
from tests.assessment.documents.rich import decide_all, rich_submission
from tests.factories import NOW

needs_pdf = pytest.mark.skipif(
    bool(missing_native_libraries()), reason="native libraries of PDFs are missing"
)


@pytest.fixture
def submission(cast):
    return rich_submission(cast, papers=1, photo=False)


@pytest.fixture
def content(cast, submission):
    return make_portfolio(by=cast.teacher, submission=submission, now=NOW)[1]


def with_attachment(content, name, data):
    """The same PDF with another file under that name, as somebody would save it."""
    with pikepdf.open(BytesIO(content)) as pdf:
        pdf.attachments[name] = pikepdf.AttachedFileSpec(pdf, data)
        made = BytesIO()
        pdf.save(made)
    return made.getvalue()


def saved_again(content):
    with pikepdf.open(BytesIO(content)) as pdf:
        made = BytesIO()
        pdf.save(made)
    return made.getvalue()


@needs_pdf
def test_what_was_issued_is_unaltered(content, cast):
    found = check_document(content=content)
    assert (found.verdict, found.issued_at) == ("unaltered", NOW)
    assert cast.learner.name not in " ".join((found.headline, *found.sentences))


@needs_pdf
def test_one_other_byte_is_not_unaltered(content):
    at = content.index(b"/CreationDate") + 20
    other = content[:at] + bytes([content[at] ^ 1]) + content[at + 1 :]
    assert check_document(content=other).verdict in {"evidence matches", "unknown"}
    assert check_document(content=content + b"\n").verdict == "evidence matches"


@needs_pdf
def test_pages_changed_but_data_whole_is_said_apart(content):
    found = check_document(content=saved_again(content))
    assert found.verdict == "evidence matches"
    assert "the file has been changed" in found.headline


@needs_pdf
def test_changed_data_inside_is_found(content):
    other = with_attachment(content, "writing.json", b'{"conclusion":"Better","evaluation":""}')
    found = check_document(content=other)
    assert found.verdict == "evidence differs"
    assert "writing" in " ".join(found.sentences)


@needs_pdf
def test_added_part_is_found(content):
    found = check_document(content=with_attachment(content, "readings-9.json", b"{}"))
    assert found.verdict == "evidence differs"
    assert "readings-9" in found.sentences[0]


@needs_pdf
def test_manifest_of_ones_own_making_is_unknown(content):
    assert (
        check_document(content=with_attachment(content, "manifest.json", b'{"parts":{}}')).verdict
        == "unknown"
    )


@needs_pdf
def test_later_version_is_told(cast, submission, content):
    decide_all(submission)
    make_portfolio(by=cast.teacher, submission=submission, now=NOW.replace(year=2027))
    assert "A later version" in " ".join(check_document(content=content).sentences)


def bomb():
    """A small PDF with an attachment that unpacks to 200 MB."""
    pdf = pikepdf.new()
    pdf.add_blank_page()
    pdf.attachments["manifest.json"] = pikepdf.AttachedFileSpec(pdf, b"0" * 200_000_000)
    made = BytesIO()
    pdf.save(made, compress_streams=True)
    return made.getvalue()


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"", "empty"),
        (b"Dear all", "no PDF"),
        (b"%PDF-1.7\n" + bytes(range(256)) * 40, "cannot be read as a PDF"),
        (b"%PDF-" + b"[" * 100_000, "cannot be read as a PDF"),
        (b"x" * (LARGEST_BYTES + 1), "larger than 20 MB"),
    ],
    ids=["empty", "text", "noise", "nested", "huge"],
)
def test_anything_else_is_unknown_with_a_reason(db, content, why):
    found = check_document(content=content)
    assert found.verdict == "unknown"
    assert why in found.sentences[0]


def test_packed_giant_is_refused_before_it_is_unpacked(db):
    assert "cannot be read" in check_document(content=bomb()).sentences[0]


def test_pdf_without_attachments_is_unknown(db):
    made = BytesIO()
    pdf = pikepdf.new()
    pdf.add_blank_page()
    pdf.save(made)
    assert check_document(content=made.getvalue()).verdict == "unknown"


def test_hash_of_evidence_is_known_however_it_is_typed(submission):
    printed = submission.manifest_sha256.upper()
    found = check_evidence_hash(sha256=f" {printed[:30]} {printed[30:]}\n")
    assert found.headline == "We know a submission with this evidence hash."
    assert submission.work.learner.name not in " ".join(found.sentences)


@pytest.mark.parametrize("sha256", ["", "abc", "0" * 64, "g" * 64, "'; --", "٣" * 64])
def test_other_hashes_are_unknown(submission, sha256):
    assert check_evidence_hash(sha256=sha256).verdict == "unknown"


@needs_pdf
def test_command_says_the_same(content, tmp_path):
    path = tmp_path / "portfolio.pdf"
    path.write_bytes(content)
    said = StringIO()
    call_command("check_document", str(path), stdout=said)
    assert "Issued by us, unaltered." in said.getvalue()
    path.write_bytes(content + b" ")
    with pytest.raises(CommandError, match="file has been changed"):
        call_command("check_document", str(path))
    with pytest.raises(CommandError, match="cannot be read"):
        call_command("check_document", str(tmp_path / "absent.pdf"))


def test_manifest_holds_no_name(submission):
    assert submission.work.learner.name not in json.dumps(submission.manifest)
