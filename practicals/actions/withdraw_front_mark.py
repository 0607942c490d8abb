"""A height of the front that was misread no longer counts. It is kept."""

from datetime import datetime

from django.db import transaction

from practicals.actions.start_development import may_follow, may_still_change
from practicals.audit import record
from practicals.models import FrontMark, User


def withdraw_front_mark(*, by: User, mark: FrontMark, now: datetime) -> FrontMark:
    """Withdraw one height; anybody may who may enter one. Withdrawn already, it stays as it is."""
    may_follow(by, mark.paper)
    with transaction.atomic():
        may_still_change(by, mark.paper)
        kept = FrontMark.objects.select_for_update().get(pk=mark.pk)
        if kept.withdrawn_at is not None:
            return kept
        kept.withdrawn_at = now
        kept.save(update_fields=["withdrawn_at"])
        paper = mark.paper
        record(
            by=by,
            action="withdraw_front_mark",
            subject=kept,
            sentence=f"A height of paper {paper.letter} of group {paper.group.number} was withdrawn.",
            detail={"height_mm": str(kept.height_mm), "at": kept.at.isoformat()},
        )
    return kept
