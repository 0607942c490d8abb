"""Changes a session: title, help setting, lessons."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals import audit
from practicals.access import planned_sessions
from practicals.actions.plan_session import CannotPlan, LessonPlan, check_lessons, check_stands
from practicals.models import Lesson, Session, User
from reagents.models import claim_version

#: Far from any real lesson: lessons that change places must not meet at one time on the way.
ASIDE = timedelta(days=365 * 200)


def change_session(
    *,
    by: User,
    session: Session,
    title: str,
    help_setting: str,
    lessons: Sequence[tuple[Lesson | None, LessonPlan]],
    seen_version: int,
    now: datetime,
) -> Session:
    """Save what the form shows; a lesson of None is a new one. Raises `Stale` or `CannotPlan`."""
    if not by.has_perm("practicals.plan_session") or not planned_sessions(by).contains(session):
        raise PermissionDenied
    check_lessons([plan for _, plan in lessons])
    with transaction.atomic():
        session = Session.objects.select_for_update().get(pk=session.pk)
        check_stands(session)
        claim_version(session, seen_version)
        if session.closed_at is not None:
            raise CannotPlan("The session is closed and stays as it was.")
        session.title, session.help_setting = title, help_setting
        session.save(update_fields=["title", "help_setting", "version"])
        _save_lessons(session, lessons)
        audit.record(
            by=by,
            action="change_session",
            subject=session,
            sentence="Changed the session's plan.",
            detail={"help": help_setting, "lessons": len(lessons), "at": now.isoformat()},
        )
    return session


def _save_lessons(session: Session, lessons: Sequence[tuple[Lesson | None, LessonPlan]]) -> None:
    standing = {lesson.pk: lesson for lesson in session.lessons.all()}
    for lesson, _ in lessons:
        if lesson is not None and lesson.pk not in standing:
            raise PermissionDenied
    for lesson in standing.values():
        lesson.starts_at += ASIDE
        lesson.save(update_fields=["starts_at"])
    for lesson, plan in lessons:
        kept = standing.pop(lesson.pk) if lesson is not None else Lesson(session=session)
        kept.starts_at, kept.minutes = plan.starts_at, plan.minutes
        kept.room, kept.leader = plan.room, plan.leader
        kept.save()
    for lesson in standing.values():
        lesson.starts_at -= ASIDE
        lesson.save(update_fields=["starts_at"])
