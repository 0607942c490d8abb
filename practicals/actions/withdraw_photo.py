"""A photo that should not count. It is withdrawn, not deleted: what was submitted keeps its digest."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import own_photos
from practicals.audit import record
from practicals.calculations.photo import PhotoError
from practicals.models import PaperPhoto, Session, User


def withdraw_photo(*, by: User, photo: PaperPhoto, now: datetime) -> PaperPhoto:
    """Withdraw one's own photo until the session closes. A second time changes nothing."""
    if not by.has_perm("practicals.enter_readings") or not own_photos(by).filter(pk=photo.pk).exists():
        raise PermissionDenied
    paper = photo.paper
    with transaction.atomic():
        session = Session.objects.select_for_update().get(pk=paper.group.session_id)
        kept: PaperPhoto = PaperPhoto.objects.select_for_update().get(pk=photo.pk)
        if kept.withdrawn_at:
            return kept
        if session.closed_at:
            raise PhotoError("Your teacher has closed this session, so its photos no longer change.")
        kept.withdrawn_at = now
        kept.save(update_fields=["withdrawn_at"])
        record(
            by=by,
            action="withdraw_photo",
            subject=kept,
            sentence=f"A photo of paper {paper.letter} of group {paper.group.number} was withdrawn.",
        )
    return kept
