"""Draws up what the technician is asked to have ready."""

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction

from reagents.models import Batch, Recipe, Requisition, RequisitionItem, RequisitionLine
from reagents.signals import acted


@dataclass(frozen=True, slots=True, kw_only=True)
class LinePlan:
    """So much of one recipe; a mobile phase carries how its total came about."""

    recipe: Recipe
    total_ml: Decimal
    chambers: int | None = None
    volume_per_chamber_ml: Decimal | None = None
    chamber_diameter_mm: Decimal | None = None
    depth_mm: Decimal | None = None
    origin_height_mm: Decimal | None = None
    overage_percent: Decimal = Decimal(0)
    label_code: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ItemPlan:
    name: str
    per: str
    each: int
    count: int
    spare: int


def draw_up_requisition(
    *,
    by: Any,
    title: str,
    room: str,
    needed_at: datetime,
    note: str,
    lines: Sequence[LinePlan],
    items: Sequence[ItemPlan],
    replaces: Requisition | None = None,
    now: datetime,
) -> Requisition:
    """Keep the requisition and withdraw the one it replaces.

    An earlier one that batches were made against stays standing beside the new one: what was made must
    be found again, and the technician decides with the teacher what to do with it.
    """
    if not by.has_perm("reagents.draw_up_requisition"):
        raise PermissionDenied
    with transaction.atomic():
        requisition = Requisition.objects.create(
            title=title,
            room=room,
            needed_at=needed_at,
            asked_by=by,
            asked_at=now,
            note=note,
            replaces=replaces,
        )
        for order, line in enumerate(lines, start=1):
            fields = {name: getattr(line, name) for name in LinePlan.__dataclass_fields__}
            RequisitionLine.objects.create(requisition=requisition, order=order, **fields)
        RequisitionItem.objects.bulk_create(
            RequisitionItem(requisition=requisition, order=order, **asdict(item))
            for order, item in enumerate(items, start=1)
        )
        if replaces is not None and not Batch.objects.filter(line__requisition=replaces).exists():
            replaces.withdrawn_at = now
            replaces.save(update_fields=["withdrawn_at"])
        acted.send(
            sender=draw_up_requisition,
            by=by,
            action="draw_up_requisition",
            subject=requisition,
            sentence="Asked for reagents and equipment.",
            detail={"replaces": str(replaces.uuid)} if replaces else {},
        )
    return requisition
