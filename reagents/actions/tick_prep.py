"""Ticks boxes of a prep list, or takes ticks back."""

import re
from collections.abc import Iterable
from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Q

from reagents.models import PrepTick, RequisitionItem, RequisitionLine
from reagents.signals import acted

#: A box of a line ("<uuid> measure 2", "<uuid> step 1") or a piece of equipment ("item 17").
_OF_LINE = re.compile(r"([0-9a-f]{8}(?:-[0-9a-f]{4}){3}-[0-9a-f]{12}) ((?:measure|step) [0-9]{1,3})")
_OF_ITEM = re.compile(r"item ([0-9]{1,12})")
OUT = "out"


@transaction.atomic
def tick_prep(*, by: Any, tick: Iterable[str], untick: Iterable[str], now: datetime) -> int:
    """Tick and untick boxes by their names; gives how many changed.

    A name that means nothing changes nothing. Ticking twice is harmless: two people may stand at two
    benches with the same list.
    """
    if not by.has_perm("reagents.tick_prep"):
        raise PermissionDenied
    on, off = set(tick), set(untick)
    lines, items = _lines(on | off), _items(on | off)
    made = _new(on, lines, items)
    for tick_made in made:
        tick_made.ticked_by, tick_made.ticked_at = by, now
    PrepTick.objects.bulk_create(made, ignore_conflicts=True)  # somebody may tick the same box this moment
    changed = len(made) + _take_back(off, lines, items)
    if changed:
        acted.send(
            sender=PrepTick,
            by=by,
            action="tick_prep",
            subject=next(iter([*lines.values(), *(item.requisition for item in items.values())])),
            sentence=f"Ticked or unticked {changed} boxes of a prep list.",
            detail={"ticked": sorted(on), "unticked": sorted(off)},
        )
    return changed


def _new(
    on: set[str], lines: dict[UUID, RequisitionLine], items: dict[int, RequisitionItem]
) -> list[PrepTick]:
    """Ticks for the boxes that carry none yet."""
    there = set(
        PrepTick.objects.filter(Q(line__in=lines.values()) | Q(item__in=items.values())).values_list(
            "line_id", "item_id", "box"
        )
    )
    wanted = [PrepTick(line=lines[uuid], box=box) for uuid, box in _of_lines(on) if uuid in lines]
    wanted += [PrepTick(item=items[pk], box=OUT) for pk in _of_items(on) if pk in items]
    return [one for one in wanted if (one.line_id, one.item_id, one.box) not in there]


def _take_back(off: set[str], lines: dict[UUID, RequisitionLine], items: dict[int, RequisitionItem]) -> int:
    gone = 0
    for uuid, box in _of_lines(off):
        gone += PrepTick.objects.filter(line=lines.get(uuid), line__isnull=False, box=box).delete()[0]
    for pk in _of_items(off):
        gone += PrepTick.objects.filter(item=items.get(pk), item__isnull=False, box=OUT).delete()[0]
    return gone


def _of_lines(names: Iterable[str]) -> list[tuple[UUID, str]]:
    found = [_OF_LINE.fullmatch(name) for name in sorted(names)]
    return [(UUID(one[1]), one[2]) for one in found if one]


def _of_items(names: Iterable[str]) -> list[int]:
    found = [_OF_ITEM.fullmatch(name) for name in sorted(names)]
    return [int(one[1]) for one in found if one]


def _lines(names: Iterable[str]) -> dict[UUID, RequisitionLine]:
    wanted = {uuid for uuid, _ in _of_lines(names)}
    return {line.uuid: line for line in RequisitionLine.objects.filter(uuid__in=wanted)}


def _items(names: Iterable[str]) -> dict[int, RequisitionItem]:
    wanted = _of_items(names)
    items = RequisitionItem.objects.select_related("requisition").filter(pk__in=wanted)
    return {item.pk: item for item in items}
