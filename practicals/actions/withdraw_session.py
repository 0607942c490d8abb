"""Withdraws a session that was planned by mistake. It leaves the lists and stays with its reason."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals import audit
from practicals.access import planned_sessions
from practicals.actions.plan_session import CannotPlan
from practicals.models import Session, User
from reagents.actions.withdraw_requisition import withdraw_requisition

LONGEST_REASON = 200


def withdraw_session(*, by: User, session: Session, reason: str, now: datetime) -> Session:
    """Withdraw it, once, before it starts, and with it a requisition that nothing was made for yet.

    Where batches were made the requisition stands: what was made must be found again.
    """
    if not by.has_perm("practicals.plan_session") or not planned_sessions(by).contains(session):
        raise PermissionDenied
    reason = " ".join(reason.replace("\0", " ").split())
    if not reason:
        raise CannotPlan("Say why the session is withdrawn, for example “planned for the wrong class”.")
    if len(reason) > LONGEST_REASON:
        raise CannotPlan(f"Say it in at most {LONGEST_REASON} characters; yours has {len(reason)}.")
    with transaction.atomic():
        session = Session.objects.select_for_update().get(pk=session.pk)
        if session.withdrawn_at is not None:
            return session
        if session.started_at is not None:
            raise CannotPlan("The session has started, so it can no longer be withdrawn. End and close it.")
        session.withdrawn_at, session.withdrawn_reason = now, reason
        session.version += 1
        session.save(update_fields=["withdrawn_at", "withdrawn_reason", "version"])
        if session.requisition is not None:
            withdraw_requisition(by=by, requisition=session.requisition, now=now)
        # The sentence names nobody; a reason might, so it stays with the session.
        audit.record(
            by=by, action="withdraw_session", subject=session, sentence="Withdrew a planned session."
        )
    return session
