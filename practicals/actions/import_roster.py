"""Take the classes of a roster into the centre: all that were chosen, or nothing."""

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.actions.import_class import (
    CannotImport,
    ClassListRefused,
    check_class_list,
    import_class,
)
from practicals.audit import record
from practicals.calculations.class_list import Comparison, Entry
from practicals.calculations.oneroster import RosterClass, RosterPerson
from practicals.models import Role, RosterIdentity, TeachingClass, User


class RosterRefused(ValueError):
    """Something stands in the way, so nothing was taken in; the message says what."""


@dataclass(frozen=True, slots=True)
class RosterPlan:
    """What would become of one class."""

    found: RosterClass
    existing: TeachingClass | None
    compared: Comparison
    teachers: tuple[User, ...]
    unknown_teachers: tuple[str, ...]

    @property
    def joining(self) -> int:
        return len(self.compared.new) + len(self.compared.elsewhere)


def plan_roster(*, classes: Sequence[RosterClass]) -> list[RosterPlan]:
    """Hold each class against the centre. Changes nothing."""
    return [_plan(found) for found in classes]


def import_roster(*, by: User, classes: Sequence[RosterClass], now: datetime) -> list[TeachingClass]:
    """Make or complete the classes, in one transaction. A class that needs nothing is left alone."""
    if not by.has_perm("practicals.import_roster"):
        raise PermissionDenied
    if not classes:
        raise RosterRefused("No class was chosen, so there is nothing to take in.")
    with transaction.atomic():
        taken = [_take_in(by, found, now) for found in classes]
        for teaching_class in taken:
            record(
                by=by,
                action="import_roster",
                subject=teaching_class,
                sentence=f"Class {teaching_class} was held against a roster.",
            )
    return taken


def _plan(found: RosterClass) -> RosterPlan:
    existing = _existing(found)
    teachers, unknown = _teachers(found.teachers)
    return RosterPlan(
        found,
        existing,
        check_class_list(teaching_class=existing, rows=_entries(found.learners)),
        teachers,
        unknown,
    )


def _existing(found: RosterClass) -> TeachingClass | None:
    known = RosterIdentity.objects.filter(kind=RosterIdentity.Kind.CLASS, sourced_id=found.sourced_id)
    identity = known.select_related("teaching_class").first()
    if identity is not None:
        return identity.teaching_class
    by_name: TeachingClass | None = TeachingClass.objects.filter(name__iexact=found.title).first()
    return by_name


def _take_in(by: User, found: RosterClass, now: datetime) -> TeachingClass:
    plan = _plan(found)
    if plan.compared.faults:
        said = " ".join(fault.sentence for fault in plan.compared.faults[:3])
        raise RosterRefused(f"Nothing was taken in. {found.title}: {said}")
    target = plan.existing
    if target is None or plan.joining:
        if target is None and not found.learners:
            raise RosterRefused(f"Nothing was taken in. {found.title} has no learners.")
        try:
            target = import_class(
                by=by,
                name=found.title,
                rows=_entries(found.learners),
                teachers=plan.teachers,
                teaching_class=target,
                now=now,
            )
        except (CannotImport, ClassListRefused) as error:
            raise RosterRefused(f"Nothing was taken in. {found.title}: {error}") from error
    else:
        target.teachers.add(*plan.teachers)
    _remember(found, target)
    return target


def _remember(found: RosterClass, target: TeachingClass) -> None:
    RosterIdentity.objects.update_or_create(
        kind=RosterIdentity.Kind.CLASS,
        sourced_id=found.sourced_id,
        defaults={"teaching_class": target, "school": found.school, "term": (*found.terms, "")[0]},
    )
    numbers = {person.number.casefold(): person for person in found.learners}
    learners = User.objects.filter(enrolments__teaching_class=target, enrolments__left_at=None)
    for learner in learners.filter(roster_identity=None).exclude(reference=""):
        person = numbers.get(learner.reference.casefold())
        if person is not None:
            RosterIdentity.objects.update_or_create(
                kind=RosterIdentity.Kind.PERSON,
                sourced_id=person.sourced_id,
                defaults={"person": learner},
            )


def _teachers(people: Collection[RosterPerson]) -> tuple[tuple[User, ...], tuple[str, ...]]:
    """Accounts of that sign-in name; staff get their accounts from the administrator, never from a file."""
    known, unknown = [], []
    for person in people:
        holders = User.objects.holding(Role.TEACHER)
        account = holders.filter(username__iexact=person.username).first() if person.username else None
        if account is not None:
            known.append(account)
        else:
            unknown.append(person.name)
    return tuple(known), tuple(unknown)


def _entries(people: Sequence[RosterPerson]) -> list[Entry]:
    return [Entry(person.row, person.name, person.sort_name, person.number) for person in people]
