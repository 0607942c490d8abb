"""Which batch a chamber was filled from. That is kept: a recall finds every paper by it."""

from collections.abc import Iterable
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import fillable_chambers
from practicals.actions.plan_session import CannotPlan
from practicals.actions.send_requisition import check_words
from practicals.audit import record
from practicals.models import Chamber, Session, User
from practicals.models.filling import why_not_proposed
from reagents.models import Batch

LONGEST_REASON = 200


class CannotFill(ValueError):
    """The chamber is not filled from this batch; the message says why."""


def fill_chamber(*, by: User, chamber: Chamber, batch: Batch, reason: str = "", now: datetime) -> Chamber:
    """Fill one chamber, or correct from which batch it was filled."""
    return fill_chambers(by=by, chambers=[chamber], batch=batch, reason=reason, now=now)[0]


def fill_chambers(
    *, by: User, chambers: Iterable[Chamber], batch: Batch, reason: str = "", now: datetime
) -> list[Chamber]:
    """Fill several chambers of one session from one batch: all of them or none.

    A batch that is not proposed, and every correction, needs a reason. The same batch again changes
    nothing.
    """
    wanted = {chamber.pk for chamber in chambers}
    if not by.has_perm("practicals.fill_chamber"):
        raise PermissionDenied
    mine = fillable_chambers(by).filter(pk__in=wanted).values("pk").distinct()
    if not wanted or mine.count() != len(wanted):
        raise PermissionDenied
    with transaction.atomic():
        locked = Chamber.objects.select_for_update(of=("self",)).filter(pk__in=wanted)
        rows = list(locked.select_related("group__session__practical").order_by("group__number", "number"))
        changed = [chamber for chamber in rows if chamber.batch_id != batch.pk]
        if changed:
            session = changed[0].group.session
            _check(session, changed, batch, reason := reason.strip(), now)
        for chamber in changed:
            _fill(by, chamber, batch, reason, now)
    return rows


def _check(session: Session, chambers: list[Chamber], batch: Batch, reason: str, now: datetime) -> None:
    if any(chamber.group.session_id != session.pk for chamber in chambers):
        raise CannotFill("These chambers belong to several sessions. Fill those of one session at a time.")
    if session.closed_at is not None:
        raise CannotFill("The session is closed, so what its chambers were filled from no longer changes.")
    phase = session.practical.mobile_phase
    if batch.recipe.slug != phase.slug:
        raise CannotFill(f"Batch {batch.code} is {batch.recipe.title}; this practical runs in {phase.title}.")
    if len(reason) > LONGEST_REASON:
        raise CannotFill(f"Keep the reason within {LONGEST_REASON} characters; yours has {len(reason)}.")
    why = why_not_proposed(session, batch, now)
    if why and not reason:
        raise CannotFill(f"{why} Choose another batch, or give the reason why this one was used.")
    refilled = [chamber for chamber in chambers if chamber.batch_id is not None]
    if refilled and not reason:
        raise CannotFill("This chamber is filled already. To correct its batch, give the reason.")
    try:
        check_words(session, reason, "")
    except CannotPlan as named:
        raise CannotFill(str(named)) from named


def _fill(by: User, chamber: Chamber, batch: Batch, reason: str, now: datetime) -> None:
    before = str(chamber.batch.uuid) if chamber.batch else ""
    chamber.batch, chamber.filled_at, chamber.filled_by, chamber.reason = batch, now, by, reason
    chamber.save(update_fields=["batch", "filled_at", "filled_by", "reason"])
    said = "was corrected" if before else "was recorded"
    record(
        by=by,
        action="fill_chamber",
        subject=chamber,
        sentence=f"The batch of chamber {chamber.number} of group {chamber.group.number} {said}.",
        detail={"batch": str(batch.uuid), "before": before, "reason": reason},
    )
