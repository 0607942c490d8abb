"""Give somebody one lesson to cover or to support, or take it back."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import planned_sessions
from practicals.actions.plan_session import CannotPlan, check_stands
from practicals.audit import record
from practicals.models import Lesson, LessonHelper, Role, Session, User


def give_lesson(*, by: User, lesson: Lesson, user: User, part: str, now: datetime) -> LessonHelper:
    """Let `user` cover or support this lesson and no other."""
    _check_permission(by, lesson)
    check_stands(Session.objects.get(pk=lesson.session_id))
    if part not in LessonHelper.Part.values:
        raise CannotPlan("Choose whether the person covers or supports the lesson.")
    if not (user.holds(Role.LESSON_ONLY) or user.holds(Role.TEACHER)):
        raise CannotPlan(
            f"{user} has no role that works in a lesson. The centre's administrator can give them one."
        )
    with transaction.atomic():
        given, _ = LessonHelper.objects.update_or_create(lesson=lesson, user=user, defaults={"part": part})
        record(
            by=by,
            action="give_lesson",
            subject=lesson,
            sentence=f"A lesson was given to a {part}.",
            detail={"to": str(user.token), "at": now.isoformat()},
        )
    return given


def take_lesson_back(*, by: User, lesson: Lesson, user: User, now: datetime) -> None:
    """End it. Whoever has it no longer changes nothing."""
    _check_permission(by, lesson)
    with transaction.atomic():
        given = LessonHelper.objects.filter(lesson=lesson, user=user).first()
        if given is None:
            return
        given.delete()
        record(
            by=by,
            action="take_lesson_back",
            subject=lesson,
            sentence=f"A lesson was taken back from a {given.part}.",
            detail={"from": str(user.token), "at": now.isoformat()},
        )


def _check_permission(by: User, lesson: Lesson) -> None:
    mine = planned_sessions(by).filter(pk=lesson.session_id)
    if not by.has_perm("practicals.plan_session") or not mine.exists():
        raise PermissionDenied
