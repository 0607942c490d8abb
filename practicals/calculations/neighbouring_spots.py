"""How well the neighbouring spots of one lane stand apart, where their edges say so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from practicals.calculations.relative import NoResolutionError, Resolution, resolution
from practicals.calculations.review import LaneReview, Review


@dataclass(frozen=True, slots=True)
class Neighbours:
    """Two spots of one lane and how well they stand apart."""

    lane: int
    first: int
    second: int
    resolution: Resolution

    @property
    def sentence(self) -> str:
        """Which two, and how well."""
        return f"Lane {self.lane}, spots {self.first} and {self.second}: {self.resolution.words}"


def neighbours(review: Review) -> Iterator[Neighbours]:
    """The resolution of every two neighbouring spots whose edges were all read.

    A half-width says how well a centre could be judged, not how long the spot is: it gives no resolution.

    Parameters
    ----------
    review : Review
        The readings, checked [mm].

    Yields
    ------
    Neighbours
        Lane by lane, from the origin line up.

    References
    ----------
    .. [1] As for `practicals.calculations.relative.resolution`.
    """
    for lane in review.lanes:
        for one, other in pairwise(sorted(lane.spots, key=lambda spot: spot.centre_mm)):
            edges = one.leading_mm, one.trailing_mm, other.leading_mm, other.trailing_mm
            leading, trailing, next_leading, next_trailing = edges
            if leading is None or trailing is None or next_leading is None or next_trailing is None:
                continue
            try:
                found = resolution(
                    leading_mm=leading,
                    trailing_mm=trailing,
                    next_leading_mm=next_leading,
                    next_trailing_mm=next_trailing,
                )
            except NoResolutionError:
                continue
            yield Neighbours(lane.number, one.number, other.number, found)


def edges_wanted(review: Review) -> str:
    """Where spots of one lane have too few readings for a resolution, as a sentence.

    Parameters
    ----------
    review : Review
        The readings, checked [mm].

    Returns
    -------
    str
        The lanes with several spots of which not all have both edges; empty if there is none.

    References
    ----------
    .. [1] Common practice, no source.
    """
    lanes = [str(lane.number) for lane in review.lanes if len(lane.spots) > 1 and _lacks_edges(lane)]
    if not lanes:
        return ""
    named = f"Lane {lanes[0]}" if len(lanes) == 1 else f"Lanes {', '.join(lanes[:-1])} and {lanes[-1]}"
    return f"{named}: not enough readings for the resolution, which takes both edges of each spot."


def _lacks_edges(lane: LaneReview) -> bool:
    return any(spot.leading_mm is None or spot.trailing_mm is None for spot in lane.spots)
