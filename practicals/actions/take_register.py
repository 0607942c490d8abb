"""The register of one lesson: who is present, late or absent."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import led_learners, led_lessons
from practicals.audit import record
from practicals.models import Attendance, Lesson, User


class UnknownMark(ValueError):
    """A mark that no register has, or one for somebody who is not in the session."""

    def __init__(self) -> None:
        super().__init__("Mark each learner of this session present, late or absent.")


class RegisterChanged(ValueError):
    """Somebody else marked the same learners otherwise since the form was opened."""

    def __init__(self, now_marked: dict[User, str]) -> None:
        self.now_marked = now_marked
        who = "; ".join(f"{learner} is marked {mark}" for learner, mark in now_marked.items())
        super().__init__(
            f"Somebody saved this register after you opened it: {who}. Your marks are kept below; save again "
            "if yours are right."
        )


@dataclass(frozen=True, slots=True)
class RegisterTaken:
    """How many marks were new and how many were changed."""

    new: int
    changed: int


def take_register(
    *,
    by: User,
    lesson: Lesson,
    marks: Mapping[User, str],
    now: datetime,
    seen: Mapping[User, str] | None = None,
) -> RegisterTaken:
    """Save the marks that differ from what is kept; the same register again changes nothing.

    `seen` is what the form showed. A mark that another person has changed meanwhile is refused where
    this form changes it too, and stands where this form left it as it was.
    """
    if not by.has_perm("practicals.run_lesson") or not led_lessons(by).filter(pk=lesson.pk).exists():
        raise PermissionDenied
    with transaction.atomic():
        # The lesson's row is the queue: two registers saved at once wait for each other.
        lesson = Lesson.objects.select_for_update().get(pk=lesson.pk)
        _check(lesson, marks)
        kept = {row.learner_id: row for row in lesson.register.select_for_update()}
        wanted = _wanted(marks, seen, {pk: row.mark for pk, row in kept.items()})
        fresh = {learner: mark for learner, mark in wanted.items() if learner.pk not in kept}
        changed = {learner: mark for learner, mark in wanted.items() if learner.pk in kept}
        was = {str(learner.token): kept[learner.pk].mark for learner in changed}
        Attendance.objects.bulk_create(
            Attendance(lesson=lesson, learner=learner, mark=mark, marked_by=by, marked_at=now)
            for learner, mark in fresh.items()
        )
        for learner, mark in changed.items():
            row = kept[learner.pk]
            row.mark, row.marked_by, row.marked_at = mark, by, now
            row.save(update_fields=["mark", "marked_by", "marked_at"])
        if wanted:
            said = "changed" if kept else "taken"
            record(
                by=by,
                action="take_register",
                subject=lesson,
                sentence=f"The register of a lesson was {said}.",
                detail={"marks": {str(who.token): mark for who, mark in wanted.items()}, "before": was},
            )
    return RegisterTaken(new=len(fresh), changed=len(changed))


def _check(lesson: Lesson, marks: Mapping[User, str]) -> None:
    here = set(led_learners(lesson.session).values_list("pk", flat=True))
    if any(mark not in Attendance.Mark.values for mark in marks.values()):
        raise UnknownMark
    if any(learner.pk not in here for learner in marks):
        raise UnknownMark


def _wanted(
    marks: Mapping[User, str], seen: Mapping[User, str] | None, kept: Mapping[int, str]
) -> dict[User, str]:
    """The marks to write: those that differ from what is kept and that this form really changes."""
    wanted = {learner: mark for learner, mark in marks.items() if kept.get(learner.pk) != mark}
    if seen is None:
        return wanted
    wanted = {learner: mark for learner, mark in wanted.items() if seen.get(learner, "") != mark}
    conflicts = {
        learner: kept[learner.pk]
        for learner in wanted
        if learner.pk in kept and kept[learner.pk] != seen.get(learner, "")
    }
    if conflicts:
        raise RegisterChanged(conflicts)
    return wanted
