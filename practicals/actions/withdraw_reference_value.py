"""Withdraw a published value that turned out wrong. It stays on record with the reason."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.audit import record
from practicals.models import ReferenceValue, User

LONGEST_REASON = 200


class CannotWithdrawReference(ValueError):
    """No reason, or a reason too long."""


def withdraw_reference_value(
    *, by: User, value: ReferenceValue, reason: str, now: datetime
) -> ReferenceValue:
    """Withdraw it once; a second time changes nothing."""
    if not by.has_perm("practicals.edit_practical"):
        raise PermissionDenied
    reason = " ".join(reason.split())
    if not reason:
        raise CannotWithdrawReference("Say why the value is withdrawn, for example “another ratio”.")
    if len(reason) > LONGEST_REASON:
        raise CannotWithdrawReference(f"At most {LONGEST_REASON} characters; yours has {len(reason)}.")
    with transaction.atomic():
        kept: ReferenceValue = ReferenceValue.objects.select_for_update().get(pk=value.pk)
        if kept.withdrawn_at is None:
            kept.withdrawn_at, kept.withdrawn_reason = now, reason
            kept.save(update_fields=["withdrawn_at", "withdrawn_reason"])
            record(
                by=by,
                action="withdraw_reference_value",
                subject=kept,
                sentence=f"A published value for {kept.analyte} was withdrawn.",
                detail={"reason": reason, "source": kept.source},
            )
    return kept
