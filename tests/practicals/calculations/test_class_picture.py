from decimal import Decimal
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practicals.calculations.class_picture import (
    SHAPES,
    Published,
    Reading,
    class_picture,
    letters,
    rows_without_overlap,
)
from practicals.calculations.spread import NotANumberError

HUNDREDTHS = st.integers(0, 100).map(lambda whole: Decimal(whole) / 100)
CLASSES = st.lists(st.builds(Reading, HUNDREDTHS, st.sampled_from("abcdefgh")), max_size=60)
READINGS = [Reading(Decimal(value) / 100, f"Group {value % 3}") for value in (36, 37, 38, 38, 38, 39, 41)]


def test_every_learner_has_a_mark_at_the_true_place():
    found = class_picture("alanine", READINGS)
    assert len(found.marks) == len(READINGS)
    assert found.ticks[0].x == found.left
    assert found.ticks[-1].x == found.right
    low, high = float(found.ticks[0].label), float(found.ticks[-1].label)
    at_038 = float(found.left) + (0.38 - low) / (high - low) * float(found.right - found.left)
    assert [float(mark.x) for mark in found.marks].count(pytest.approx(at_038, abs=0.006)) == 3


def test_groups_differ_by_letter_and_shape():
    found = class_picture("alanine", READINGS)
    assert [(one.group, one.letter, one.shape) for one in found.legend] == [
        ("Group 0", "A", SHAPES[0]),
        ("Group 1", "B", SHAPES[1]),
        ("Group 2", "C", SHAPES[2]),
    ]
    assert sum(one.count for one in found.legend) == len(READINGS)
    assert {(mark.letter, mark.shape) for mark in found.marks} == set(zip("ABC", SHAPES, strict=False))


def test_a_polygon_has_its_corners_and_a_circle_none():
    found = class_picture("alanine", READINGS)
    corners = {mark.shape: len(mark.points.split()) for mark in found.marks}
    assert corners == {"circle": 0, "square": 4, "triangle": 3}


def test_median_band_published_value_and_range():
    published = Published(Decimal("0.38"), Decimal("0.24"), Decimal("0.38"))
    found = class_picture("alanine", READINGS, published=published)
    assert found.median_x == found.published_x
    assert found.published_range.x + found.published_range.width == found.published_x
    assert found.band.x < found.median_x < found.band.x + found.band.width


def test_the_text_says_what_the_picture_shows():
    readings = [*READINGS, Reading(Decimal("0.62"), "Group 1", stands_out=True)]
    text = class_picture("alanine", readings, published=Published(Decimal("0.38"))).text
    assert text.startswith("alanine: 8 values from 3 groups, 0.36 to 0.62, with median 0.38.")
    assert "Published: 0.38." in text
    assert "1 value stands out." in text
    assert "nan" not in text


def test_no_values_are_said():
    found = class_picture("alanine", [])
    assert found.text == "alanine: there are no values to show."
    assert (found.marks, found.median_x, found.band) == ((), None, None)
    assert [tick.label for tick in found.ticks][:1] == ["0.00"]


def test_one_value_and_all_equal_values_have_a_scale():
    one = class_picture("alanine", [Reading(Decimal("0.38"), "Group 1")])
    assert one.band is None
    assert "1 value from 1 group" in one.text
    equal = class_picture("alanine", [Reading(Decimal("0.38"), "Group 1")] * 500)
    assert len({(mark.x, mark.y) for mark in equal.marks}) == 500
    assert not equal.letters_fit
    assert equal.height < 90


def test_an_impossible_value_cannot_squash_the_others():
    # A percentage typed for R_f.
    found = class_picture("alanine", [*READINGS, Reading(38, "Group 1")])
    assert float(found.ticks[-1].label) < 1
    assert [mark.outside for mark in found.marks] == [False] * 7 + [True]
    assert "1 impossible value drawn at the end of the scale" in found.text


def test_a_value_that_is_no_number_is_refused():
    with pytest.raises(NotANumberError):
        class_picture("alanine", [Reading(float("nan"), "Group 1")])


def test_a_picture_too_narrow_is_refused():
    with pytest.raises(ValueError, match="wider than 24 mm"):
        class_picture("alanine", READINGS, width_mm=20)


@pytest.mark.parametrize(("place", "letter"), [(0, "A"), (25, "Z"), (26, "AA"), (51, "AZ"), (52, "BA")])
def test_letters_go_on_after_z(place, letter):
    assert letters(place) == letter


def test_a_negative_place_has_no_letter():
    with pytest.raises(ValueError, match="no group"):
        letters(-1)


def test_rows_fill_from_the_middle():
    assert rows_without_overlap([5, 5, 5, 5, 9], apart_mm=4) == [0, 1, -1, 2, 0]
    with pytest.raises(ValueError, match="rising order"):
        rows_without_overlap([2, 1], apart_mm=1)


@given(st.lists(st.builds(Reading, st.floats(0.3, 0.4), st.sampled_from("abcdefgh")), max_size=60))
def test_no_two_marks_overlap_and_all_lie_in_the_picture(readings):
    found = class_picture("alanine", readings)
    for one, other in combinations(found.marks, 2):
        across, down = float(one.x - other.x), float(one.y - other.y)
        assert across**2 + down**2 >= (2 * float(one.radius) - 0.003) ** 2
    for mark in found.marks:
        assert found.left <= mark.x <= found.right
        assert mark.y - mark.radius >= 0
        assert mark.y + mark.radius <= found.axis_y < found.height


def test_equal_values_stand_in_the_order_of_their_groups():
    first = [Reading(0.38, group) for group in "aba"]
    other = [Reading(0.38, group) for group in "aab"]
    assert class_picture("alanine", first).marks == class_picture("alanine", other).marks


@given(CLASSES)
def test_the_order_of_learners_shows_nowhere(readings):
    # Groups keep their letters when the caller sorts by group; then nothing tells who came first.
    ordered = sorted(readings, key=lambda one: one.group)
    turned = list(reversed(readings))
    other = sorted(turned, key=lambda one: one.group)
    assert class_picture("alanine", ordered).marks == class_picture("alanine", other).marks


def test_a_value_at_the_end_of_the_scale_is_not_called_impossible():
    # In binary 6 times 0.05 is a hair above 0.3; every R_f from 0 to 1 is possible by its definition (IUPAC).
    for value in (Decimal(hundredths) / 100 for hundredths in range(101)):
        far = Decimal("0.9") if value < Decimal("0.5") else Decimal("0.1")
        found = class_picture("glycine", [Reading(value, "Group 1")] * 9 + [Reading(far, "Group 2")])
        assert not any(mark.outside for mark in found.marks), value
        assert "impossible" not in found.text
