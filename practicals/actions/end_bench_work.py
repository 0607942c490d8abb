"""Ends a session's bench work: every set of readings is locked, and no new one can be begun."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import endable_sessions
from practicals.audit import record
from practicals.models import ReadingSet, Session, User


class NotStarted(ValueError):
    """There is no bench work to end."""

    def __init__(self) -> None:
        super().__init__("This session has not been started, so it has no bench work to end.")


def end_bench_work(*, by: User, session: Session, now: datetime) -> Session:
    """Lock what is not locked yet. A second end changes nothing; what was locked keeps its time."""
    mine = endable_sessions(by).filter(pk=session.pk)
    if not by.has_perm("practicals.end_bench_work") or not mine.exists():
        raise PermissionDenied
    with transaction.atomic():
        # Learners who save at this moment wait for this row, and then find the bench work ended.
        session = Session.objects.select_for_update().get(pk=session.pk)
        if session.started_at is None:
            raise NotStarted
        if session.readings_locked_at is not None:
            return session
        session.readings_locked_at = now
        session.version += 1
        session.save(update_fields=["readings_locked_at", "version"])
        locked = ReadingSet.objects.filter(session=session, locked_at=None).update(locked_at=now)
        record(
            by=by,
            action="end_bench_work",
            subject=session,
            sentence="Bench work was ended and all readings were locked.",
            detail={"locked": locked},
        )
    return session
