"""The whole list of what was tried."""

from decimal import Decimal
from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from practicals.calculations.hypotheses import Neighbour
from practicals.calculations.slip_making import random_paper
from practicals.calculations.slip_ranking import RIGHT, ranked
from practicals.calculations.slip_trials import explained, stated_on
from practicals.calculations.slips import NotAnRfError

D = Decimal
PAPER = {
    "spot_mm": D(30),
    "origin_mm": D(10),
    "front_mm": D(90),
    "paper_height_mm": D(110),
    "leading_mm": D(33),
    "neighbours": [Neighbour("3", D(70))],
}


def test_every_slip_of_the_table_with_its_value_err2_err3_err5():
    # R_f 0.25, front 80, origin 10 mm up, paper 110, radius 3 mm, a neighbour at 60 of 80: worked by hand.
    values = {(one.slip, f"{one.value}") for one in ranked("0.31", **PAPER)}
    assert values >= {
        (RIGHT, "0.25"),
        ("inverted", "4.00"),
        ("from-the-front", "0.75"),
        ("both-from-edge", "0.33"),
        ("spot-from-edge", "0.38"),
        ("front-from-edge", "0.22"),
        ("spot-in-cm", "0.03"),
        ("front-in-cm", "2.50"),
        ("percentage", "25.00"),
        ("paper-height-as-front", "0.18"),
        ("paper-height-as-front", "0.20"),
        ("leading-edge", "0.29"),
        ("neighbour-spot", "0.75"),
    }


def test_the_right_value_comes_first_and_alone():
    first, *rest = ranked("0.25", **PAPER)
    assert (first.slip, first.fits) == (RIGHT, True)
    assert not any(one.fits for one in rest)


def test_what_fits_comes_before_the_rest_and_ties_stand_together():
    first, second, third, fourth, *_ = ranked("0.75", **PAPER)
    assert (first.slip, first.fits) == (RIGHT, False)
    assert {second.slip, third.slip} == {"from-the-front", "neighbour-spot"}
    assert [one.fits for one in (second, third, fourth)] == [True, True, False]


def test_cutting_off_is_among_what_fits():
    # 41 / 76 = 0.5395
    _, second, *_ = ranked("0.53", spot_mm=D(41), origin_mm=D(0), front_mm=D(76))
    assert (second.slip, second.fits) == ("truncated", True)


def test_what_is_no_number_is_refused():
    with pytest.raises(NotAnRfError):
        ranked("abc", **PAPER)


@settings(deadline=None)
@given(st.integers(0, 10**6))
def test_what_fits_in_the_list_is_what_explains(seed):
    random = Random(seed)
    paper = random_paper(random)
    for _, lane, stated in stated_on(paper, random):
        found = explained(paper, lane, stated)
        listed = ranked(
            stated,
            spot_mm=paper.spots_mm[lane],
            origin_mm=paper.origin_mm,
            front_mm=paper.front_mm,
            paper_height_mm=paper.height_mm,
            leading_mm=paper.spots_mm[lane] + paper.radius_mm,
            neighbours=[
                Neighbour(str(other), spot) for other, spot in enumerate(paper.spots_mm) if other != lane
            ],
        )
        assert listed[0].slip == RIGHT
        assert listed[0].fits == (found.verdict == "right")
        if paper.zero_at_edge:  # then `explained` reads from the paper's edge, as this does
            assert {one.slip for one in listed[1:] if one.fits} == {match.slip for match in found.matches}
        order = [one.fits for one in listed[1:]]
        assert order == sorted(order, reverse=True)


def test_a_neighbour_that_is_only_near_does_not_fit():
    # Neighbours at 37 and 37.5 of 80: 0.4625 and 0.46875; 0.46 is stated.
    listed = ranked(
        "0.46",
        spot_mm=D(22),
        origin_mm=D(0),
        front_mm=D(80),
        neighbours=[Neighbour("2", D(37)), Neighbour("3", D("37.5"))],
    )
    assert [one.detail for one in listed if one.fits] == ["in lane 2"]


def test_a_slip_that_was_then_cut_off_fits():
    # (40 + 10) / (80 + 10) = 0.5556, cut off to 0.55.
    listed = ranked("0.55", spot_mm=D(50), origin_mm=D(10), front_mm=D(90))
    assert [one.slip for one in listed if one.fits] == ["both-from-edge"]
