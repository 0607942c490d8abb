"""Take an attached file out of work that is not handed in yet."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from assessment.access import own_works
from assessment.actions.save_writing import AlreadySubmitted
from assessment.models import Attachment, Work
from assessment.models.attempt_state import open_attempt
from practicals import audit
from practicals.models import User


def withdraw_attachment(*, by: User, attachment: Attachment, now: datetime) -> Attachment:
    """Take it out of what will be handed in; an attempt that holds it already keeps it."""
    mine = own_works(by).filter(pk=attachment.work_id)
    if not by.has_perm("assessment.do_work") or not mine.exists():
        raise PermissionDenied
    with transaction.atomic():
        work = Work.objects.select_for_update(of=("self",)).get(pk=attachment.work_id)
        if open_attempt(work) is None:
            raise AlreadySubmitted
        attachment = Attachment.objects.select_for_update().get(pk=attachment.pk)
        if attachment.withdrawn_at:
            return attachment
        attachment.withdrawn_at = now
        attachment.save(update_fields=["withdrawn_at"])
        audit.record(
            by=by,
            action="withdraw_attachment",
            subject=attachment,
            sentence="An attached file was withdrawn.",
        )
    return attachment
