"""A time of day as a person types it at the bench: 14:05, of today or of just before midnight."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

_CLOCK = re.compile(r"(\d{1,2})[:.](\d{2})(?:[:.](\d{2}))?")
#: Clocks in a room differ by so much.
CLOCKS_DIFFER = timedelta(minutes=1)
#: A time later than now is taken for yesterday's only so soon after midnight.
BACK_OVER_MIDNIGHT = timedelta(hours=12)


class NotATimeError(ValueError):
    """What was typed is no time of day that has passed; the message says what to write."""


def read_clock(text: str, *, now: datetime) -> datetime:
    """The latest moment at which the clock showed what was typed.

    Parameters
    ----------
    text : str
        What was typed, such as "14:05" or "9.30" [-].
    now : datetime
        The current time, in the zone of the clock on the wall.

    Returns
    -------
    datetime
        A moment in the zone of `now`: today's, or yesterday's if that is less than twelve hours ago. In the
        hour that the clocks go through twice, the later one that has passed.

    Raises
    ------
    NotATimeError
        If it is no time of day, or lies in the future.

    References
    ----------
    .. [1] ISO 8601-1:2019, 24-hour clock, for the way to write it.
    """
    tidy = "".join(text.split())
    found = _CLOCK.fullmatch(tidy) if tidy.isascii() else None
    parts = [int(part or 0) for part in found.groups()] if found else []
    if not parts or parts[0] > 23 or parts[1] > 59 or parts[2] > 59:
        shown = text.strip()[:20]
        raise NotATimeError(f"“{shown}” is no time of day. Write hours and minutes, such as 14:05.")
    today = now.replace(hour=parts[0], minute=parts[1], second=parts[2], microsecond=0)
    # Absolute times are compared: within one zone Python compares what the clocks show.
    moment = now.timestamp()
    latest = moment + CLOCKS_DIFFER.total_seconds()
    passed = [
        one
        for day in (today, today - timedelta(days=1))
        for one in (day.replace(fold=1), day.replace(fold=0))
        if one.timestamp() <= latest
    ]
    newest = max(passed, key=lambda one: one.timestamp())
    if moment - newest.timestamp() > BACK_OVER_MIDNIGHT.total_seconds() and newest.date() != now.date():
        raise NotATimeError(
            f"{today:%H:%M} is still to come; it is {now:%H:%M}. Enter when it was, or leave the time empty"
            " for now."
        )
    return newest
