"""Takes what a batch used off the shelf: part of recording it, in its transaction."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from django.utils import timezone

from reagents.actions.take_from_container import as_held, change_stock
from reagents.calculations.batch_check import ImpossibleBatch
from reagents.calculations.stock import NotEnough, condition, converted, one_name, spread
from reagents.models import Batch, Container, RecipePart

FINEST = Decimal("0.0001")  # what the record of a container keeps


@dataclass(frozen=True)
class AmountEntry:
    """One part of the recipe as it was measured, beside what the list asked for; `unit` is mL or g.

    `container` is the bottle on the shelf it came from; one past its date needs `reason_expired`.
    """

    part: RecipePart
    unit: str
    wanted: Decimal
    measured: Decimal
    lot: str = ""
    vessel: str = ""
    container: Container | None = None
    reason_expired: str = ""


@dataclass(frozen=True)
class _Taking:
    """What every part of one batch shares."""

    by: Any
    batch: Batch
    shelf: dict[int, Container]
    day: date
    now: datetime

    def take(self, chosen: Container, amount: Decimal, why: str) -> None:
        others = [as_held(one) for one in self.shelf.values()]
        for one in spread(amount, as_held(chosen), others, day=self.day):
            change_stock(
                by=self.by,
                container=self.shelf[one.key],
                change=-one.amount,
                why=why if one.key == chosen.pk else "batch, after the first bottle was empty",
                now=self.now,
                batch=self.batch,
            )


def take_for_batch(*, by: Any, batch: Batch, amounts: Sequence[AmountEntry], now: datetime) -> None:
    """One change for each container that a part came from; `ImpossibleBatch` when that cannot be.

    The caller has asked for permission, opened the transaction and writes the trail.
    """
    used = [entry for entry in amounts if entry.container is not None and entry.measured > 0]
    if not used:
        return
    shelf = {one.pk: one for one in Container.objects.select_for_update().filter(discarded_at=None)}
    taking = _Taking(by, batch, shelf, timezone.localtime(batch.made_at).date(), now)
    for entry in used:
        chosen = _chosen(entry, shelf)
        try:
            taking.take(chosen, _amount(entry, chosen), _why(entry, chosen, taking.day))
        except NotEnough as trouble:
            raise ImpossibleBatch(str(trouble)) from trouble


def _chosen(entry: AmountEntry, shelf: dict[int, Container]) -> Container:
    name = entry.part.substance
    chosen = shelf.get(entry.container.pk if entry.container else 0)
    if chosen is None:
        raise ImpossibleBatch(f"The bottle of {name} was discarded; choose another.")
    if one_name(chosen.substance) != one_name(name):
        raise ImpossibleBatch(f"The bottle holds {chosen.substance}, not {name}; choose another.")
    return chosen


def _why(entry: AmountEntry, chosen: Container, day: date) -> str:
    if condition(as_held(chosen), day=day) != "expired":
        return "batch"
    reason = entry.reason_expired.strip()
    if not reason:
        raise ImpossibleBatch(
            f"The bottle of {entry.part.substance} is past its date. Choose another, or write why it is used "
            "all the same."
        )
    return f"batch, past its date: {reason}"


def _amount(entry: AmountEntry, chosen: Container) -> Decimal:
    """What was measured, in the unit of the bottle."""
    name = entry.part.substance
    amount = converted(entry.measured, name, unit=entry.unit, to=chosen.unit)
    if amount is None:
        raise ImpossibleBatch(
            f"{name} was measured in {entry.unit}, its bottle is counted in {chosen.unit}, and its density "
            "is not known here. Record the batch without the bottle, then take the amount out on its page."
        )
    return amount.quantize(FINEST, ROUND_HALF_UP)
