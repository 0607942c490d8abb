import pytest

from reagents.calculations.cas_numbers import NotACasNumber, check_cas, check_digit_of, checked_cas
from reagents.calculations.substances import substances


@pytest.mark.parametrize("one", substances(), ids=lambda s: s.name)
def test_every_record_has_a_true_cas_number(one):
    assert check_cas(one.cas)


@pytest.mark.parametrize(
    "cas", ["71-36-4", "71-63-3", "", "water", "71363", "7732-18-50", "0-00-0", "71-36-3 "]
)
def test_a_false_cas_number_is_told(cas):
    assert not check_cas(cas)


@pytest.mark.parametrize("one", substances(), ids=lambda one: one.name)
def test_the_expected_check_digit_is_the_last_of_a_true_number(one):
    assert check_digit_of(one.cas) == int(one.cas[-1])


def test_a_mistyped_check_digit_is_named_with_the_one_expected():
    with pytest.raises(NotACasNumber, match="71-36-4 is mistyped: its last digit should be 3"):
        checked_cas("71-36-4")


@pytest.mark.parametrize("typed", [" 71-36-3 ", "71\u201336\u20133", "71 - 36 - 3"])
def test_a_pasted_cas_number_is_tidied(typed):
    assert checked_cas(typed) == "71-36-3"


@pytest.mark.parametrize("typed", ["", "71363", "butan-1-ol", "7-1-1", "٧١-36-3", "1" * 400])
def test_what_is_no_cas_number_is_refused_in_a_sentence(typed):
    with pytest.raises(NotACasNumber, match="is not a CAS number; write it with its two hyphens"):
        checked_cas(typed)
