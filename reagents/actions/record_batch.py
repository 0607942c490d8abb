"""Record what was really made for a line of a prep list."""

from collections.abc import Sequence
from datetime import datetime, timedelta
from random import Random, SystemRandom
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction
from django.utils import timezone

from reagents.actions.take_for_batch import AmountEntry, take_for_batch
from reagents.calculations.batch_check import Amount, ImpossibleBatch, batch_total_ml
from reagents.calculations.batch_code import batch_code
from reagents.calculations.stock import short_lived
from reagents.models import Batch, BatchAmount, Recipe, RequisitionLine
from reagents.signals import acted

__all__ = ["AmountEntry", "record_batch"]

CLOCK_SLACK = timedelta(minutes=5)
MOST_TRIES = 20


@transaction.atomic
def record_batch(
    *,
    by: Any,
    line: RequisitionLine,
    made_at: datetime,
    initials: str,
    use_by: datetime | None,
    amounts: Sequence[AmountEntry],
    note: str = "",
    now: datetime,
    chance: Random | None = None,
) -> Batch:
    """Keep one batch with every part of its recipe; `ImpossibleBatch` says in a sentence what is wrong.

    What came from the shelf leaves it in the same transaction, so that record and shelf cannot part.
    `chance` makes the code of the batch; a fixed seed gives the same codes again.
    """
    if not by.has_perm("reagents.record_batch"):
        raise PermissionDenied
    _check(line, made_at, initials, use_by, amounts, now)
    total = batch_total_ml([as_amount(entry) for entry in amounts])
    batch = _create(
        chance or SystemRandom(),
        recipe=line.recipe,
        line=line,
        made_at=made_at,
        made_by=by,
        initials=initials.strip(),
        use_by=use_by,
        total_ml=total,
        note=note.strip(),
    )
    BatchAmount.objects.bulk_create(
        BatchAmount(
            batch=batch,
            part=entry.part,
            unit=entry.unit,
            wanted=entry.wanted,
            measured=entry.measured,
            lot=entry.lot.strip() or (entry.container.lot if entry.container else ""),
            vessel=entry.vessel.strip(),
            container=entry.container,
        )
        for entry in amounts
    )
    take_for_batch(by=by, batch=batch, amounts=amounts, now=now)
    acted.send(
        sender=Batch,
        by=by,
        action="record_batch",
        subject=batch,
        sentence=f"Batch {batch.code} of {line.recipe.title} recorded: {total.normalize():f} mL.",
        detail={
            "line": str(line.uuid),
            "amounts": {e.part.substance: f"{e.measured} {e.unit} of {e.wanted}" for e in amounts},
        },
    )
    return batch


def as_amount(entry: AmountEntry | BatchAmount) -> Amount:
    """The plain values of a part as entered or as kept."""
    return Amount(
        substance=entry.part.substance,
        basis=entry.part.basis,
        unit=entry.unit,
        wanted=entry.wanted,
        measured=entry.measured,
        recipe_amount=entry.part.amount,
        vessel=entry.vessel,
    )


def must_end(recipe: Recipe) -> str:
    """Why a batch of this recipe has to carry a use-by; empty where it need not."""
    if recipe.made_on_the_day:
        return "it is made on the day"
    if recipe.shelf_life_hours:
        return f"by its recipe it keeps {recipe.shelf_life_hours} hours"
    for part in recipe.parts.all():
        spoils = short_lived(part.substance)
        if spoils and spoils.solution_days:
            return f"{spoils.substance} is in it, and {spoils.why}"
    return ""


def _check(
    line: RequisitionLine,
    made_at: datetime,
    initials: str,
    use_by: datetime | None,
    amounts: Sequence[AmountEntry],
    now: datetime,
) -> None:
    if not initials.strip():
        raise ImpossibleBatch("Write the initials of who made it.")
    if made_at > now + CLOCK_SLACK:
        raise ImpossibleBatch("This batch would be made in the future; check day and time.")
    if use_by is not None and use_by < made_at:
        raise ImpossibleBatch("“Use by” is before the batch was made; check both.")
    if use_by is None and (why := must_end(line.recipe)):
        raise ImpossibleBatch(f"This batch must carry a use-by: {why}.")
    recipe_parts = sorted(part.pk for part in line.recipe.parts.all())
    if sorted(entry.part.pk for entry in amounts) != recipe_parts:
        raise ImpossibleBatch("Each part of the recipe is needed once; open the form again.")
    for entry in amounts:
        if entry.unit not in {"mL", "g"} or entry.measured < 0 or entry.wanted <= 0:
            raise ImpossibleBatch(f"The amount of {entry.part.substance} cannot be right; check it.")


def _create(chance: Random, **values: Any) -> Batch:
    """A batch under a code that no other has; each try is a savepoint, since two may record at once."""
    made_on = timezone.localtime(values["made_at"]).date()
    for _ in range(MOST_TRIES):
        code = batch_code(made_on, chance)
        try:
            with transaction.atomic():
                batch: Batch = Batch.objects.create(code=code, **values)
        except IntegrityError:
            if not Batch.objects.filter(code=code).exists():
                raise  # not the code but something else is wrong
        else:
            return batch
    raise ImpossibleBatch("No free code was found for this batch; send the form again.")
