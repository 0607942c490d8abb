"""The curve against what was measured. Points: tests/published/reagents_binodal.csv, typed from the reports
that its column source_key names (student titrations near 20 °C; NIST database at 25 and 30 °C)."""

import csv
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from reagents.calculations.binodal import (
    ALWAYS_ONE,
    BAND,
    U_ORGANIC,
    U_WATERY,
    Point,
    acid_on_curve,
    at,
    band_points,
    curve_points,
    doubt,
    measured,
    measured_tie_lines,
    tie_line,
    top_of_curve,
)

PUBLISHED = Path(__file__).parents[2] / "published" / "reagents_binodal.csv"
ROWS = list(csv.DictReader(PUBLISHED.open(encoding="utf-8")))


def point(row):
    return Point(float(row["w_butanol"]), float(row["w_acetic"]), float(row["w_water"]), row["phase"])


CLOUDS = [(row["source_key"], point(row)) for row in ROWS if row["phase"] == "binodal"]


@pytest.mark.parametrize(("source", "cloud"), CLOUDS)
def test_every_cloud_point_lies_within_the_doubt_of_the_curve(source, cloud):
    # Largest residual stated for the fit: 1.6 % w/w acid.
    assert abs(cloud.acid - acid_on_curve(cloud.u)) <= BAND == 0.016, source


def test_cloud_points_scatter_about_the_curve_as_the_fit_says():
    # rms 0.7 % w/w acid on 12 points, the second group's two tables averaged.
    first = [cloud for source, cloud in CLOUDS if source == "lab_report_a"]
    volumes, masses = (
        [cloud for source, cloud in CLOUDS if source == f"lab_report_b_{table}"]
        for table in ("volumes", "masses")
    )
    both = [
        Point((a.butanol + b.butanol) / 2, (a.acid + b.acid) / 2, (a.water + b.water) / 2)
        for a, b in zip(volumes, masses, strict=True)
    ]
    off = [cloud.acid - acid_on_curve(cloud.u) for cloud in (*first, *both)]
    assert len(off) == 12
    assert (sum(x * x for x in off) / len(off)) ** 0.5 == pytest.approx(0.007, abs=0.0005)


def test_no_cloud_point_above_15_5_percent_acid_and_the_top_of_the_curve_there():
    assert max(cloud.acid for _, cloud in CLOUDS) == pytest.approx(0.155)
    assert top_of_curve().acid == pytest.approx(0.155, abs=0.0005)
    assert top_of_curve().u == pytest.approx(0.39, abs=0.005)


def test_the_reported_plait_point_lies_on_the_curve_to_3_percent():
    # lab_report_d, 70.5 water, 14.2 butan-1-ol, 15.3 acid % by mass; temperature not given there.
    (plait,) = (point(row) for row in ROWS if row["phase"] == "plait")
    assert abs(plait.acid - acid_on_curve(plait.u)) < 0.03


def test_without_acid_the_curve_ends_at_the_published_solubilities():
    # NIST/IUPAC database (SRD 106), 25 °C: 7.42 and 79.68 % by mass; its other pages print 7.7 and 79.7.
    ends = [point(row) for row in ROWS if row["source_key"].startswith("nist_butanol")]
    assert {acid_on_curve(end.u) for end in ends if end.u <= U_WATERY or end.u >= U_ORGANIC} <= {0.0}
    assert all(min(abs(end.u - U_WATERY), abs(end.u - U_ORGANIC)) < 0.004 for end in ends)
    for end in ends:
        low, high = doubt(end.u)
        assert low == 0 < high


WHOLE_OF_A_AND_B = Point(0.3967, 0.1142, 0.4890)  # 10 : 45 : 45 by volume, made up by both groups


