"""Help that a person gave a learner. It is part of the evidence."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import led_learners, led_sessions
from practicals.audit import record
from practicals.models import HelpGiven, Paper, Session, User

LONGEST_HELP = 1000


class HelpRefused(ValueError):
    """The record of help is empty, too long or names a paper of another session."""


def give_help(
    *,
    by: User,
    session: Session,
    learner: User,
    text: str,
    paper: Paper | None = None,
    now: datetime,
) -> HelpGiven:
    """Record what help was given and when, on one paper or on the work as a whole."""
    if not by.has_perm("practicals.run_lesson") or not led_sessions(by).filter(pk=session.pk).exists():
        raise PermissionDenied
    if not led_learners(session).filter(pk=learner.pk).exists():
        raise PermissionDenied
    text = text.strip()
    if not text:
        raise HelpRefused("Write what you helped with, for example “showed where the front is”.")
    if len(text) > LONGEST_HELP:
        raise HelpRefused(f"At most {LONGEST_HELP} characters; yours has {len(text)}. Say it in fewer words.")
    if paper is not None and paper.group.session_id != session.pk:
        raise HelpRefused("This paper belongs to another session. Choose one of this session.")
    with transaction.atomic():
        given: HelpGiven = HelpGiven.objects.create(
            session=session, learner=learner, paper=paper, by=by, at=now, text=text
        )
        record(
            by=by,
            action="give_help",
            subject=given,
            sentence="Help given to a learner was recorded.",
            detail={"session": str(session.uuid), "learner": str(learner.token)},
        )
    return given
