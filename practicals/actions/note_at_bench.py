"""A time-stamped note about a learner at the bench, from which an observation record may be written."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import led_learners, led_sessions
from practicals.audit import record
from practicals.models import BenchNote, Session, User

LONGEST_NOTE = 500


class NoteRefused(ValueError):
    """The note is empty or too long; the message says which."""


def note_at_bench(*, by: User, session: Session, learner: User, text: str, now: datetime) -> BenchNote:
    """Keep a note under the time it was written. Notes are added, never changed."""
    if not by.has_perm("practicals.run_lesson") or not led_sessions(by).filter(pk=session.pk).exists():
        raise PermissionDenied
    if not led_learners(session).filter(pk=learner.pk).exists():
        raise PermissionDenied
    text = text.strip()
    if not text:
        raise NoteRefused("Write what you saw, for example “applied lane 2 with a steady hand”.")
    if len(text) > LONGEST_NOTE:
        raise NoteRefused(f"A note holds {LONGEST_NOTE} characters; yours has {len(text)}. Make two of it.")
    with transaction.atomic():
        note: BenchNote = BenchNote.objects.create(session=session, learner=learner, by=by, at=now, text=text)
        record(
            by=by,
            action="note_at_bench",
            subject=note,
            sentence="A note was written at the bench.",
            detail={"session": str(session.uuid), "learner": str(learner.token)},
        )
    return note
