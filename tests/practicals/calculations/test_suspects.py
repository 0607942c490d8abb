import pytest

from practicals.calculations.spread import NotANumberError
from practicals.calculations.suspects import suspected


@pytest.mark.parametrize(
    ("values", "expected"),
    [
        ([], 1),
        ([0.4], 1),
        ([0.40, 0.41, 0.39, 0.40, 0.41, 0.39], 1),
        ([0.40, 0.41, 0.39, 0.40, 0.41, 0.39, 0.80], 1),
        ([0.40, 0.41, 0.39, 0.40, 0.41, 0.39, 0.80, 0.81], 2),
        # Most agree exactly: a difference in the second decimal is still no suspect.
        ([0.40] * 9 + [0.41, 0.39], 1),
        # Never half the values or more.
        ([0.1, 0.1, 0.1, 0.9, 0.9], 2),
    ],
)
def test_how_many_values_are_far_from_the_median(values, expected):
    assert suspected(values) == expected


def test_text_is_named():
    with pytest.raises(NotANumberError):
        suspected(["about a third"])  # type: ignore[list-item]
