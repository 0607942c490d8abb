"""Puts a container's record right after somebody looked what it really holds."""

from datetime import datetime
from decimal import Decimal
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction

from reagents.actions.take_from_container import LONGEST_WHY, NotTaken, change_stock, check_in_use
from reagents.calculations.quantities import format_quantity
from reagents.models import Container, claim_version
from reagents.signals import acted


@transaction.atomic
def count_container(
    *, by: Any, container: Container, remaining: Decimal, why: str, seen_version: int, now: datetime
) -> Container:
    """Keep what was found and the difference to the record; the reason stands beside it."""
    if not by.has_perm("reagents.keep_stock"):
        raise PermissionDenied
    kept: Container = Container.objects.select_for_update().get(pk=container.pk)
    if kept.version != seen_version:
        claim_version(kept, seen_version)  # says so
    check_in_use(kept)
    if remaining < 0:
        raise NotTaken("A container holds nothing or more, never less.")
    why = f"counted: {why.strip()}" if why.strip() else "counted"
    if len(why) > LONGEST_WHY:
        raise NotTaken("The reason is too long; shorten it.")
    before = kept.remaining
    change_stock(by=by, container=kept, change=remaining - before, why=why, now=now)
    acted.send(
        sender=Container,
        by=by,
        action="count_container",
        subject=kept,
        sentence=f"Counted {kept.substance}: {format_quantity(remaining.normalize(), kept.unit)} left.",
        detail={"before": str(before), "why": why},
    )
    return kept
