"""Files handed in with a work, each found again by its digest."""

from collections.abc import Iterable
from dataclasses import dataclass

from assessment.calculations.frozen_beside import FrozenAttachment, read_attachments
from assessment.calculations.frozen_paper import FrozenTextError
from assessment.models.attempts import Attachment
from assessment.models.evidence import Submission, Work


@dataclass(frozen=True, slots=True)
class AttachedFile:
    """A file as it was frozen, or as it stands; `kept` is None when it was erased."""

    title: str
    kind: str
    size: int
    kept: Attachment | None


def frozen_files(work: Work, frozen: Iterable[FrozenAttachment]) -> list[AttachedFile]:
    """What was handed in. Reads prefetched attachments without a query."""
    kept = {one.file.sha256: one for one in work.attachments.all() if one.file.erased_at is None}
    return [AttachedFile(one.title, one.kind, one.size, kept.get(one.sha256)) for one in frozen]


def standing_files(work: Work) -> list[AttachedFile]:
    """What would be handed in now. Reads prefetched attachments without a query."""
    standing = [one for one in work.attachments.all() if one.withdrawn_at is None]
    return [AttachedFile(one.title, one.get_kind_display(), one.file.size, one) for one in standing]


def files_of(work: Work, submission: Submission | None) -> list[AttachedFile]:
    """As frozen in that submission; without one, as they stand."""
    if submission is None:
        return standing_files(work)
    part = next((one for one in submission.parts.all() if one.name == "attachments"), None)
    if part is None or part.erased_at is not None:
        return []
    try:
        return frozen_files(work, read_attachments(part.text))
    except FrozenTextError:
        return []
