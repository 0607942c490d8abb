"""Takes something out of a container, outside a batch or for one, and writes down how much is left."""

from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils import timezone

from reagents.calculations.quantities import format_quantity
from reagents.calculations.stock import Held, condition
from reagents.models import Batch, Container, StockChange
from reagents.signals import acted

LONGEST_WHY = 200


class NotTaken(ValueError):
    """It cannot be taken from this container; the message is a sentence."""


@transaction.atomic
def take_from_container(
    *, by: Any, container: Container, amount: Decimal, why: str, reason_expired: str = "", now: datetime
) -> Container:
    """Take an amount out by hand; `reason_expired` is needed where the container is past its date."""
    if not by.has_perm("reagents.keep_stock"):
        raise PermissionDenied
    kept: Container = Container.objects.select_for_update().get(pk=container.pk)
    why, reason_expired = why.strip(), reason_expired.strip()
    if not why:
        raise NotTaken("Write what it was taken for.")
    if reason_expired:
        why = f"{why} (past its date: {reason_expired})"
    if len(why) > LONGEST_WHY:
        raise NotTaken(f"Both reasons together are longer than {LONGEST_WHY} characters; shorten them.")
    _check(kept, amount, reason_expired, timezone.localtime(now).date())
    change_stock(by=by, container=kept, change=-amount, why=why, now=now)
    acted.send(
        sender=Container,
        by=by,
        action="take_from_container",
        subject=kept,
        sentence=f"Took {format_quantity(amount.normalize(), kept.unit)} of {kept.substance} from the shelf.",
        detail={"left": str(kept.remaining), "why": why},
    )
    return kept


def _check(kept: Container, amount: Decimal, reason_expired: str, day: date) -> None:
    check_in_use(kept)
    if amount <= 0:
        raise NotTaken("Enter an amount above zero.")
    if amount > kept.remaining:
        had = format_quantity(kept.remaining.normalize(), kept.unit)
        raise NotTaken(f"By its record it holds {had}. If it holds more, count it first.")
    if condition(as_held(kept), day=day) == "expired" and not reason_expired:
        raise NotTaken("It is past its date. Take another, or write why it is used all the same.")


def check_in_use(kept: Container) -> None:
    """Refuse a container that has been discarded."""
    if kept.discarded_at is not None:
        raise NotTaken("This container was discarded; nothing can be done with it any more.")


def as_held(container: Container) -> Held:
    """The plain values of a container, for the sums."""
    return Held(
        key=container.pk,
        substance=container.substance,
        unit=container.unit,
        remaining=container.remaining,
        received_on=container.received_on,
        expires_on=container.expires_on,
        form=container.form,
        purity_percent=container.purity_percent,
        opened=container.opened_on is not None,
    )


def change_stock(
    *, by: Any, container: Container, change: Decimal, why: str, now: datetime, batch: Batch | None = None
) -> StockChange:
    """Write one change and what is left. The caller has checked, holds the lock and the transaction."""
    container.remaining += change
    container.version += 1
    fields = ["remaining", "version"]
    if change < 0 and container.opened_on is None:
        container.opened_on = max(timezone.localtime(now).date(), container.received_on)
        fields.append("opened_on")
    container.save(update_fields=fields)
    made: StockChange = StockChange.objects.create(
        container=container,
        change=change,
        left=container.remaining,
        why=why[:LONGEST_WHY],
        batch=batch,
        changed_by=by,
        changed_at=now,
    )
    return made
