"""Point a brief at the sessions whose evidence it draws on."""

from collections.abc import Collection
from datetime import date, datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction
from django.utils import timezone

from assessment.models import Assignment, Brief, Work
from practicals import access, audit
from practicals.models import Role, Session, TeachingClass, User


def make_assignment(
    *,
    by: User,
    brief: Brief,
    sessions: Collection[Session],
    assessor: User,
    due_at: datetime,
    now: datetime,
    hand_out_on: date | None = None,
) -> Assignment:
    """Make the assignment and a work for each learner of the class.

    `hand_out_on` is the day it is planned to be handed out; issuing says when it was.

    A learner who joins one of the sessions as a catch-up has their work with their own class's
    assignment and assessor, and so gets none here.
    """
    if not by.has_perm("assessment.make_assignment"):
        raise PermissionDenied
    _check(by, sessions, assessor, due_at, now)
    if hand_out_on and hand_out_on > timezone.localdate(due_at):
        raise ValidationError("It cannot be handed out after it is due. Choose an earlier day.")
    with transaction.atomic():
        assignment = Assignment.objects.create(
            brief=brief,
            teaching_class=_the_class(sessions),
            assessor=assessor,
            hand_out_on=hand_out_on,
            due_at=due_at,
        )
        assignment.sessions.set(sessions)
        Work.objects.bulk_create(
            Work(assignment=assignment, learner=learner, assessor=assessor)
            for learner in assignment.teaching_class.learners()
        )
        audit.record(
            by=by, action="make_assignment", subject=assignment, sentence=f"Assignment “{brief}” made."
        )
    return assignment


def _check(by: User, sessions: Collection[Session], assessor: User, due_at: datetime, now: datetime) -> None:
    if not sessions:
        raise ValidationError("An assignment draws on at least one session. Tick the sessions it uses.")
    mine = set(access.planned_sessions(by).values_list("pk", flat=True))
    if any(session.pk not in mine for session in sessions):
        raise PermissionDenied
    if any(session.withdrawn_at for session in sessions):
        raise ValidationError("One of the sessions was withdrawn. Leave it out.")
    if len({session.teaching_class_id for session in sessions}) > 1:
        raise ValidationError("All sessions of one assignment belong to one class. Make one for each class.")
    if not assessor.holds(Role.TEACHER):
        raise ValidationError("The assessor must be a teacher.")
    if due_at <= now:
        raise ValidationError("The date it is due has passed. Choose a later one.")


def _the_class(sessions: Collection[Session]) -> TeachingClass:
    return next(iter(sessions)).teaching_class
