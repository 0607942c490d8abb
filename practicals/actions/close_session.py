"""Closes a session: its bench codes open nothing any more."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import endable_sessions
from practicals.audit import record
from practicals.models import Session, User


class BenchWorkGoesOn(ValueError):
    """Readings are not locked yet."""

    def __init__(self) -> None:
        super().__init__(
            "Bench work has not ended. End it first, which locks all readings, then close the session."
        )


def close_session(*, by: User, session: Session, now: datetime) -> Session:
    """Close it once; a second close changes nothing."""
    mine = endable_sessions(by).filter(pk=session.pk)
    if not by.has_perm("practicals.end_bench_work") or not mine.exists():
        raise PermissionDenied
    with transaction.atomic():
        session = Session.objects.select_for_update().get(pk=session.pk)
        if session.closed_at is not None:
            return session
        if session.readings_locked_at is None:
            raise BenchWorkGoesOn
        session.closed_at = now
        session.version += 1
        session.save(update_fields=["closed_at", "version"])
        record(
            by=by,
            action="close_session",
            subject=session,
            sentence="The session was closed; its bench codes open nothing any more.",
        )
    return session
