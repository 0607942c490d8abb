"""Puts a container somewhere else, and corrects its storage class or its date."""

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction

from reagents.actions.receive_container import NotReceived, check_date
from reagents.actions.take_from_container import NotTaken, change_stock, check_in_use
from reagents.models import Container, claim_version
from reagents.signals import acted


@transaction.atomic
def move_container(
    *,
    by: Any,
    container: Container,
    place: str,
    storage: str,
    expires_on: date | None,
    seen_version: int,
    now: datetime,
) -> Container:
    """Keep the new place, storage class and date; the trail keeps what stood there before."""
    if not by.has_perm("reagents.keep_stock"):
        raise PermissionDenied
    kept: Container = Container.objects.select_for_update().get(pk=container.pk)
    if kept.version != seen_version:
        claim_version(kept, seen_version)  # says so
    check_in_use(kept)
    if not place.strip() or storage not in Container.Storage.values:
        raise NotTaken("Write where it stands and choose its storage class.")
    try:
        check_date(kept.substance, expires_on, kept.received_on)
    except NotReceived as trouble:
        raise NotTaken(str(trouble)) from trouble
    before = {"place": kept.place, "storage": kept.storage, "expires_on": str(kept.expires_on or "")}
    kept.place, kept.storage, kept.expires_on = " ".join(place.split()), storage, expires_on
    kept.save(update_fields=["place", "storage", "expires_on"])
    change_stock(by=by, container=kept, change=Decimal(0), why=_before(before), now=now)
    acted.send(
        sender=Container,
        by=by,
        action="move_container",
        subject=kept,
        sentence=f"Changed place or date of a container of {kept.substance}.",
        detail={"before": before},
    )
    return kept


def _before(before: dict[str, str]) -> str:
    ends = f", to {before['expires_on']}" if before["expires_on"] else ""
    return f"put elsewhere or corrected; before: {before['place']}, {before['storage']}{ends}"
