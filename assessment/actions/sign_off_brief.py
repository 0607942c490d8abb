"""Sign off one edition of a brief, by someone other than its author."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.models import Brief
from practicals import audit
from practicals.models import User


def sign_off_brief(*, by: User, brief: Brief, comment: str, now: datetime) -> Brief:
    """Record that the brief was checked and is fit to be issued. Signing twice changes nothing."""
    if not by.has_perm("assessment.sign_off_brief"):
        raise PermissionDenied
    if brief.author_id == by.pk:
        raise ValidationError("You wrote this brief. Someone else must check it before it is issued.")
    with transaction.atomic():
        brief = Brief.objects.select_for_update().get(pk=brief.pk)
        if brief.signed_off_at:
            return brief
        brief.signed_off_by, brief.signed_off_at, brief.sign_off_comment = by, now, comment
        brief.save(update_fields=["signed_off_by", "signed_off_at", "sign_off_comment"])
        audit.record(by=by, action="sign_off_brief", subject=brief, sentence=f"Brief “{brief}” signed off.")
    return brief
