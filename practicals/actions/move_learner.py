"""Moves one learner to another group."""

from datetime import datetime

from practicals.actions.arrange_groups import arrange_groups
from practicals.models import Group, GroupMember, Session, User


def move_learner(*, by: User, session: Session, learner: User, group: Group, now: datetime) -> GroupMember:
    """One move, by the rules and with the audit row of `arrange_groups`."""
    arrange_groups(by=by, session=session, places={learner: group.number}, now=now)
    return GroupMember.objects.get(session=session, learner=learner)
