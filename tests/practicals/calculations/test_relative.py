"""R_rel, R_M and resolution."""

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from uncertainties import ufloat
from uncertainties.umath import log10

from practicals.calculations.relative import (
    NoResolutionError,
    NoRmError,
    relative_to,
    resolution,
    rm,
    rm_uncertainty,
)
from practicals.calculations.rf import NoRetardationFactorError
from practicals.calculations.uncertainty import Located, NoUncertaintyError

D = Decimal


def at(mm, u=0.29):
    return Located(D(str(mm)), u)


def test_relative_to_a_standard_iupac_r05276_may_exceed_1():
    # IUPAC Gold Book R05276: b(spot) / b(reference) = 40 / 20.
    found = relative_to("alanine", spot=at(50), reference=at(30), origin=at(10))
    assert found.value == 2
    assert found.text.endswith("relative to alanine")


@settings(deadline=None)
@given(st.integers(0, 30), st.integers(5, 200), st.integers(5, 200), *[st.floats(0.05, 2)] * 3)
def test_uncertainty_of_the_ratio_agrees_with_the_uncertainties_library(o, b, r, u_o, u_s, u_r):
    # uncertainties 3.2 (E. O. Lebigot) tracks the shared origin.
    origin = ufloat(o, u_o)
    expected = (ufloat(o + b, u_s) - origin) / (ufloat(o + r, u_r) - origin)
    found = relative_to("s", spot=at(o + b, u_s), reference=at(o + r, u_r), origin=at(o, u_o))
    assert found.u == pytest.approx(expected.std_dev, rel=1e-9)


def test_the_standard_against_itself_is_1_without_doubt():
    spot = at(50)
    found = relative_to("alanine", spot=spot, reference=spot, origin=at(10))
    assert (found.value, found.u) == (D(1), 0.0)
    assert found.text == "1.00, relative to alanine"


def test_without_uncertainties_the_ratio_stands_alone():
    found = relative_to("alanine", spot=at(50, 0.0), reference=at(30, 0.0), origin=at(10, 0.0))
    assert found.text == "2.00, relative to alanine"


def test_a_standard_that_did_not_move_is_no_reference():
    with pytest.raises(NoRetardationFactorError, match="Choose another standard"):
        relative_to("alanine", spot=at(50), reference=at(10), origin=at(10))


@pytest.mark.parametrize(
    ("rf", "expected"), [("0.05", 1.279), ("0.25", 0.477), ("0.50", 0), ("0.75", -0.477), ("0.95", -1.279)]
)
def test_rm_logarithms_from_a_table(rf, expected):
    # log10 of 19, 3, 1, 1/3 and 1/19 from any table of logarithms.
    assert rm(D(rf)) == pytest.approx(expected, abs=5e-4)


@pytest.mark.parametrize(
    ("rf", "says"),
    [("0", "not left the origin"), ("1", "with the solvent front"), ("1.2", "front"), ("-0.1", "origin")],
)
def test_rm_is_not_defined_at_the_ends(rf, says):
    with pytest.raises(NoRmError, match=says):
        rm(D(rf))
    with pytest.raises(NoRmError, match="ordinary number"):
        rm(D("NaN"))


@settings(deadline=None)
@given(st.integers(2, 98))
def test_uncertainty_of_rm_agrees_with_the_uncertainties_library(part):
    rf = ufloat(part / 100, 0.004)
    assert rm_uncertainty(D(part) / 100, 0.004) == pytest.approx(log10((1 - rf) / rf).std_dev, rel=1e-6)


def test_uncertainty_of_rm_is_not_negative():
    with pytest.raises(NoUncertaintyError):
        rm_uncertainty(D("0.5"), -1)


def edges(*mm):
    return dict(
        zip(("leading_mm", "trailing_mm", "next_leading_mm", "next_trailing_mm"), map(D, mm), strict=True)
    )


def test_resolution_iupac_p04465():
    # IUPAC Gold Book P04465, 2 (t2 - t1) / (w1 + w2): centres at 40 and 50, lengths 6 and 4: 2 x 10 / 10.
    found = resolution(**edges(52, 48, 43, 37))
    assert found.value == 2
    assert "stand clear" in found.words


def test_touching_spots_have_resolution_one_and_do_not_stand_clear():
    # Equal lengths, edge on edge: distance of centres = length, so 1.0 by the definition.
    found = resolution(**edges(50, 45, 45, 40))
    assert found.value == 1
    assert "touch or overlap" in found.words


def test_coinciding_spots_have_none():
    assert "coincide" in resolution(**edges(50, 45, 50, 45)).words


@pytest.mark.parametrize(
    ("mm", "says"),
    [
        ((45, 50, 40, 35), "below its trailing"),
        ((50, 50, 40, 40), "no length"),
        (("NaN", 1, 2, 1), "ordinary"),
    ],
)
def test_edges_that_cannot_be_are_refused(mm, says):
    with pytest.raises(NoResolutionError, match=says):
        resolution(**edges(*mm))
