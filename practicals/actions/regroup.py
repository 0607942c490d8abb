"""Draws a session's groups afresh."""

import secrets
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals import audit
from practicals.access import planned_sessions
from practicals.actions.plan_session import LARGEST_SEED, CannotPlan, check_stands, draw_groups
from practicals.models import GroupMember, Session, User
from reagents.models import claim_version


def regroup(
    *,
    by: User,
    session: Session,
    now: datetime,
    seed: int | None = None,
    group_size: int | None = None,
    seen_version: int | None = None,
) -> Session:
    """Group the whole class again by size and seed. Guests who catch up here stay where they are."""
    if not by.has_perm("practicals.plan_session") or not planned_sessions(by).contains(session):
        raise PermissionDenied
    with transaction.atomic():
        session = Session.objects.select_for_update().get(pk=session.pk)
        check_stands(session)
        claim_version(session, session.version if seen_version is None else seen_version)
        if session.started_at is not None:
            raise CannotPlan("The session has started, so groups are no longer drawn; move learners by hand.")
        session.group_size = group_size or session.group_size
        session.group_seed = secrets.randbelow(LARGEST_SEED) if seed is None else seed
        session.save(update_fields=["version", "group_size", "group_seed"])
        learners = list(session.teaching_class.learners())
        GroupMember.objects.filter(session=session, home_session=None).exclude(learner__in=learners).delete()
        draw_groups(session, learners)
        audit.record(
            by=by,
            action="regroup",
            subject=session,
            sentence="Drew the groups afresh.",
            detail={"seed": session.group_seed, "group_size": session.group_size},
        )
    return session
