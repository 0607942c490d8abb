"""Files attached to a work, as a list with their addresses."""

from collections.abc import Iterable
from dataclasses import dataclass

from django.urls import reverse

from assessment.calculations.frozen_beside import FrozenAttachment
from assessment.models import Work
from assessment.models.attached_files import frozen_files


@dataclass(frozen=True, slots=True)
class AttachmentLine:
    """One file; `withdraw_url` is empty once it is handed in, `url` when the file was erased."""

    title: str
    kind: str
    size: int
    url: str
    withdraw_url: str = ""


def attachment_lines(work: Work) -> list[AttachmentLine]:
    """What will be handed in. Reads prefetched attachments without a query."""
    return [
        AttachmentLine(
            title=one.title,
            kind=one.get_kind_display(),
            size=one.file.size,
            url=reverse("attempts:attachment", args=[one.uuid]),
            withdraw_url=reverse("attempts:withdraw_attachment", args=[one.uuid]),
        )
        for one in work.attachments.all()
        if one.withdrawn_at is None
    ]


def frozen_lines(work: Work, frozen: Iterable[FrozenAttachment]) -> list[AttachmentLine]:
    """What was handed in, found again by its digest."""
    return [
        AttachmentLine(
            title=one.title,
            kind=one.kind,
            size=one.size,
            url=reverse("attempts:attachment", args=[one.kept.uuid]) if one.kept else "",
        )
        for one in frozen_files(work, frozen)
    ]
