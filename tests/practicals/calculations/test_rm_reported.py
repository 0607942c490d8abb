"""R_M as it is printed. Logarithms from any table; propagation by JCGM 100:2008, 5.1.2."""

from decimal import Decimal
from math import log10

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from practicals.calculations.rm_reported import rm_reported
from practicals.calculations.uncertainty import Located, located, rf_uncertainty

D = Decimal


def at_rf(spot_mm, *, judged="0", run=100):
    """A spot so many millimetres above the origin, read with a ruler of 1 mm."""
    origin, front = located(D(0), division_mm=D(1)), located(D(run), division_mm=D(1))
    spot = located(D(spot_mm), division_mm=D(1), judged_to_mm=D(judged))
    return rf_uncertainty(spot, origin=origin, front=front)


def test_a_quarter_of_the_run():
    # log10(0.75/0.25) = log10 3 = 0.4771. u(R_f) = 0.2887/100 sqrt(1 + 0.75^2 + 0.25^2) = 0.003680;
    # U(R_M) = 2 u / (2.3026 * 0.25 * 0.75) = 0.01705 (by hand from JCGM 100:2008, 5.1.2).
    found = rm_reported(at_rf("25"))
    assert (found.text, found.k) == ("0.477 ± 0.017", 2)
    assert found.value == pytest.approx(0.4771, abs=5e-5)
    assert found.expanded == pytest.approx(0.01705, abs=2e-5)


def test_half_of_the_run_is_nought_and_beyond_it_is_below_nought():
    assert rm_reported(at_rf("50")).text == "0.000 ± 0.012"
    # log10(0.25/0.75) = -0.4771, with a real minus.
    assert rm_reported(at_rf("75")).text == "\N{MINUS SIGN}0.477 ± 0.017"
    assert rm_reported(at_rf("50.01", judged="20")).text.startswith("0.0")


@pytest.mark.parametrize(
    ("spot", "says"),
    [
        ("0", "not defined at the origin line"),
        ("100", "not defined at the solvent front"),
        ("-3", "not defined outside R_f 0 to 1"),
        ("104", "not defined outside R_f 0 to 1"),
    ],
)
def test_where_it_is_not_defined_it_says_so(spot, says):
    found = rm_reported(at_rf(spot))
    assert (found.value, found.expanded, found.text) == (None, None, says)


def test_near_the_ends_an_interval_takes_the_place_of_one_figure():
    # R_f 0.05 with U = 2 sqrt(0.2887^2 (1 + 0.95^2 + 0.05^2) + 1.5^2/3) / 100 = 0.01909: log10 of
    # 0.93091/0.06909 = 1.129 and of 0.96909/0.03091 = 1.496; the curve is within a tenth of straight here.
    assert rm_reported(at_rf("5", judged="1.5")).text == "1.28 ± 0.17"
    # Judged to 2.5 mm, U = 0.02995: from log10(0.92005/0.07995) to log10(0.97995/0.02005).
    assert rm_reported(at_rf("5", judged="2.5")).text == "1.28, between 1.06 and 1.69"
    # Judged to 5 mm, U = 0.0583 is more than R_f itself: no upper end, and at least log10(0.8917/0.1083).
    assert rm_reported(at_rf("5", judged="5")).text == "1.28, at least 0.92"
    assert rm_reported(at_rf("95", judged="5")).text == "\N{MINUS SIGN}1.28, at most \N{MINUS SIGN}0.92"
    assert rm_reported(at_rf("50", judged="90")).text == "0.00, no bound"


@settings(deadline=None)
@given(st.integers(-20, 140), st.integers(0, 25), st.floats(0.01, 3), st.floats(0, 3), st.integers(20, 200))
def test_it_never_fails_and_its_figures_are_those_of_the_definition(spot, judged, ruler, other, run):
    found = rf_uncertainty(
        Located(D(spot), ruler, float(judged)),
        origin=Located(D(0), ruler),
        front=Located(D(run), ruler, other),
    )
    said = rm_reported(found)
    assert "nan" not in said.text.casefold()
    assert "inf" not in said.text.casefold()
    if not 0 < spot < run:
        assert said.value is None
        return
    # IUPAC Gold Book R05359 with k = (1 - R_f)/R_f.
    assert said.value == pytest.approx(log10((run - spot) / spot), abs=1e-9)
    if said.expanded is not None:
        low, high = float(found.rf) - found.expanded, float(found.rf) + found.expanded
        assert 0 < low < high < 1
        half = (log10((1 - low) / low) - log10((1 - high) / high)) / 2
        assert half == pytest.approx(said.expanded, rel=0.1001)
