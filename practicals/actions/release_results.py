"""Releases a class's values to its learners: without names, and only where five or more read."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import endable_sessions
from practicals.audit import record
from practicals.models import Session, User


class ReadingsNotLocked(ValueError):
    """Who sees the class's values while measuring could measure towards them."""

    def __init__(self) -> None:
        super().__init__(
            "The readings are not locked yet, and whoever sees the class’s values could measure towards them."
            " End the bench work first, then release the results."
        )


def release_results(*, by: User, session: Session, now: datetime) -> Session:
    """Release them once; a second release changes nothing."""
    mine = endable_sessions(by).filter(pk=session.pk)
    if not by.has_perm("practicals.end_bench_work") or not mine.exists():
        raise PermissionDenied
    with transaction.atomic():
        session = Session.objects.select_for_update().get(pk=session.pk)
        if session.results_released_at is not None:
            return session
        if session.readings_locked_at is None:
            raise ReadingsNotLocked
        session.results_released_at = now
        session.version += 1
        session.save(update_fields=["results_released_at", "version"])
        record(
            by=by,
            action="release_results",
            subject=session,
            sentence="The class’s values were released to its learners, without names.",
        )
    return session
