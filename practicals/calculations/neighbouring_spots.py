"""How well the neighbouring spots of one lane stand apart, where their edges say so."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from practicals.calculations.relative import NoResolutionError, Resolution, resolution
from practicals.calculations.review import Review


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


def edges_wanted(review: Review) -> Iterator[str]:
    """Where spots of one lane have too few readings for a resolution, as sentences.

    Parameters
    ----------
    review : Review
        The readings, checked [mm].

    Yields
    ------
    str
        One sentence for each lane with several spots, not all of them with both edges.

    References
    ----------
    .. [1] Common practice, no source.
    """
    for lane in review.lanes:
        without = [
            str(spot.number) for spot in lane.spots if spot.leading_mm is None or spot.trailing_mm is None
        ]
        if len(lane.spots) > 1 and without:
            spots = f"spot{'s' if len(without) > 1 else ''} {' and '.join(without)}"
            yield (
                f"Lane {lane.number}: not enough readings for the resolution; it takes both edges of {spots}."
            )
