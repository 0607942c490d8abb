"""Lets an absent learner do the practical in another class's session."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals import audit
from practicals.access import planned_sessions
from practicals.actions.plan_session import CannotPlan, check_stands
from practicals.models import Group, GroupMember, Session, User


def join_catch_up(
    *,
    by: User,
    learner: User,
    home_session: Session,
    session: Session,
    group: Group,
    now: datetime,
) -> GroupMember:
    """Make the learner a guest in the group; the home session, and so the own assessor, stays recorded."""
    mine = planned_sessions(by).filter(pk__in=[home_session.pk, session.pk])
    if not by.has_perm("practicals.plan_session") or mine.count() != len({home_session.pk, session.pk}):
        raise PermissionDenied
    with transaction.atomic():
        session = Session.objects.select_for_update().select_related("practical").get(pk=session.pk)
        check_stands(session)
        _check(learner, home_session, session, group)
        member = GroupMember.objects.create(
            session=session, group=group, learner=learner, home_session=home_session
        )
        audit.record(
            by=by,
            action="join_catch_up",
            subject=session,
            sentence="An absent learner joined as a catch-up.",
            detail={"learner": str(learner.token), "home": str(home_session.uuid)},
        )
    return member


def _check(learner: User, home_session: Session, session: Session, group: Group) -> None:
    if home_session.pk == session.pk:
        raise CannotPlan("A catch-up happens in another session than the learner's own.")
    if home_session.practical.slug != session.practical.slug:
        raise CannotPlan("The two sessions do different practicals, so one cannot make up for the other.")
    if session.readings_locked_at is not None:
        raise CannotPlan("Bench work in this session has ended. Choose a session that is still to come.")
    if group.session_id != session.pk:
        raise PermissionDenied
    if not GroupMember.objects.filter(session=home_session, learner=learner, home_session=None).exists():
        raise CannotPlan(f"{learner} does not belong to the session chosen as their own.")
    if GroupMember.objects.filter(session=session, learner=learner).exists():
        raise CannotPlan(f"{learner} is in this session already.")
