"""What the bench board says about readings, in few words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Collection
from typing import Literal

from practicals.calculations.review import Review, SpotReview

#: The kinds of state that the board tells apart; each has its word, and its shape in the stylesheet.
Kind = Literal["not-yet", "open", "done", "closed"]


def flag_words(review: Review) -> tuple[str, ...]:
    """What a teacher may want to look at in one set of readings, with counts.

    Parameters
    ----------
    review : Review
        The readings, checked [mm].

    Returns
    -------
    tuple of str
        Impossible first, then doubtful, then own R_f that differ with the slip that would explain each.

    References
    ----------
    .. [1] Common practice, no source.
    """
    found = []
    if review.impossible:
        found.append(f"{len(review.impossible)} impossible")
    if review.doubtful:
        found.append(f"{len(review.doubtful)} doubtful")
    if review.differing:
        slips = Counter(slip_words(spot) for spot in review.differing)
        named = "; ".join(f"{words} ({count})" for words, count in slips.items())
        found.append(f"own R_f differs in {len(review.differing)}: {named}")
    return tuple(found)


def slip_words(spot: SpotReview) -> str:
    """The slip, or the slips, that would explain a spot's own R_f.

    Parameters
    ----------
    spot : SpotReview
        A spot whose own R_f differs [mm].

    Returns
    -------
    str
        The slips' names joined by "or", or that none of the usual ones explains it.

    References
    ----------
    .. [1] Common practice, no source.
    """
    if spot.explanation is None or not spot.explanation.matches:
        return "none of the usual slips explains it"
    return " or ".join(dict.fromkeys(match.name for match in spot.explanation.matches))


def reading_state(review: Review, *, locked: bool) -> tuple[str, Kind]:
    """How far one set of readings is.

    Parameters
    ----------
    review : Review
        The readings, checked [mm].
    locked : bool
        Measuring is finished [-].

    Returns
    -------
    tuple of str and str
        The words, and the kind of state.

    References
    ----------
    .. [1] Common practice, no source.
    """
    if review.no_result:
        return ("no result, finished", "done") if locked else ("no result, not finished", "open")
    lanes = f"{review.lanes_complete} of {len(review.lanes)} lanes"
    if locked:
        return ("finished" if review.complete else f"finished, {lanes}", "done")
    begun = review.spots or review.origin_mm is not None or review.front_mm is not None
    begun = begun or any(lane.no_result or lane.has_own_front for lane in review.lanes)
    return (f"draft, {lanes}", "open") if begun else ("nothing yet", "not-yet")


def group_stage(kinds: Collection[Kind]) -> tuple[str, Kind]:
    """How far a group is, from how far each of its members is who is not absent.

    Parameters
    ----------
    kinds : Collection of str
        The kind of state of each member [-].

    Returns
    -------
    tuple of str and str
        The words, and the kind of state.

    References
    ----------
    .. [1] Common practice, no source.
    """
    if not kinds:
        return "nobody here", "closed"
    if all(kind == "done" for kind in kinds):
        return "all finished", "done"
    if all(kind == "not-yet" for kind in kinds):
        return "nothing entered", "not-yet"
    return "measuring", "open"
