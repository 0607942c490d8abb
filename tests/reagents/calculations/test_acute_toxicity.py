from decimal import Decimal

import pytest

from reagents.calculations.acute_toxicity import ate_of_mixture, bands, category
from reagents.calculations.hazard_terms import ImpossibleMixture


def test_mixture_estimate_unece_2008_23():
    # ST/SG/AC.10/C.4/2008/23 (UN Sub-Committee of Experts on the GHS), oral: printed 873 mg/kg, category 4.
    # The fourth ingredient (11 %) does not enter the oral sum.
    estimate = ate_of_mixture(
        [(Decimal(26), Decimal(2737)), (Decimal(23), Decimal(4500)), (Decimal(40), Decimal(400))]
    )
    assert round(estimate) == 873
    assert category("oral", estimate).category == 4
    assert category("oral", estimate).code == "H302"


def test_much_unknown_lowers_the_hundred():
    # UN GHS 3.1.3.6.2.3: above 10 % unknown, 100 less the unknown share. (100 - 20)/(30/300) = 800.
    assert ate_of_mixture([(Decimal(30), Decimal(300))], Decimal(20)) == 800
    assert ate_of_mixture([(Decimal(30), Decimal(300))], Decimal(10)) == 1000


@pytest.mark.parametrize(
    ("route", "estimate", "grade"),
    [
        # CLP Annex I, Table 3.1.1: oral 5, 50, 300, 2000 mg/kg (read).
        ("oral", "5", 1),
        ("oral", "5.01", 2),
        ("oral", "50", 2),
        ("oral", "300", 3),
        ("oral", "300.1", 4),
        ("oral", "2000", 4),
        ("oral", "2000.1", None),
        # Skin and vapour bands from memory.
        ("dermal", "1000", 3),
        ("vapour", "20", 4),
    ],
)
def test_bands_clp_table_3_1_1(route, estimate, grade):
    band = category(route, Decimal(estimate))
    assert (band.category if band else None) == grade


def test_point_estimates_clp_table_3_1_2():
    assert [band.point for band in bands("oral")] == [Decimal("0.5"), 5, 100, 500]
    assert [band.point for band in bands("dermal")] == [5, 50, 300, 1100]
    assert [band.point for band in bands("vapour")] == [Decimal("0.05"), Decimal("0.5"), 3, 11]


def test_nothing_toxic_has_no_estimate():
    assert ate_of_mixture([]) is None
    assert category("oral", None) is None


@pytest.mark.parametrize(
    ("known", "unknown"),
    [
        ([(Decimal(-1), Decimal(500))], 0),
        ([(Decimal(60), Decimal(500)), (Decimal(60), Decimal(500))], 0),
        ([(Decimal(5), Decimal(0))], 0),
        ([], -1),
    ],
)
def test_shares_of_no_mixture_are_refused(known, unknown):
    with pytest.raises(ImpossibleMixture, match=r"\.$"):
        ate_of_mixture(known, Decimal(unknown))
