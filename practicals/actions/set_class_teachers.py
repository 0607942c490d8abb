"""Say who teaches a class: an administrator any teacher, a teacher of the class a colleague besides."""

from collections.abc import Collection

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import readable_classes
from practicals.audit import record
from practicals.models import Role, TeachingClass, User


class CannotSetTeachers(ValueError):
    """Somebody named is no teacher, or nobody would be left; the message says what to do."""


class NobodyLeft(CannotSetTeachers):
    """The class would have no teacher, and that was not asked for."""


def set_class_teachers(
    *, by: User, teaching_class: TeachingClass, teachers: Collection[User], without_teacher: bool = False
) -> TeachingClass:
    """Make `teachers` the teachers of the class; for whoever only teaches it, add them to those it has.

    A class is left without a teacher only when `without_teacher` says that this is meant.
    """
    if not by.has_perm("practicals.see_classes") or not readable_classes(by).contains(teaching_class):
        raise PermissionDenied
    with transaction.atomic():
        kept: TeachingClass = TeachingClass.objects.select_for_update().get(pk=teaching_class.pk)
        had = {person.pk: person for person in kept.teachers.all()}
        wanted = {person.pk: person for person in teachers}
        if not by.has_perm("practicals.manage_people"):
            wanted |= had
        joining = [person for pk, person in wanted.items() if pk not in had]
        leaving = [person for pk, person in had.items() if pk not in wanted]
        _check(joining, nobody=not wanted and bool(had) and not without_teacher)
        if joining or leaving:
            kept.teachers.add(*joining)
            kept.teachers.remove(*leaving)
            record(
                by=by,
                action="set_class_teachers",
                subject=kept,
                sentence=f"The teachers of a class changed: {len(joining)} joined, {len(leaving)} left.",
                detail={
                    "joined": sorted(str(person.token) for person in joining),
                    "left": sorted(str(person.token) for person in leaving),
                },
            )
    return kept


def _check(joining: Collection[User], *, nobody: bool) -> None:
    may_teach = set(
        User.objects.holding(Role.TEACHER)
        .filter(pk__in=[person.pk for person in joining])
        .values_list("pk", flat=True)
    )
    others = [person.name for person in joining if person.pk not in may_teach]
    if others:
        raise CannotSetTeachers(
            f"{others[0]} is no teacher here or may not sign in. Change that account or choose another."
        )
    if nobody:
        raise NobodyLeft(
            "Then nobody teaches this class, and only an administrator can open its page. If that is meant, "
            "tick “Leave the class without a teacher” and send the form again."
        )
