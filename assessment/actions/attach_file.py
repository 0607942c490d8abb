"""Add a report or notebook page made elsewhere to work that is not handed in yet."""

import re
from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction

from assessment.access import own_works
from assessment.actions.save_writing import AlreadySubmitted
from assessment.models import Attachment, Work
from assessment.models.attempt_state import open_attempt
from practicals import audit
from practicals.actions.keep_file import keep_file
from practicals.calculations.photo import MEDIA_TYPE, PhotoError, ready_photo
from practicals.models import User

PDF = "application/pdf"
LARGEST = 20 * 1024 * 1024
MOST_ATTACHMENTS = 12
_BINARY = re.compile(rb"[\x00-\x08\x0e-\x1f]")


def attach_file(*, by: User, work: Work, kind: str, title: str, content: bytes, now: datetime) -> Attachment:
    """Keep a PDF, a photo or plain text; a photo is kept upright and without its place.

    The kind of file is told from its bytes, never from its name.
    """
    if not by.has_perm("assessment.do_work") or not own_works(by).filter(pk=work.pk).exists():
        raise PermissionDenied
    if not title.strip():
        raise ValidationError("Give it a title, such as “notebook, page 12”.")
    content, media_type = readable(content)
    with transaction.atomic():
        work = Work.objects.select_for_update(of=("self",)).get(pk=work.pk)
        if open_attempt(work) is None:
            raise AlreadySubmitted
        if work.attachments.count() >= MOST_ATTACHMENTS:
            raise ValidationError(
                f"{MOST_ATTACHMENTS} files have been added to this work, withdrawn ones included. "
                "No more are kept."
            )
        kept = keep_file(content=content, media_type=media_type, now=now)
        try:
            with transaction.atomic():
                added: Attachment = Attachment.objects.create(
                    work=work, kind=kind, title=title.strip(), file=kept, added_by=by, added_at=now
                )
        except IntegrityError as error:
            raise ValidationError("This very file is attached already.") from error
        audit.record(
            by=by,
            action="attach_file",
            subject=added,
            sentence="A file was attached to the work.",
            detail={"sha256": kept.sha256},
        )
    return added


def readable(content: bytes) -> tuple[bytes, str]:
    """The bytes to keep and what they are, or a sentence on why they are not kept."""
    if not content:
        raise ValidationError("The file is empty. Choose another one.")
    if len(content) > LARGEST:
        raise ValidationError(
            f"The file has {len(content) / 1024 / 1024:.0f} MB, at most {LARGEST // 1024 // 1024} MB. "
            "Save a smaller copy."
        )
    if content.startswith(b"%PDF-"):
        return content, PDF
    if _is_text(content):
        return content, "text/plain"
    try:
        photo = ready_photo(content)
    except PhotoError as error:
        raise ValidationError(
            f"Kept are PDF, photos and plain text. {error} Save a document as PDF first."
        ) from error
    return photo.content, MEDIA_TYPE


def _is_text(content: bytes) -> bool:
    if _BINARY.search(content):
        return False
    try:
        content.decode("utf-8")
    except UnicodeDecodeError:
        return False
    return True
