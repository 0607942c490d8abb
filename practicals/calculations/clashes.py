"""Lessons that want the same room, leader or class at the same time."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime, timedelta


@dataclass(frozen=True, slots=True)
class Booking:
    """A lesson as a claim on a room, a leader and a class."""

    session: str
    starts_at: datetime
    minutes: int
    room: str
    leader: str
    teaching_class: str


def clashes(lesson: Booking, others: Iterable[Booking]) -> list[str]:
    """What the lesson shares with others that overlap it in time.

    Lessons that only touch (one ends when the other begins) do not overlap. Another lesson of the same
    session shares leader and class by nature, but cannot be at the same time either.

    Parameters
    ----------
    lesson : Booking
        The lesson looked at [-].
    others : Iterable[Booking]
        Lessons that may overlap it; itself left out [-].

    Returns
    -------
    list[str]
        Short phrases such as "Lab 2 is taken by another session", each once; empty when nothing clashes.

    References
    ----------
    .. [1] Common practice, no source.
    """
    overlapping = [
        other for other in others if other.starts_at < _end(lesson) and lesson.starts_at < _end(other)
    ]
    return list(dict.fromkeys(phrase for other in overlapping for phrase in _shared(lesson, other)))


def _shared(lesson: Booking, other: Booking) -> Iterator[str]:
    if other.session == lesson.session:
        yield "another lesson of this session is at the same time"
        return
    if _folded(other.room) == _folded(lesson.room):
        yield f"{lesson.room} is taken by another session"
    if other.leader == lesson.leader:
        yield "its leader also leads a lesson of another session"
    if other.teaching_class == lesson.teaching_class:
        yield "the class also has a lesson of another session"


def _end(booking: Booking) -> datetime:
    return booking.starts_at + timedelta(minutes=booking.minutes)


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())
