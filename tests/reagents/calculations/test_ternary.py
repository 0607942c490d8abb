import re
from decimal import Decimal
from math import sqrt

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reagents.calculations.binodal import TERNARY, Point, measured
from reagents.calculations.composition import from_masses, from_volumes
from reagents.calculations.phases import phases
from reagents.calculations.ternary import BOTTOM, LEFT, SIDE, TALL, place, ternary_diagram


def drawn(*parts, temperature_c=None):
    made = from_volumes(dict(zip(TERNARY, map(Decimal, parts), strict=True)))
    return ternary_diagram(phases(made, temperature_c=temperature_c))


def numbers(path):
    found = [float(number) for number in re.findall(r"-?[\d.]+", path)]
    return list(zip(found[::2], found[1::2], strict=True))


def test_corners_and_sides_of_an_equilateral_triangle():
    water, butanol, acid = (place(Point(*shares)) for shares in ((0, 0, 1), (1, 0, 0), (0, 1, 0)))
    assert (water.y, butanol.y, butanol.x - water.x) == (BOTTOM, BOTTOM, SIDE)
    for corner in (water, butanol):
        assert sqrt((corner.x - acid.x) ** 2 + (corner.y - acid.y) ** 2) == pytest.approx(SIDE, abs=0.01)


def test_a_share_is_the_distance_from_the_side_opposite():
    # Viviani: the three distances from a point within to the sides add up to the height.
    spot = place(Point(0.544, 0.176, 0.280))
    from_water_side = TALL * 0.28
    slope = sqrt(3)
    right_corner = LEFT + SIDE
    away = abs(slope * (spot.x - right_corner) + (spot.y - BOTTOM) * -1) / 2
    assert away == pytest.approx(from_water_side, abs=0.02)


def test_the_mixture_lies_on_its_tie_line_between_its_layers():
    diagram = drawn(4, 1, 5)
    line, spot = diagram.tie_line, diagram.mixture
    assert line.x1 < spot.x < line.x2
    on_line = line.y1 + (line.y2 - line.y1) * (spot.x - line.x1) / (line.x2 - line.x1)
    assert spot.y == pytest.approx(on_line, abs=0.02)
    assert [words.text for words in diagram.labels] == ["this mixture", "upper layer", "lower layer"]


def test_all_measured_points_are_drawn():
    diagram = drawn(12, 3, 5)
    assert len(diagram.first_group) + len(diagram.second_group) == len(measured("binodal"))
    assert len(diagram.plait) == 1
    assert len(diagram.measured_lines) == 5
    assert not diagram.layers


def test_the_band_lies_about_the_curve():
    diagram = drawn(12, 3, 5)
    highest = min(y for _, y in numbers(diagram.curve.replace("M", "").replace("L", " ")))
    band = min(y for _, y in numbers(diagram.band.replace("M", "").replace("L", " ").replace("Z", "")))
    assert band < highest < BOTTOM


@pytest.mark.parametrize(
    ("parts", "says"),
    [
        ((4, 1, 5), "lies under the curve and its band"),
        ((12, 3, 5), "lies outside the curve and its band"),
        ((4, 1, 3), "lies in the band"),
    ],
)
def test_the_words_say_what_the_picture_shows(parts, says):
    diagram = drawn(*parts)
    assert says in diagram.description
    assert ("upper one has 53\u00a0% butan-1-ol" in diagram.description) == (parts == (4, 1, 5))
    assert diagram.title.endswith("the measured curve.") or "Too close to call" in diagram.title


def test_nothing_is_drawn_where_the_curve_says_nothing():
    assert drawn(4, 1, 5, temperature_c=Decimal(40)) is None
    ethanol = from_volumes({"ethanol": Decimal(7), "water": Decimal(3)})
    assert ternary_diagram(phases(ethanol)) is None


share = st.floats(0, 1)


@given(share, share)
def test_everything_stays_within_the_picture(first, second):
    low, high = sorted((first, second))
    shares = {"butan-1-ol": low, "ethanoic acid": high - low, "water": 1 - high}
    diagram = ternary_diagram(phases(from_masses({n: Decimal(repr(max(0.0, s))) for n, s in shares.items()})))
    for words in (*diagram.labels, *diagram.regions, *diagram.ticks, *diagram.names):
        assert 0 < words.x < diagram.width
        assert 0 < words.y < diagram.height
    for spot in (diagram.mixture, *diagram.layers):
        assert LEFT - 0.01 <= spot.x <= LEFT + SIDE + 0.01
        assert BOTTOM - TALL - 0.01 <= spot.y <= BOTTOM + 0.01
