"""Every file that goes out is known by its digest."""

from assessment.actions.check_document import check_document
from assessment.actions.keep_document import keep_document
from assessment.models import IssuedDocument
from practicals.models import AuditEntry
from tests.factories import NOW

PDF = b"%PDF-1.7 a brief"


def keep(cast, pdf=PDF):
    return keep_document(by=cast.teacher, kind="brief", title="Brief", pdf=pdf, now=NOW)


def test_a_kept_file_is_ours_and_one_byte_more_is_not(cast):
    keep(cast)
    assert check_document(content=PDF).verdict == "unaltered"
    assert check_document(content=PDF + b" ").verdict == "unknown"


def test_the_same_bytes_are_kept_once(cast):
    assert keep(cast) == keep(cast)
    assert keep(cast, PDF + b"!") != keep(cast)
    assert IssuedDocument.objects.count() == 2
    assert AuditEntry.objects.filter(action="keep_document").count() == 2
