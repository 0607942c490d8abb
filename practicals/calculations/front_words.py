"""What the board says of a paper in its chamber, in a few words."""

from __future__ import annotations

from datetime import datetime
from typing import Literal

from practicals.calculations.front import FrontPrediction

#: As the stylesheet knows them; the word always stands beside the shape.
FrontKind = Literal["open", "waiting", "doubt", "done"]


def front_words(
    prediction: FrontPrediction | None, *, taken_out: datetime | None, now: datetime
) -> tuple[str, FrontKind]:
    """When to take the paper out, or that it is time.

    Parameters
    ----------
    prediction : FrontPrediction or None
        What its heights say; None if the law cannot be asked.
    taken_out : datetime or None
        When it was taken out, in the zone of the clock on the wall.
    now : datetime
        The current time.

    Returns
    -------
    tuple of str and FrontKind
        The words, and how they look: "doubt" wants somebody at once, "waiting" soon.

    References
    ----------
    .. [1] Common practice, no source.
    """
    if taken_out is not None:
        return f"taken out {taken_out:%H:%M}", "done"
    if prediction is None or prediction.stage == "no law":
        return "no time can be given: look at the front", "doubt"
    if prediction.stage == "there":
        return "take out now", "doubt"
    if prediction.stage == "gone":
        return "take out now: the front is at the top", "doubt"
    if prediction.stage == "due":
        return "look now: expected by now", "doubt"
    if not (prediction.take_out and prediction.earliest and prediction.latest):
        return "in the chamber, front not read yet", "open"
    words = (
        f"take out at {prediction.take_out:%H:%M} ({prediction.earliest:%H:%M} to {prediction.latest:%H:%M})"
    )
    soon = now >= prediction.earliest
    return (f"{words}; look now and then", "waiting") if soon else (words, "open")
