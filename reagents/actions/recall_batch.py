"""Take a batch out of use, with the reason."""

from datetime import datetime
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction

from reagents.models import Batch
from reagents.signals import acted

LONGEST_REASON = 300


class NotRecallable(ValueError):
    """The batch cannot be recalled; the message is a sentence."""


@transaction.atomic
def recall_batch(*, by: Any, batch: Batch, reason: str, now: datetime) -> Batch:
    """Mark a batch as recalled; whoever filled a chamber from it sees so on the board.

    `NotRecallable` when there is no reason, or when somebody recalled it before.
    """
    if not by.has_perm("reagents.recall_batch"):
        raise PermissionDenied
    reason = reason.strip()
    if not reason:
        raise NotRecallable("Write why the batch is recalled.")
    if len(reason) > LONGEST_REASON:
        raise NotRecallable(f"The reason is longer than {LONGEST_REASON} characters; shorten it.")
    batch = Batch.objects.select_for_update(of=("self",)).select_related("recipe").get(pk=batch.pk)
    if batch.recalled_at:
        raise NotRecallable("This batch was recalled before; the first reason stands.")
    batch.recalled_at = now
    batch.recall_reason = reason
    batch.save(update_fields=["recalled_at", "recall_reason"])
    acted.send(
        sender=Batch,
        by=by,
        action="recall_batch",
        subject=batch,
        sentence=f"Batch {batch.code} of {batch.recipe.title} recalled.",
    )
    return batch