@pytest.mark.parametrize(
    ("source", "watery_acid", "organic_acid"),
    [("lab_report_a", 0.0992, 0.1217), ("lab_report_b_masses", 0.1031, 0.1352)],
)
def test_layers_hold_the_acid_that_was_titrated_in_them(source, watery_acid, organic_acid):
    # Both groups made up the same whole; they differ from each other by 0.4 and 1.4 % in acid.
    found = tie_line(WHOLE_OF_A_AND_B)
    assert found.watery.acid == pytest.approx(watery_acid, abs=0.015), source
    assert found.organic.acid == pytest.approx(organic_acid, abs=0.015), source


def test_share_of_the_organic_layer_by_the_lever_rule_lab_report_a():
    # Lever rule on the acid of group A: (11.42 - 9.92)/(12.17 - 9.92) = 67 % organic.
    assert tie_line(WHOLE_OF_A_AND_B).organic_mass_share == pytest.approx(0.67, abs=0.03)


def test_ratio_of_acid_between_the_layers_lies_among_the_measured_ones():
    # 1.23, 1.31 and 1.28 were titrated (lab_report_a, _b, _c).
    found = tie_line(WHOLE_OF_A_AND_B)
    assert 1.23 <= found.organic.acid / found.watery.acid <= 1.31


def test_with_little_acid_the_ratio_is_that_of_the_handbook():
    # 1.613 by mass at 26.7 °C: Perry's Handbook, from memory (`perry_k_mem`).
    found = tie_line(at(0.0005, 0.5))
    assert found.organic.acid / found.watery.acid == pytest.approx(1.613, rel=0.01)


def test_without_acid_the_layers_are_the_two_saturated_liquids():
    found = tie_line(at(0.0, 0.5))
    assert (found.watery.butanol, found.organic.butanol) == pytest.approx((0.0742, 0.7968), abs=0.0001)


def test_no_tie_line_where_there_are_no_two_layers_and_none_near_the_top():
    assert tie_line(at(0.18, 0.4)) is None
    assert tie_line(at(0.0, 0.05)) is None
    assert tie_line(at(0.14, 0.4)) is None
    assert not tie_line(at(0.125, 0.42)).measured_range


def test_what_is_shipped_is_what_was_measured():
    assert [p.acid for p in measured("binodal")] == [cloud.acid for _, cloud in CLOUDS]
    assert len(measured("binodal")) == 16
    assert len(measured_tie_lines()) == 5


u_inside = st.floats(U_WATERY + 0.001, U_ORGANIC - 0.001)


@given(u_inside, st.floats(0.0, 0.99))
def test_layers_lie_on_the_curve_and_the_lever_rule_balances_each_liquid(u, part):
    whole = at(acid_on_curve(u) * part, u)
    found = tie_line(whole)
    if found is None:
        assert whole.acid > 0.1  # only near the top
        return
    for layer in (found.watery, found.organic):
        # At the watery end the curve is so steep that a float cannot hold u finely enough: step aside for it.
        beside = sorted(acid_on_curve(layer.u + step) for step in (-1e-9, 1e-9))
        assert beside[0] - 1e-6 <= layer.acid <= beside[1] + 1e-6
    share = found.organic_mass_share
    for name in ("butanol", "acid", "water"):
        parts = share * getattr(found.organic, name) + (1 - share) * getattr(found.watery, name)
        assert parts == pytest.approx(getattr(whole, name), abs=1e-6)


@given(st.floats(0, 1))
def test_the_band_holds_the_curve_and_is_never_narrower_than_said(u):
    edges = doubt(u)
    if edges is None:
        assert acid_on_curve(u) == 0
        return
    low, high = edges
    assert low <= acid_on_curve(u) <= high
    assert high == ALWAYS_ONE or high - acid_on_curve(u) >= BAND - 1e-12


def test_drawn_lines_are_the_ones_that_decide():
    assert all(p.acid == pytest.approx(acid_on_curve(p.u), abs=1e-9) for p in curve_points())
    for edge, place in zip(band_points(), (0, 1), strict=True):
        assert all(p.acid == pytest.approx(doubt(p.u)[place], abs=1e-4) for p in edge[1:-1])
