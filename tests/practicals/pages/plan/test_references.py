"""The page of published values: read, add, withdraw."""

import uuid

import pytest
from django.urls import reverse

from practicals.actions.load_reference_values import load_reference_values
from practicals.models import ReferenceValue
from tests.factories import NOW

TYPED = {"analyte": "alanine", "rf_low": "0,37", "rf_high": "", "source": "An invented table, page 3"}


def post(client, address, *, follow=False, **typed):
    return client.post(address, {"once": str(uuid.uuid4()), **TYPED, **typed}, follow=follow)


@pytest.fixture
def at(cast):
    return lambda name, *more: reverse(f"plan:{name}", args=[cast.session.practical.uuid, *more])


def test_a_value_is_added_with_a_decimal_comma(cast, as_, at):
    teacher = as_(cast.teacher)
    assert post(teacher, at("add_reference")).url == at("published")
    value = ReferenceValue.objects.get()
    assert (str(value.rf_low), str(value.rf_high), value.confirmed) == ("0.3700", "0.3700", False)
    page = teacher.get(at("published")).content.decode()
    assert "An invented table, page 3" in page
    assert "unconfirmed" in page


@pytest.mark.parametrize("rf", ["", "abc", "-0.1", "38", "1e9", "0.38 mm", "NaN", "0.3.8"])
def test_bad_numbers_come_back_as_a_sentence_with_what_was_typed(cast, as_, at, rf):
    answer = post(as_(cast.teacher), at("add_reference"), rf_low=rf)
    assert answer.status_code == 200
    assert not ReferenceValue.objects.exists()
    assert "An invented table, page 3" in answer.content.decode()


def test_an_odd_value_is_kept_and_warned_of(cast, as_, at):
    load_reference_values(by=None, now=NOW)
    teacher = as_(cast.teacher)
    answer = post(teacher, at("add_reference"), rf_low="0.95", follow=True)
    assert "more than 0.2 from what other sources give" in answer.content.decode()
    assert ReferenceValue.objects.filter(rf_low="0.95").exists()


def test_withdrawing_without_a_reason_says_so(cast, as_, at):
    teacher = as_(cast.teacher)
    post(teacher, at("add_reference"))
    value = ReferenceValue.objects.get()
    answer = post(teacher, at("withdraw_reference", value.uuid), reason=" ")
    assert answer.status_code == 200
    assert "Not withdrawn" in answer.content.decode()
    assert post(teacher, at("withdraw_reference", value.uuid), reason="misprint").url == at("published")
    assert "An invented table" not in teacher.get(at("published")).content.decode().partition("<h1>")[2]


def test_a_technician_reads_and_is_offered_nothing_to_change(cast, as_, at):
    load_reference_values(by=None, now=NOW)
    page = as_(cast.technician).get(at("published")).content.decode()
    assert "0.38" in page
    assert "Withdraw" not in page
    assert "Add a published value" not in page


def test_the_page_takes_as_many_queries_for_many_values_as_for_one(
    cast, as_, at, django_assert_max_num_queries
):
    teacher = as_(cast.teacher)
    post(teacher, at("add_reference"))
    teacher.get(at("published"))
    with django_assert_max_num_queries(12):
        teacher.get(at("published"))
    load_reference_values(by=None, now=NOW)
    with django_assert_max_num_queries(12):
        teacher.get(at("published"))
