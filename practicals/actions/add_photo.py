"""A learner's photo of the paper they measured: kept upright, small enough, without its place."""

import hashlib
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import bench_papers
from practicals.actions.keep_file import keep_file
from practicals.audit import record
from practicals.calculations.photo import MEDIA_TYPE, Photo, PhotoError, ready_photo
from practicals.models import Paper, PaperPhoto, Session, User

#: Of one paper by one learner, those withdrawn included: each stays on disk.
MOST_PHOTOS = 10


def add_photo(*, by: User, paper: Paper, content: bytes, now: datetime) -> PaperPhoto:
    """Keep a photo until the session closes. The same one again is kept once; if withdrawn, it counts again.

    Raises `PhotoError` with a sentence when the file is no photo that can be kept.
    """
    if not by.has_perm("practicals.enter_readings") or not bench_papers(by).filter(pk=paper.pk).exists():
        raise PermissionDenied
    # Before the transaction: working on a large picture takes time, and others wait for the session's row.
    ready = ready_photo(content)
    with transaction.atomic():
        session = Session.objects.select_for_update().get(pk=paper.group.session_id)
        if session.closed_at:
            raise PhotoError(
                "Your teacher has closed this session, so no photo can be added. Ask your teacher."
            )
        photo = _row_of(ready, paper, by, now)
        if photo.pk and photo.withdrawn_at is None:
            return photo
        photo.withdrawn_at = None
        photo.save()
        record(
            by=by,
            action="add_photo",
            subject=photo,
            sentence=f"A photo of paper {paper.letter} of group {paper.group.number} was added.",
            detail={"sha256": photo.file.sha256},
        )
    return photo


def _row_of(ready: Photo, paper: Paper, learner: User, now: datetime) -> PaperPhoto:
    """The row that this photo has already, or a new one."""
    mine = PaperPhoto.objects.filter(paper=paper, learner=learner).select_related("file")
    sha256 = hashlib.sha256(ready.content).hexdigest()
    earlier: PaperPhoto | None = mine.filter(file__sha256=sha256).first()
    if earlier is not None:
        return earlier
    if mine.count() >= MOST_PHOTOS:
        raise PhotoError(
            f"You have sent {MOST_PHOTOS} photos of this paper, withdrawn ones included. No more are kept."
        )
    return PaperPhoto(
        paper=paper,
        learner=learner,
        file=keep_file(content=ready.content, media_type=MEDIA_TYPE, now=now),
        width_px=ready.width_px,
        height_px=ready.height_px,
        added_at=now,
    )
