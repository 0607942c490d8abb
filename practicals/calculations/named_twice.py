"""What the spots of an unknown were taken for, as far as one can doubt it without the key."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from practicals.calculations.doubts import Doubt
from practicals.calculations.entry import PaperFacts, ReadingEntry


def named_twice(entry: ReadingEntry, *, paper: PaperFacts) -> Iterator[Doubt]:
    """Doubt two spots of one lane that were taken for the same standard.

    Parameters
    ----------
    entry : ReadingEntry
        The readings [mm].
    paper : PaperFacts
        The paper's lanes, for the names of the standards.

    Yields
    ------
    Doubt
        One for each such pair, at the later spot. Whether a name is right plays no part.

    References
    ----------
    .. [1] One substance makes one spot: common practice, no source.
    """
    unknowns = {lane.number for lane in paper.lanes if not lane.is_standard}
    for lane in entry.lanes:
        if lane.number not in unknowns:
            continue
        for (first, one), (second, other) in combinations(enumerate(lane.spots, start=1), 2):
            if one.identified_as and one.identified_as == other.identified_as:
                yield Doubt(
                    "named-twice",
                    "doubtful",
                    f"Lane {lane.number}: spots {first} and {second} are both taken for"
                    f" {paper.name_of(one.identified_as)}. One substance makes one spot.",
                    lane.number,
                    second,
                )
