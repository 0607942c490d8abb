"""Writes down that a container was opened, and the date that counts from then on."""

from datetime import date, datetime
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils import timezone

from reagents.actions.receive_container import NotReceived, check_date
from reagents.actions.take_from_container import NotTaken, check_in_use
from reagents.models import Container, claim_version
from reagents.signals import acted


@transaction.atomic
def open_container(
    *,
    by: Any,
    container: Container,
    opened_on: date,
    expires_on: date | None,
    seen_version: int,
    now: datetime,
) -> Container:
    """Keep the day it was opened. Opening may shorten how long it lasts; it never makes it last longer."""
    if not by.has_perm("reagents.keep_stock"):
        raise PermissionDenied
    kept: Container = Container.objects.select_for_update().get(pk=container.pk)
    claim_version(kept, seen_version)
    check_in_use(kept)
    if kept.opened_on is not None:
        raise NotTaken("It is down as opened already; the first day stands.")
    if not kept.received_on <= opened_on <= timezone.localtime(now).date():
        raise NotTaken("It was opened between the day it came and today; check the date.")
    if expires_on is not None and kept.expires_on is not None and expires_on > kept.expires_on:
        raise NotTaken("Opening does not make it last longer; enter an earlier date or leave it empty.")
    try:
        check_date(kept.substance, expires_on or kept.expires_on, kept.received_on)
    except NotReceived as trouble:
        raise NotTaken(str(trouble)) from trouble
    kept.opened_on, kept.expires_on = opened_on, expires_on or kept.expires_on
    kept.save(update_fields=["opened_on", "expires_on", "version"])
    acted.send(
        sender=Container,
        by=by,
        action="open_container",
        subject=kept,
        sentence=f"Opened a container of {kept.substance}.",
        detail={"opened_on": str(opened_on), "expires_on": str(kept.expires_on or "")},
    )
    return kept
