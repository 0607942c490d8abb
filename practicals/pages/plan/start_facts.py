"""What a teacher may want to know before learners are let in. Facts only: the teacher decides."""

from datetime import datetime

from django.utils import timezone

from practicals.models import Attendance, Chamber, Session


def start_facts(session: Session, now: datetime) -> list[str]:
    """Sentences, none when nothing is left to do."""
    return [fact for fact in (_day(session, now), _chambers(session), _register(session)) if fact]


def _day(session: Session, now: datetime) -> str:
    first = session.lessons.first()
    if first is None:
        return "The session has no lesson yet."
    starts, today = timezone.localtime(first.starts_at), timezone.localtime(now).date()
    if starts.date() == today:
        return ""
    return f"Its first lesson is not today but on {starts:%a} {starts.day} {starts:%b %Y}."


def _chambers(session: Session) -> str:
    chambers = list(Chamber.objects.filter(group__session=session).values_list("batch", flat=True))
    empty = chambers.count(None)
    return f"{empty} of {len(chambers)} chambers are not filled from a batch yet." if empty else ""


def _register(session: Session) -> str:
    taken = Attendance.objects.filter(lesson__session=session).exists()
    return "" if taken else "The register has not been taken yet; it can also be taken later."
