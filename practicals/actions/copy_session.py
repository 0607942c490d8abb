"""Copies a session for a parallel class."""

from collections.abc import Sequence
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import planned_sessions
from practicals.actions.plan_session import LessonPlan, check_stands, copy_for
from practicals.models import Session, TeachingClass, User


def copy_session(
    *,
    by: User,
    session: Session,
    teaching_class: TeachingClass,
    lessons: Sequence[LessonPlan] = (),
    now: datetime,
) -> Session:
    """The same practical, group size and help for another class; lessons may be added later."""
    if not by.has_perm("practicals.plan_session") or not planned_sessions(by).contains(session):
        raise PermissionDenied
    with transaction.atomic():
        session = Session.objects.get(pk=session.pk)
        check_stands(session)
        # Writes its own audit row, as the copies made together with a session do.
        return copy_for(by=by, session=session, teaching_class=teaching_class, lessons=lessons, now=now)
