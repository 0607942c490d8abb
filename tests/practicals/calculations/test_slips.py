"""Which slip explains a learner's own R_f."""

import csv
from contextlib import suppress
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practicals.calculations.hypotheses import SLIPS
from practicals.calculations.rf import NoRunError, rounded
from practicals.calculations.slips import Neighbour, NotAnRfError, explain, read_stated

D = Decimal

PUBLISHED = Path(__file__).parents[2] / "published"


def table(name):
    with (PUBLISHED / name).open(encoding="utf-8") as file:
        return list(csv.DictReader(file))


WORKED = table("chromatography_rf_worked_examples.csv")
SLIP_TABLE = [
    (row["slip"], D(rf), row[column])
    for row in table("chromatography_slip_table.csv")
    for rf, column in (("0.25", "rf_025"), ("0.50", "rf_050"), ("0.75", "rf_075"))
]


def slugs(explanation):
    return [match.slip for match in explanation.matches]


@pytest.mark.parametrize("case", WORKED, ids=[case["case_id"] for case in WORKED])
def test_verdict_on_printed_values_student_reports_and_question_sites(case):
    # 48 printed worked examples with the verdict of whoever recomputed them, and the source's key.
    found = explain(
        case["rf_printed"], spot_mm=D(case["spot_mm"]), origin_mm=D(0), front_mm=D(case["front_mm"])
    )
    first_word = case["verdict"].split(":")[0].split(";")[0].split()[0]
    expected = {"agrees": ("right", []), "truncated": ("rounding", ["truncated"])}[first_word]
    assert (found.verdict, slugs(found)) == expected


def test_four_decimals_are_right_but_more_than_a_ruler_supports_stu_aa2():
    found = explain("0.7453", spot_mm=D("39.5"), origin_mm=D(0), front_mm=D(53))
    assert found.verdict == "right"
    assert "more than a ruler supports" in found.remarks[0]


@pytest.mark.parametrize("at_line", [True, False], ids=["zero at the origin line", "zero at the edge"])
@pytest.mark.parametrize(("slip", "rf", "becomes"), SLIP_TABLE)
def test_slip_table_front_80_origin_10_paper_100_radius_3(slip, rf, becomes, at_line):
    # Worked by hand from the formulas of each slip (named in ERR2, ERR3, ERR5 of SOURCES.csv), for a front
    # of 80 mm, an origin line 10 mm up, a paper of 100 mm and a spot of radius 3 mm.
    zero = D(0) if at_line else D(10)
    found = explain(
        becomes,
        spot_mm=zero + 80 * rf,
        origin_mm=zero,
        front_mm=zero + 80,
        origin_height_mm=D(10),
        paper_height_mm=D(100),
        leading_mm=zero + 80 * rf + 3,
    )
    if slip == "from-the-front" and rf == D("0.50"):
        assert found.verdict == "right"  # invisible at 0.50
    else:
        assert slip in slugs(found)
        assert found.verdict == ("slip" if len(found.matches) == 1 else "tie")


def test_exact_half_is_rounded_up_and_rounding_down_is_cutting_off_common_practice():
    # 50/80 = 0.625: common practice, no source.
    assert explain("0.63", spot_mm=D(50), origin_mm=D(0), front_mm=D(80)).verdict == "right"
    assert slugs(explain("0.62", spot_mm=D(50), origin_mm=D(0), front_mm=D(80))) == ["truncated"]


@pytest.mark.parametrize(
    ("stated", "slip"),
    [("55", "percentage"), ("55%", "percentage"), ("54.7", "percentage"), ("1", "over-rounded")],
)
def test_percentage_and_rounding_common_practice(stated, slip):
    # 0.5472; what each slip gives: common practice, no source.
    found = explain(stated, spot_mm=D(29), origin_mm=D(0), front_mm=D(53))
    assert slip in slugs(found)


def test_rounded_up_where_down_is_right():
    # 23/53 = 0.4340.
    assert slugs(explain("0.44", spot_mm=D(23), origin_mm=D(0), front_mm=D(53))) == ["rounded-up"]


def test_digits_swapped_in_the_result():
    # 41/76 = 0.5395, 0.54; written 0.45.
    found = explain("0.45", spot_mm=D(41), origin_mm=D(0), front_mm=D(76))
    assert "digits-swapped" in slugs(found)


