"""Neighbouring spots stand apart by their edges; a half-width gives no width.

R_s = 2 (distance of centres) / (sum of lengths): IUPAC Gold Book, doi:10.1351/goldbook.P04465, derived.
"""

from decimal import Decimal

from practicals.calculations.entry import LaneEntry, LaneFacts, PaperFacts, ReadingEntry, SpotEntry
from practicals.calculations.neighbouring_spots import edges_wanted, neighbours
from practicals.calculations.review import review_readings

D = Decimal

LANES = tuple(LaneFacts(number, f"x{number}", f"unknown {number}", False) for number in (1, 2, 3))
PAPER = PaperFacts(D(100), D(150), D(10), D(1), LANES)


def checked(*lanes):
    return review_readings(
        ReadingEntry(
            origin_mm=D(10),
            front_mm=D(110),
            lanes=tuple(LaneEntry(number, spots) for number, spots in enumerate(lanes, start=1)),
        ),
        paper=PAPER,
    )


def edges(leading, trailing, **more):
    return SpotEntry(None, D(leading), D(trailing), **more)


def test_two_spots_with_edges():
    # Centres 33 and 47 mm, lengths 6 and 6 mm: 2 * 14 / 12 = 2.33.
    found = list(neighbours(checked((edges(36, 30), edges(50, 44)))))
    assert [one.sentence for one in found] == [
        "Lane 1, spots 1 and 2: Resolution 2.33: the spots stand clear of each other."
    ]
    assert edges_wanted(checked((edges(36, 30), edges(50, 44)))) == ""


def test_a_half_width_is_no_width():
    stated = (SpotEntry(D(33), judged_to_mm=D(3)), SpotEntry(D(47), judged_to_mm=D(3)))
    assert list(neighbours(checked(stated))) == []
    assert edges_wanted(checked(stated)) == (
        "Lane 1: not enough readings for the resolution, which takes both edges of each spot."
    )


def test_edges_beside_a_half_width_still_count():
    both = (edges(36, 30, judged_to_mm=D(1)), edges(50, 44))
    assert len(list(neighbours(checked(both)))) == 1


def test_lanes_are_named_together_and_a_single_spot_wants_nothing():
    pair = (SpotEntry(D(33)), edges(50, 44))
    said = edges_wanted(checked(pair, (SpotEntry(D(33)),), pair))
    assert said.startswith("Lanes 1 and 3: not enough readings")
