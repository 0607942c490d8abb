"""Keep a document that goes out, so that anyone can ask later whether it is ours and unaltered."""

from datetime import datetime

from django.db import transaction

from assessment.models import Assignment, IssuedDocument, Submission
from practicals import audit
from practicals.actions.keep_file import keep_file
from practicals.models import User


def keep_document(
    *,
    by: User,
    kind: str,
    title: str,
    pdf: bytes,
    submission: Submission | None = None,
    assignment: Assignment | None = None,
    evidence_sha256: str = "",
    made_for: User | None = None,
    now: datetime,
) -> IssuedDocument:
    """The row of this file. The same bytes again give the same row and change nothing.

    No permission of its own: whoever makes the document has checked who may have it.
    """
    file = keep_file(content=pdf, media_type="application/pdf", now=now)
    with transaction.atomic():
        # The file's row is the lock: of two people who print at once only one makes the row.
        type(file).objects.select_for_update().get(pk=file.pk)
        issued: IssuedDocument | None = IssuedDocument.objects.filter(file=file, kind=kind).first()
        if issued is None:
            issued = IssuedDocument.objects.create(
                kind=kind,
                submission=submission,
                assignment=assignment,
                title=title[:200],
                file=file,
                evidence_sha256=evidence_sha256,
                made_at=now,
                made_for=made_for,
            )
            audit.record(
                by=by,
                action="keep_document",
                subject=issued,
                sentence=f"Document issued: {kind}.",
                detail={"sha256": file.sha256},
            )
    return issued
