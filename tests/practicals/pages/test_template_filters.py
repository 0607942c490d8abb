"""Filters that every template may use."""

from decimal import Decimal

import pytest

from practicals.templatetags.wickmark import in_short


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        ("874.784", "874.8"),
        ("2360.08", "2360"),
        ("24.8714", "24.87"),
        ("0.0089", "0.0089"),
        ("500.0000", "500"),
        ("0", "0"),
    ],
)
def test_an_amount_is_shown_to_four_digits(value, shown):
    assert in_short(Decimal(value)) == shown
