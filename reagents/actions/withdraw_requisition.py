"""Withdraws a requisition that nothing has been made for."""

from datetime import datetime
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction

from reagents.models import Batch, Requisition
from reagents.signals import acted


def withdraw_requisition(*, by: Any, requisition: Requisition, now: datetime) -> Requisition:
    """Withdraw it once. One that batches were made for stays: what was made must be found again."""
    if not by.has_perm("reagents.draw_up_requisition"):
        raise PermissionDenied
    with transaction.atomic():
        kept: Requisition = Requisition.objects.select_for_update().get(pk=requisition.pk)
        made = Batch.objects.filter(line__requisition=kept).exists()
        if kept.withdrawn_at is None and not made:
            kept.withdrawn_at = now
            kept.save(update_fields=["withdrawn_at"])
            acted.send(
                sender=withdraw_requisition,
                by=by,
                action="withdraw_requisition",
                subject=kept,
                sentence="Withdrew what was asked of the technician.",
            )
        requisition.withdrawn_at = kept.withdrawn_at
    return kept
