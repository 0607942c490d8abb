"""Takes a container off the shelf for good, with the reason; its record stays."""

from datetime import datetime
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction

from reagents.actions.take_from_container import LONGEST_WHY, NotTaken, change_stock, check_in_use
from reagents.models import Container, claim_version
from reagents.signals import acted


@transaction.atomic
def discard_container(
    *, by: Any, container: Container, reason: str, seen_version: int, now: datetime
) -> Container:
    """Discard it once; what it still held leaves the shelf with it."""
    if not by.has_perm("reagents.keep_stock"):
        raise PermissionDenied
    kept: Container = Container.objects.select_for_update().get(pk=container.pk)
    if kept.version != seen_version:
        claim_version(kept, seen_version)  # says so
    check_in_use(kept)
    reason = reason.strip()
    if not reason:
        raise NotTaken("Write why it is discarded and where it goes.")
    if len(reason) > LONGEST_WHY:
        raise NotTaken(f"The reason is longer than {LONGEST_WHY} characters; shorten it.")
    opened_on = kept.opened_on
    change_stock(by=by, container=kept, change=-kept.remaining, why=f"discarded: {reason}", now=now)
    kept.discarded_at, kept.discarded_reason, kept.opened_on = now, reason, opened_on
    kept.save(update_fields=["discarded_at", "discarded_reason", "opened_on"])
    acted.send(
        sender=Container,
        by=by,
        action="discard_container",
        subject=kept,
        sentence=f"Discarded a container of {kept.substance}.",
        detail={"reason": reason},
    )
    return kept
