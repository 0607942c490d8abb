from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from practicals.calculations.comparison import (
    against_others,
    against_value,
    e_n_score,
    z_score,
    zeta_score,
)
from practicals.calculations.spread import NotANumberError, spread
from tests.practicals.calculations.statistics_cases import cases, near

hundredths = st.lists(st.integers(0, 100).map(lambda whole: Decimal(whole) / 100), min_size=0, max_size=40)


@pytest.mark.parametrize("case", cases("one_sample_t"))
def test_class_against_a_value_published_examples(case):
    # The documented example of a public statistics library (Vallat R.), and mercury by cold-vapour AAS
    # (Miller and Miller, from memory).
    found = against_value(case["data"]["values"], case["data"]["reference"])
    expected = case["expected"]
    assert found.t == near(case, "t")
    assert found.df == expected["dof"]
    assert found.different is expected["different"]
    if "p" in expected:
        assert found.p == near(case, "p")
        assert found.interval == pytest.approx(tuple(expected["ci"]), abs=case["tolerance"]["ci"])
    else:
        assert found.critical == near(case, "critical")


@pytest.mark.parametrize("case", cases("compare_with_reference"))
def test_e_n_and_zeta_lead_in_wine_ccqm_k30(case):
    # Key comparison CCQM-K30, lead in wine, Metrologia 45 (2008) 08001.
    data, expected = case["data"], case["expected"]
    assert data["x"] - data["X"] == near(case, "D")
    e_n = e_n_score(x=data["x"], expanded_x=data["U"], reference=data["X"], expanded_reference=data["U_X"])
    zeta = zeta_score(x=data["x"], u_x=data["u"], reference=data["X"], u_reference=data["U_X"] / data["k_X"])
    assert e_n.value == near(case, "E_n")
    assert zeta.value == near(case, "zeta")
    assert e_n.fits is expected["satisfactory"]


@pytest.mark.parametrize("case", cases("zeta_and_en"))
def test_zeta_and_e_n_iso_13528(case):
    # ISO 13528:2015, definitions as given in the NIST Dataplot reference manual.
    data, expected = case["data"], case["expected"]
    zeta = zeta_score(x=data["x"], u_x=data["u_x"], reference=data["X"], u_reference=data["u_X"])
    e_n = e_n_score(
        x=data["x"],
        expanded_x=data["k"] * data["u_x"],
        reference=data["X"],
        expanded_reference=data["k"] * data["u_X"],
    )
    assert zeta.value == near(case, "zeta")
    assert zeta.verdict == expected["zeta_verdict"]
    assert e_n.value == near(case, "E_n")
    assert e_n.fits is expected["E_n_ok"]


@pytest.mark.parametrize(("x", "verdict"), [(0.64, "fits"), (0.646, "warning"), (0.66, "action")])
def test_z_score_limits_iso_13528(x, verdict):
    # ISO 13528:2015: up to 2 satisfactory, from 3 action (from memory).
    assert z_score(x=x, reference=0.60, sigma=0.02).verdict == verdict


@pytest.mark.parametrize(
    "call",
    [
        lambda: z_score(x=1, reference=1, sigma=0),
        lambda: zeta_score(x=1, u_x=0, reference=1, u_reference=0),
        lambda: e_n_score(x=1, expanded_x=-1, reference=1, expanded_reference=1),
    ],
)
def test_scores_without_an_uncertainty_are_refused(call):
    with pytest.raises(ValueError, match=r"above zero|Without an uncertainty|cannot be negative"):
        call()


def test_not_different_is_never_said_as_equal():
    found = against_value([38.9, 37.4, 37.1], 38.9)
    assert "does not show that they are equal" in found.sentence
    assert "2 degrees of freedom" in found.sentence


def test_a_difference_beyond_chance_is_said():
    found = against_value(
        [Decimal(text) for text in ["0.36", "0.37", "0.38", "0.36", "0.37", "0.38"]], Decimal("0.45")
    )
    assert found.different is True
    assert "0.08 below 0.45" in found.sentence or "0.083 below 0.45" in found.sentence


@pytest.mark.parametrize("values", [[], [0.61]])
def test_too_few_for_a_comparison(values):
    found = against_value(values, 0.6)
    assert (found.t, found.p, found.different) == (None, None, None)
    assert "it takes at least 2" in found.sentence


def test_all_equal_values_give_no_t():
    found = against_value([0.61] * 6, 0.6)
    assert (found.t, found.different) == (None, None)
    assert "All values are equal" in found.sentence


def test_a_reference_that_is_no_number_is_refused():
    with pytest.raises(NotANumberError):
        against_value([0.6, 0.7], float("nan"))


def test_the_others_do_not_contain_the_learner():
    values = [0.36, 0.38, 0.37, 0.39, 0.62]
    found = against_others(values)[4]
    assert found.mean_of_others == pytest.approx(0.375)
    assert found.others == 4
    assert found.apart is True


def test_a_learner_is_judged_with_one_degree_of_freedom_less_than_others():
    # JCGM 100:2008, table G.2: 3.18 for 3 degrees of freedom, here of four others.
    assert against_others([0.36, 0.38, 0.37, 0.39, 0.62])[0].critical == pytest.approx(3.18, abs=0.005)


def test_too_few_others_give_a_mean_and_no_verdict():
    first, *_ = against_others([0.36, 0.38])
    assert (first.mean_of_others, first.apart) == (0.38, None)
    assert "it takes 4" in first.reason
    (alone,) = against_others([0.36])
    assert (alone.mean_of_others, alone.difference) == (None, None)


def test_equal_others_give_no_t():
    found = against_others([0.36] * 5 + [0.62])
    assert found[5].t is None
    assert "all equal" in found[5].reason
    assert found[5].difference == pytest.approx(0.26)


@given(hundredths)
def test_leaving_one_out_agrees_with_summing_the_others_anew(values):
    for found in against_others(values):
        others = spread([value for place, value in enumerate(values) if place != found.index])
        if found.mean_of_others is None:
            assert others.n == 0
            continue
        assert found.mean_of_others == pytest.approx(others.mean, abs=1e-9)
        if found.t is not None:
            expected = (found.value - others.mean) / (others.sd * (1 + 1 / others.n) ** 0.5)
            assert found.t == pytest.approx(expected, rel=1e-6, abs=1e-9)


@given(hundredths, st.integers(0, 100))
def test_the_test_and_the_interval_say_the_same(values, reference):
    # |t| above its critical value is the same as the value lying outside the interval of the mean.
    found = against_value(values, reference / 100)
    if found.different is not None and abs(abs(found.t) - found.critical) > 1e-6:
        low, high = found.interval
        assert found.different == (not low <= found.reference <= high)
