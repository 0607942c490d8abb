"""Show one learner more help than the session's setting. It is help given, so it stands in the evidence."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import led_learners, led_sessions
from practicals.audit import record
from practicals.models import HelpGiven, HelpReleased, Session, User
from practicals.models.help_setting import help_setting_for, higher_than


class CannotReleaseHelp(ValueError):
    """The learner sees that much already, or there is no such setting."""


def release_help(*, by: User, session: Session, learner: User, setting: str, now: datetime) -> HelpReleased:
    """Release a higher help setting to one learner; what was shown cannot be taken back."""
    if not by.has_perm("practicals.change_conditions") or not led_sessions(by).filter(pk=session.pk).exists():
        raise PermissionDenied
    if not led_learners(session).filter(pk=learner.pk).exists():
        raise PermissionDenied
    with transaction.atomic():
        # Two people may release at once: the second must see what the first did.
        Session.objects.select_for_update().get(pk=session.pk)
        before = help_setting_for(session, learner)
        if setting not in dict(higher_than(before)):
            raise CannotReleaseHelp(
                f"The program shows this learner “{Session.Help(before).label}” already."
                " Choose a setting that shows more."
            )
        released: HelpReleased = HelpReleased.objects.create(
            session=session, learner=learner, setting=setting, by=by, at=now
        )
        HelpGiven.objects.create(
            session=session,
            learner=learner,
            by=by,
            at=now,
            text=f"Released more help by the program: {Session.Help(setting).label}"
            f" instead of {Session.Help(before).label}.",
        )
        record(
            by=by,
            action="release_help",
            subject=released,
            sentence="More help by the program was released to one learner.",
            detail={"session": str(session.uuid), "learner": str(learner.token), "setting": setting},
        )
    return released
