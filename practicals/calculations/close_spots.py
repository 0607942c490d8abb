"""Two spots of one paper held against each other, with the smaller uncertainty that their difference has.

Compared are neighbouring spots of one lane, standards that stand close, and in any case the two standards
nearest each other: the pair on which the naming of an unknown hangs.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from practicals.calculations.differences import Difference, difference_on_one_paper
from practicals.calculations.identification import LANES_U
from practicals.calculations.rf import NoRetardationFactorError, retardation_factor
from practicals.calculations.uncertainty import COVERAGE, Located

#: Standards closer than this are each held against the next [-]: the window within which an unknown's spot
#: is compatible with both.
CLOSE = COVERAGE * LANES_U


@dataclass(frozen=True, slots=True)
class PlacedSpot:
    """A spot's place [mm], the front of its lane where it has its own, and what is in the lane."""

    lane: int
    number: int
    key: str
    label: str
    is_standard: bool
    spot: Located
    front: Located | None = None


@dataclass(frozen=True, slots=True)
class ClosePair:
    """Two spots of one paper and the difference of their R_f [-]."""

    first: PlacedSpot
    second: PlacedSpot
    difference: Difference

    @property
    def sentence(self) -> str:
        """Which two, by how much they differ, and whether the readings tell them apart."""
        if self.first.lane == self.second.lane:
            return (
                f"Lane {self.first.lane}, spots {self.first.number} and {self.second.number}:"
                f" {self.difference.words}"
            )
        said = f"Lanes {self.first.label} and {self.second.label}: {self.difference.words}"
        if self.difference.told_apart and abs(self.difference.delta) <= CLOSE:
            said += f" But one substance can lie up to {CLOSE:.2f} apart in two lanes of a paper."
        return said


def close_pairs(
    spots: Sequence[PlacedSpot], *, origin: Located, front: Located | None
) -> tuple[ClosePair, ...]:
    """The spots of one paper that are worth holding against each other.

    Parameters
    ----------
    spots : Sequence[PlacedSpot]
        All spots of the paper [mm].
    origin : Located
        The origin line [mm].
    front : Located or None
        The paper's solvent front [mm]; without it only lanes with a front of their own are compared.

    Returns
    -------
    tuple[ClosePair, ...]
        Spots of one lane from the origin line up, then standards from the lowest R_f up.

    References
    ----------
    .. [1] JCGM 100:2008, 5.1.2: origin and front are shared and nearly drop out of the difference.
    .. [2] What lanes of one paper add: STU_AA9 in SOURCES.csv, see `identification.LANES_U`.
    """
    placed = [spot for spot in spots if front is not None or spot.front is not None]
    lanes: dict[int, list[PlacedSpot]] = {}
    for spot in placed:
        lanes.setdefault(spot.lane, []).append(spot)
    found = [pair for lane in lanes.values() for pair in _neighbours(lane, origin, front)]
    standards = [spot for spot in placed if spot.is_standard]
    across = [pair for pair in _neighbours(standards, origin, front) if pair.first.key != pair.second.key]
    nearest = min((abs(pair.difference.delta) for pair in across), default=0.0)
    reach = max(CLOSE, nearest)
    return (*found, *(pair for pair in across if abs(pair.difference.delta) <= reach))


def _neighbours(spots: Sequence[PlacedSpot], origin: Located, front: Located | None) -> Iterator[ClosePair]:
    """Each spot and the next one up, by R_f; an impossible one is compared with nothing."""
    found = []
    for spot in spots:
        end = spot.front or front
        rf = None if end is None else _rf(spot, origin, end)
        if end is not None and rf is not None and 0 <= rf <= 1:
            found.append((rf, spot, end))
    for (_, one, end), (_, other, _) in pairwise(sorted(found, key=lambda one: one[0])):
        difference = difference_on_one_paper(
            one.spot,
            other.spot,
            origin=origin,
            front=front or end,
            first_front=one.front,
            second_front=other.front,
        )
        yield ClosePair(one, other, difference)


def _rf(spot: PlacedSpot, origin: Located, front: Located) -> Decimal | None:
    try:
        return retardation_factor(spot_mm=spot.spot.at_mm, origin_mm=origin.at_mm, front_mm=front.at_mm)
    except NoRetardationFactorError:
        return None