def test_digits_swapped_in_a_distance():
    # 14/76 = 0.1842 for 41/76.
    assert slugs(explain("0.18", spot_mm=D(41), origin_mm=D(0), front_mm=D(76))) == ["digits-swapped"]


def test_a_neighbouring_lanes_spot_is_named_with_its_lane():
    # 37/80 = 0.4625.
    found = explain(
        "0.46", spot_mm=D(32), origin_mm=D(10), front_mm=D(90), neighbours=[Neighbour("glycine", D(47))]
    )
    assert slugs(found) == ["neighbour-spot"]
    assert "lane glycine" in found.matches[0].sentence


def test_two_neighbours_with_the_same_spot_are_one_explanation():
    lanes = [Neighbour("2", D(47)), Neighbour("4", D(47))]
    found = explain("0.46", spot_mm=D(32), origin_mm=D(10), front_mm=D(90), neighbours=lanes)
    assert found.verdict == "slip"
    assert "lane 2 or in lane 4" in found.matches[0].sentence


def test_a_tie_is_said_to_be_a_tie():
    # True 0.25, stated 0.75: measured from the front; and a neighbour stands at 60/80.
    found = explain("0.75", spot_mm=D(20), origin_mm=D(0), front_mm=D(80), neighbours=[Neighbour("3", D(60))])
    assert found.verdict == "tie"
    assert set(slugs(found)) == {"from-the-front", "neighbour-spot"}
    assert "equally well" in found.summary


def test_none_of_these_is_an_answer():
    found = explain("0.91", spot_mm=D(32), origin_mm=D(10), front_mm=D(90), paper_height_mm=D(110))
    assert (found.verdict, found.matches) == ("none", ())
    assert "none of the usual slips" in found.summary
    assert found.hint


def test_one_decimal_that_rounds_right_is_right():
    found = explain("0.4", spot_mm=D(38), origin_mm=D(0), front_mm=D(100))
    assert found.verdict == "right"
    assert found.remarks == ("One decimal is given; two are the custom.",)


@pytest.mark.parametrize("stated", ["0,55", " 0.55 ", ".55", "0.55 "])
def test_how_it_is_written_does_not_matter(stated):
    assert explain(stated, spot_mm=D(29), origin_mm=D(0), front_mm=D(53)).verdict == "right"


@pytest.mark.parametrize("stated", ["", "abc", "0.5.5", "nan", "inf", "1e999", "-1e-999", "29/53", "9" * 50])
def test_what_is_no_number_is_refused_in_a_sentence(stated):
    with pytest.raises(NotAnRfError, match="is not a number"):
        read_stated(stated)


def test_readings_without_a_run_are_refused():
    with pytest.raises(NoRunError):
        explain("0.5", spot_mm=D(10), origin_mm=D(10), front_mm=D(10))


def test_spot_at_the_origin_line_is_no_division_by_zero():
    assert explain("0", spot_mm=D(0), origin_mm=D(0), front_mm=D(50)).verdict == "right"
    assert "from-the-front" in slugs(explain("1.00", spot_mm=D(0), origin_mm=D(0), front_mm=D(50)))


def test_explanations_speak_in_the_learners_unit():
    found = explain("2.38", spot_mm=D(42), origin_mm=D(0), front_mm=D(100), unit="cm")
    assert "spot 4.2 cm, solvent front 10 cm" in found.matches[0].sentence


def test_hints_never_give_a_figure():
    assert not any(
        character.isdigit() for slip in SLIPS.values() for character in slip.hint.replace("1?", "")
    )


fronts = st.integers(min_value=40, max_value=200)
origins = st.integers(min_value=5, max_value=30)
parts = st.integers(min_value=2, max_value=98)
PLACES = st.integers(min_value=1, max_value=4)


def readings(front, origin, part, at_line):
    """A spot on a paper, read to half a millimetre, from either zero."""
    spot = D(max(1, round(front * part / 50))) / 2
    zero = D(0) if at_line else D(origin)
    return {
        "spot_mm": zero + spot,
        "origin_mm": zero,
        "front_mm": zero + front,
        "origin_height_mm": D(origin),
        "paper_height_mm": D(front + origin + 15),
        "leading_mm": zero + spot + 3,
        "neighbours": [Neighbour("2", zero + D(front) / 3)],
    }, spot


