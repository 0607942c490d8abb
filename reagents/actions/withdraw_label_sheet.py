"""Take a sheet of labels off the list that one chooses from."""

from datetime import datetime
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction

from reagents.models import LabelSheet
from reagents.signals import acted


@transaction.atomic
def withdraw_label_sheet(*, by: Any, sheet: LabelSheet, now: datetime) -> LabelSheet:
    """Withdraw it, once; the record stays."""
    if not by.has_perm("reagents.manage_label_sheets"):
        raise PermissionDenied
    kept: LabelSheet = LabelSheet.objects.select_for_update().get(pk=sheet.pk)
    if kept.withdrawn_at:
        return kept
    kept.withdrawn_at = now
    kept.version += 1
    kept.save(update_fields=["withdrawn_at", "version"])
    acted.send(
        sender=LabelSheet,
        by=by,
        action="withdraw_label_sheet",
        subject=kept,
        sentence=f"Label sheet “{kept.name}” withdrawn.",
    )
    return kept
