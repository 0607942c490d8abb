"""Printed readings from teaching material go through the learner's form."""

import csv
from decimal import Decimal
from pathlib import Path

import pytest

from practicals.models.review import review
from tests.practicals.pages.bench.sending import save, set_of

# Worked examples printed in teaching material, each with its source; the recomputed value and the
# verdict were checked by hand: tests/published/chromatography_rf_worked_examples.csv.
TABLE = Path(__file__).resolve().parents[3] / "published" / "chromatography_rf_worked_examples.csv"
CASES = list(csv.DictReader(TABLE.open(encoding="utf-8")))


def printed(millimetres, unit):
    return str(Decimal(millimetres) / 10) if unit == "cm" else millimetres


def test_there_are_worked_examples():
    assert len(CASES) == 48


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["case_id"])
def test_worked_example_through_the_form(case, cast, learner, paper):
    unit = case["unit_as_printed"]
    answer = save(
        learner,
        paper,
        unit=unit,
        origin="0",
        front=printed(case["front_mm"], unit),
        l1_s1_centre=printed(case["spot_mm"], unit),
        l1_s1_own_rf=case["rf_printed"],
    )
    assert answer.status_code == 302
    (spot,) = review(set_of(paper, cast.learner)).spots
    assert round(spot.rf, 4) == Decimal(case["rf_recomputed"])
    assert spot.verdict.split()[0].strip(":;") == case["verdict"].split()[0].strip(":;,")