@given(fronts, origins, parts, PLACES, st.booleans())
def test_the_right_value_is_never_accused(front, origin, part, places, at_line):
    given_readings, spot = readings(front, origin, part, at_line)
    found = explain(rounded(spot / front, places), **given_readings)
    assert (found.verdict, found.matches) == ("right", ())


FORMULAS = {
    "inverted": lambda s, f, e, h: f / s,
    "from-the-front": lambda s, f, e, h: 1 - s / f,
    "both-from-edge": lambda s, f, e, h: (s + e) / (f + e),
    "spot-from-edge": lambda s, f, e, h: (s + e) / f,
    "front-from-edge": lambda s, f, e, h: s / (f + e),
    "spot-in-cm": lambda s, f, e, h: s / (10 * f),
    "front-in-cm": lambda s, f, e, h: 10 * s / f,
    "paper-height-as-front": lambda s, f, e, h: s / h,
    "leading-edge": lambda s, f, e, h: (s + 3) / f,
    "percentage": lambda s, f, e, h: 100 * s / f,
    "neighbour-spot": lambda s, f, e, h: D(1) / 3,
}


@given(st.sampled_from(sorted(FORMULAS)), fronts, origins, parts, PLACES, st.booleans())
def test_every_slip_made_is_found_or_tied_unless_it_changes_nothing(
    slip, front, origin, part, places, at_line
):
    given_readings, spot = readings(front, origin, part, at_line)
    wrong = FORMULAS[slip](spot, D(front), D(origin), given_readings["paper_height_mm"])
    found = explain(rounded(wrong, places), **given_readings)
    assert found.verdict == "right" or slip in slugs(found)
    if found.verdict == "right":
        assert rounded(wrong, places) == rounded(spot / front, places)


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_never_a_crash(text):
    # Any other exception fails this test.
    with suppress(NotAnRfError):
        assert explain(text, spot_mm=D(29), origin_mm=D(0), front_mm=D(53)).summary


def test_a_ruler_laid_at_the_edge_needs_no_planned_height():
    # s = 40, f = 80, e = 10: (40 + 10)/(80 + 10) = 0.5556.
    assert slugs(explain("0.56", spot_mm=D(50), origin_mm=D(10), front_mm=D(90))) == ["both-from-edge"]


def test_the_line_as_read_counts_before_the_line_as_planned():
    # (40 + 12)/(80 + 12) = 0.5652 with the line read at 12 mm; planned at 10 mm it would be 0.5556.
    found = explain("0.57", spot_mm=D(52), origin_mm=D(12), front_mm=D(92), origin_height_mm=D(10))
    assert slugs(found) == ["both-from-edge"]


def test_a_slip_that_was_then_cut_off_is_found_only_if_nothing_simpler_fits():
    # (40 + 10)/(80 + 10) = 0.5556, cut off to 0.55.
    found = explain("0.55", spot_mm=D(50), origin_mm=D(10), front_mm=D(90))
    assert (found.verdict, slugs(found)) == ("slip", ["both-from-edge"])
    assert "then cut off" in found.matches[0].sentence


def test_a_slip_that_changes_nothing_explains_nothing():
    # At 0.50 measuring down from the front gives 0.50 too; stated as 1 it was only rounded too far.
    assert slugs(explain("1", spot_mm=D(40), origin_mm=D(0), front_mm=D(80))) == ["over-rounded"]


def test_a_value_above_one_that_no_slip_explains_is_said_to_be_above_one_iupac_rf():
    # IUPAC Gold Book, retardation factor (doi:10.1351/goldbook.R05353): below 1 by definition.
    found = explain("4.19", spot_mm=Decimal(35), origin_mm=Decimal(20), front_mm=Decimal(137))
    assert found.verdict == "none"
    assert found.hint.startswith("An R_f cannot be larger than 1.")


def test_a_value_below_one_that_no_slip_explains_is_not():
    found = explain("0.57", spot_mm=Decimal(35), origin_mm=Decimal(20), front_mm=Decimal(137))
    assert found.verdict == "none"
    assert "larger than 1" not in found.hint
