from decimal import Decimal

import pytest

from practicals.calculations.read_division import read_division


@pytest.mark.parametrize(
    ("readings", "expected"),
    [
        ([], "1"),
        (["35", "45", "75", "95"], "1"),
        # One stray half among eight says nothing about the other seven.
        (["35.5", "45", "75", "95", "36", "37", "38", "39"], "1"),
        (["35.5", "45", "75.5", "95"], "0.5"),
        (["35.3", "45.1", "75.5", "95"], "0.2"),
        (["35.0", "45.000"], "1"),
    ],
)
def test_the_division_follows_from_where_the_readings_lie(readings, expected):
    found = read_division([Decimal(one) for one in readings], ruler_division_mm=Decimal(1))
    assert found == Decimal(expected)


def test_a_ruler_without_divisions_is_refused():
    with pytest.raises(ValueError, match="above 0 mm"):
        read_division([Decimal(1)], ruler_division_mm=Decimal(0))
