from decimal import Decimal

import pytest

from practicals.calculations.cochran import cochran, cochran_critical
from practicals.calculations.dixon import dixon, dixon_critical
from tests.practicals.calculations.statistics_cases import cases, near, table


@pytest.mark.parametrize("case", cases("cochran_critical"))
def test_cochran_critical_values_national_measurement_system(case):
    # UK National Measurement System, chemical and biological metrology site, table at 95 %.
    data = case["data"]
    assert cochran_critical(data["groups"], data["replicates"], alpha=data["alpha"]) == near(case, "C")


@pytest.mark.parametrize("row", table("statistics_cochran_critical.csv"), ids=lambda row: row["groups"])
def test_cochran_critical_values_wilrich_2013(row):
    # Wilrich P.-T., AStA Adv. Stat. Anal. 97 (2013) 1-10 (formula); 5 % as printed by the NMS.
    for replicates in (2, 3, 4, 5):
        for percent in (5, 1):
            found = cochran_critical(int(row["groups"]), replicates, alpha=percent / 100)
            assert found == pytest.approx(float(row[f"n{replicates}_{percent}"]), abs=5.1e-4)


@pytest.mark.parametrize("case", cases("cochran_test"))
def test_cochran_glucose_in_serum_astm_e691(case):
    # ASTM E691-99, glucose in serum, level C: laboratory 4 with its reading of 148.30.
    found = cochran(case["data"]["groups"], alpha=case["data"]["alpha"])
    assert found.group == case["expected"]["group_index"]
    assert found.statistic == near(case, "C")
    assert found.critical == near(case, "critical")
    assert found.outlier is case["expected"]["outlier"]


@pytest.mark.parametrize(
    "groups", [[], [[0.3, 0.4]], [[0.3], [0.4]], [[0.3, 0.4], [0.3, 0.4, 0.5]], [[0.3, 0.3], [0.4, 0.4]]]
)
def test_cochran_without_a_test_says_why(groups):
    found = cochran(groups)
    assert found.outlier is None
    assert found.reason.endswith(".")


@pytest.mark.parametrize(("groups", "replicates", "alpha"), [(1, 3, 0.05), (3, 1, 0.05), (3, 3, 0)])
def test_cochran_impossible_tests_are_refused(groups, replicates, alpha):
    with pytest.raises(ValueError, match=r"at least two|between 0 and 1"):
        cochran_critical(groups, replicates, alpha=alpha)


@pytest.mark.parametrize("case", cases("dixon_r10_critical"))
def test_dixon_critical_values_rorabacher_1991(case):
    # Rorabacher D. B., Anal. Chem. 63 (1991) 139-146, right to about 0.003.
    n = case["data"]["n"]
    assert dixon_critical(n, alpha=0.05, sides=1) == near(case, "one_sided_5_or_two_sided_10")
    assert dixon_critical(n, alpha=0.05) == near(case, "two_sided_5")
    assert dixon_critical(n, alpha=0.01) == near(case, "two_sided_1")


@pytest.mark.parametrize("case", cases("dixon_r10"))
def test_dixon_worked_examples(case):
    # River-water nitrite (after Miller and Miller) and the ten values of Rorabacher's paper.
    data = case["data"]
    found = dixon(
        data["values"], alpha=data["alpha"], sides=data["sides"], suspect=data["suspect"], from_values=3
    )
    assert found.statistic == near(case, "Q")
    assert found.critical == near(case, "critical")
    assert found.outlier is case["expected"]["outlier"]


def test_dixon_picks_the_end_with_the_larger_gap():
    values = [Decimal(text) for text in ["0.38", "0.39", "0.40", "0.41", "0.42", "0.60"]]
    assert dixon(values).value == 0.60
    assert dixon([-value for value in values]).value == -0.60


@pytest.mark.parametrize(
    ("values", "said"),
    [([0.4] * 5, "at least 6"), ([0.4] * 6, "equal"), ([place / 100 for place in range(31)], "at most 30")],
)
def test_dixon_without_a_test_says_why(values, said):
    found = dixon(values)
    assert found.outlier is None
    assert said in found.reason


def test_dixon_levels_outside_the_table_are_refused():
    with pytest.raises(ValueError, match="no critical value"):
        dixon_critical(6, alpha=0.07)
