"""Starts a session: its learners may sign in at the bench."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals import audit
from practicals.access import planned_sessions
from practicals.actions.plan_session import CannotPlan, check_stands
from practicals.models import Session, User


def start_session(*, by: User, session: Session, now: datetime) -> Session:
    """Start it once; a second start changes nothing."""
    if not by.has_perm("practicals.plan_session") or not planned_sessions(by).contains(session):
        raise PermissionDenied
    with transaction.atomic():
        session = Session.objects.select_for_update().get(pk=session.pk)
        check_stands(session)
        if session.started_at is not None:
            return session
        if not session.lessons.exists():
            raise CannotPlan("This session has no lesson yet. Add its first lesson, then start it.")
        if not session.members.exists():
            raise CannotPlan("Nobody is in a group yet. Put learners in groups, then start the session.")
        session.started_at = now
        session.version += 1
        session.save(update_fields=["started_at", "version"])
        audit.record(by=by, action="start_session", subject=session, sentence="Started the session.")
    return session
