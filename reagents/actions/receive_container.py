"""Puts a delivery on the shelf: one record for each bottle."""

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils import timezone

from reagents.calculations.quantities import format_quantity
from reagents.calculations.stock import known_substance, short_lived
from reagents.models import Container, StockChange
from reagents.signals import acted

MOST_BOTTLES = 50


class NotReceived(ValueError):
    """The delivery cannot be put on the shelf as entered; the message is a sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Delivery:
    """Bottles of one kind, as their labels say; `amount` is what each of them holds."""

    substance: str
    unit: str
    amount: Decimal
    received_on: date
    place: str
    storage: str
    form: str = ""
    strength: str = ""
    purity_percent: Decimal | None = None
    lot: str = ""
    expires_on: date | None = None
    bottles: int = 1


@transaction.atomic
def receive_container(*, by: Any, delivery: Delivery, now: datetime) -> list[Container]:
    """Keep one container for each bottle; `NotReceived` says in a sentence what is wrong."""
    if not by.has_perm("reagents.keep_stock"):
        raise PermissionDenied
    _check(delivery, timezone.localtime(now).date())
    known = known_substance(delivery.substance)
    made = [
        Container.objects.create(
            substance=known.name if known else " ".join(delivery.substance.split()),
            form=delivery.form.strip(),
            strength=delivery.strength.strip(),
            purity_percent=delivery.purity_percent,
            unit=delivery.unit,
            received_amount=delivery.amount,
            remaining=delivery.amount,
            lot=delivery.lot.strip(),
            received_on=delivery.received_on,
            expires_on=delivery.expires_on,
            place=" ".join(delivery.place.split()),
            storage=delivery.storage,
        )
        for _ in range(delivery.bottles)
    ]
    for container in made:
        _tell(by, container, now)
    return made


def _tell(by: Any, container: Container, now: datetime) -> None:
    StockChange.objects.create(
        container=container,
        change=container.received_amount,
        left=container.received_amount,
        why="received",
        changed_by=by,
        changed_at=now,
    )
    holds = format_quantity(container.received_amount.normalize(), container.unit)
    acted.send(
        sender=Container,
        by=by,
        action="receive_container",
        subject=container,
        sentence=f"Put {holds} of {container.substance} on the shelf.",
        detail={"place": container.place, "lot": container.lot},
    )


def _check(delivery: Delivery, today: date) -> None:
    if not delivery.substance.strip() or not delivery.place.strip():
        raise NotReceived("Write what it is and where it stands.")
    if delivery.amount <= 0:
        raise NotReceived("Enter what the bottle holds, above zero.")
    if not 1 <= delivery.bottles <= MOST_BOTTLES:
        raise NotReceived(f"Enter 1 to {MOST_BOTTLES} bottles at a time.")
    if delivery.unit not in {"mL", "g"} or delivery.storage not in Container.Storage.values:
        raise NotReceived("Choose a unit and a storage class from the lists.")
    if delivery.received_on > today:
        raise NotReceived("It would be received in the future; check the date.")
    check_date(delivery.substance, delivery.expires_on, delivery.received_on)


def check_date(substance: str, expires_on: date | None, received_on: date) -> None:
    """Refuse a date before the delivery, and no date on what spoils."""
    if expires_on is not None and expires_on < received_on:
        raise NotReceived("It would have expired before it was received; check both dates.")
    spoils = short_lived(substance)
    if expires_on is None and spoils is not None:
        raise NotReceived(
            f"{spoils.substance} must carry a date: {spoils.why}. Enter the date on the bottle, or the last "
            "day on which you would use it."
        )
