"""Describe a sheet of labels, or put its description right."""

from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction

from reagents.calculations.label_layout import ImpossibleSheet, Sheet, check_sheet
from reagents.models import LabelSheet, claim_version
from reagents.signals import acted

LONGEST_NAME = 80


@transaction.atomic
def save_label_sheet(
    *,
    by: Any,
    name: str,
    described: Sheet,
    sheet: LabelSheet | None = None,
    seen_version: int | None = None,
) -> LabelSheet:
    """Keep a sheet; `ImpossibleSheet` says in a sentence which measure cannot be.

    `by` is None only for the program itself, when it loads the demo. Raises `Stale` when somebody saved the
    sheet after `seen_version` was shown.
    """
    if by is not None and not by.has_perm("reagents.manage_label_sheets"):
        raise PermissionDenied
    name = " ".join(name.split())
    if not name:
        raise ImpossibleSheet("name", "Give the sheet a name, such as “16 to a sheet, 52 × 74 mm”.")
    if len(name) > LONGEST_NAME:
        raise ImpossibleSheet("name", f"The name is longer than {LONGEST_NAME} characters; shorten it.")
    check_sheet(described)
    if sheet is None:
        kept = LabelSheet()
    else:
        kept = LabelSheet.objects.select_for_update().get(pk=sheet.pk)
        claim_version(kept, kept.version if seen_version is None else seen_version)
        if kept.withdrawn_at:
            raise ImpossibleSheet("name", "This sheet was withdrawn; describe it anew.")
    kept.name = name
    for field, value in vars(described).items():
        setattr(kept, field, value)
    kept.save()
    acted.send(
        sender=LabelSheet,
        by=by,
        action="save_label_sheet",
        subject=kept,
        sentence=f"Label sheet “{name}” {'described' if sheet is None else 'changed'}: "
        f"{described.positions} labels of {described.width_mm} by {described.height_mm} mm.",
        detail={field: str(value) for field, value in vars(described).items()},
    )
    return kept
