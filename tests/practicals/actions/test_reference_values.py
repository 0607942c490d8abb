"""Published values as records: loaded once, added with a source, withdrawn with a reason."""

from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied
from django.core.management import call_command

from practicals.actions.add_reference_value import CannotAddReference, add_reference_value
from practicals.actions.load_reference_values import LONGEST_SOURCE, load_reference_values
from practicals.actions.withdraw_reference_value import CannotWithdrawReference, withdraw_reference_value
from practicals.calculations.published import all_published
from practicals.models import AuditEntry, ReferenceValue
from practicals.models.reference_values import reference_rows, warnings_for
from tests.factories import NOW


def add(cast, **more):
    practical = cast.session.practical
    return add_reference_value(
        **{
            "by": cast.teacher,
            "practical": practical,
            "analyte": practical.analytes.get(key="alanine"),
            "rf_low": Decimal("0.36"),
            "rf_high": Decimal("0.39"),
            "source": "An invented table, page 3",
            "confirmed": True,
            "now": NOW,
            **more,
        }
    )


def test_loading_twice_changes_nothing(db):
    call_command("load_practicals", verbosity=0)
    count = ReferenceValue.objects.count()
    assert count == len(set(all_published()))
    assert load_reference_values(by=None, now=NOW) == []
    assert (
        ReferenceValue.objects.count(),
        AuditEntry.objects.filter(action="load_reference_values").count(),
    ) == (
        count,
        1,
    )


def test_every_record_has_a_source_that_fits_and_memory_is_not_confirmed(db):
    load_reference_values(by=None, now=NOW)
    for value in ReferenceValue.objects.all():
        assert 0 < len(value.source) <= LONGEST_SOURCE
        if "from memory" in value.source:
            assert not value.confirmed
    # Four published orders put asparagine near or below glycine: SOY55, ABO71, ZIM68, WOE73.
    asparagine = ReferenceValue.objects.get(analyte="asparagine", rf_low=Decimal("0.50"))
    assert not asparagine.confirmed
    assert "rejected" in asparagine.source


def test_a_withdrawn_value_is_not_loaded_again(cast):
    (*_, value) = load_reference_values(by=None, now=NOW)
    withdraw_reference_value(by=cast.teacher, value=value, reason="another ratio", now=NOW)
    assert load_reference_values(by=None, now=NOW) == []


def test_only_values_of_the_very_system_stand_beside_a_practical(cast):
    load_reference_values(by=None, now=NOW)
    rows = reference_rows(cast.session.practical)  # paper, 6 : 1.5 : 2.5
    assert {row.value.ratio for row in rows} == {"12:3:5"}
    assert {row.analyte.key for row in rows} == {"glycine", "alanine", "leucine"}


def test_a_teachers_value_is_kept_for_the_practicals_system(cast):
    value = add(cast)
    assert (value.support, value.mobile_phase, value.ratio, value.phase) == (
        "paper",
        "butan-1-ol/ethanoic acid/water",
        "6:1.5:2.5",
        "single",
    )
    assert (value.added_by, value.confirmed) == (cast.teacher, True)
    assert [row.value for row in reference_rows(cast.session.practical)] == [value]
    assert AuditEntry.objects.filter(action="add_reference_value").count() == 1


@pytest.mark.parametrize(
    ("more", "says"),
    [
        ({"source": "  "}, "where"),
        ({"source": "x" * 301}, "301 characters"),
        ({"rf_high": Decimal(38)}, "between 0 and 1"),
        ({"rf_low": Decimal("-0.1")}, "between 0 and 1"),
        ({"rf_low": Decimal("NaN")}, "between 0 and 1"),
        ({"rf_low": Decimal("0.5")}, "Exchange"),
    ],
)
def test_what_cannot_be_a_value_is_refused_with_a_sentence(cast, more, says):
    with pytest.raises(CannotAddReference, match=says):
        add(cast, **more)
    assert not ReferenceValue.objects.exists()


def test_the_same_value_twice_and_an_unknown_are_refused(cast):
    add(cast)
    with pytest.raises(CannotAddReference, match="there already"):
        add(cast)
    with pytest.raises(CannotAddReference, match="standards"):
        add(cast, analyte=cast.session.practical.analytes.get(key="x"))


def test_odd_values_are_kept_with_a_warning(cast):
    add(cast)
    odd = add(cast, rf_low=Decimal("0.80"), rf_high=Decimal("0.80"), source="Another invented table")
    assert "more than 0.2" in warnings_for(odd, cast.session.practical)[0]


def test_withdrawing_needs_a_reason_and_happens_once(cast):
    value = add(cast)
    for reason in ("", "  ", "x" * 201):
        with pytest.raises(CannotWithdrawReference):
            withdraw_reference_value(by=cast.teacher, value=value, reason=reason, now=NOW)
    for reason in ("misprint", "again"):
        withdraw_reference_value(by=cast.teacher, value=value, reason=reason, now=NOW)
    value.refresh_from_db()
    assert value.withdrawn_reason == "misprint"
    assert AuditEntry.objects.filter(action="withdraw_reference_value").count() == 1
    assert reference_rows(cast.session.practical) == []


def test_only_teachers_add_and_withdraw(cast):
    value = add(cast)
    for person in (cast.technician, cast.learner, cast.verifier, cast.administrator):
        with pytest.raises(PermissionDenied):
            add(cast, by=person)
        with pytest.raises(PermissionDenied):
            withdraw_reference_value(by=person, value=value, reason="no", now=NOW)
        with pytest.raises(PermissionDenied):
            load_reference_values(by=person, now=NOW)


def test_a_source_whose_words_were_corrected_makes_no_second_record(db):
    load_reference_values(by=None, now=NOW)
    value = ReferenceValue.objects.first()
    key = value.source.rpartition("[")[2]
    ReferenceValue.objects.filter(pk=value.pk).update(source=f"An older title [{key}")
    assert load_reference_values(by=None, now=NOW) == []


def test_the_parts_of_a_source_are_parted(db):
    load_reference_values(by=None, now=NOW)
    value = ReferenceValue.objects.get(analyte="alanine", ratio="12:3:5", source__endswith="[MEM1]")
    assert "12:3:5. from memory" in value.source
    assert value.source.endswith(". from memory [MEM1]")
