"""Describing and withdrawing sheets of labels."""

from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied

from practicals.models import AuditEntry
from reagents.actions.save_label_sheet import save_label_sheet
from reagents.actions.withdraw_label_sheet import withdraw_label_sheet
from reagents.calculations.label_layout import ImpossibleSheet, Sheet
from reagents.models import LabelSheet, Stale
from tests.factories import NOW
from tests.reagents.labelled import EIGHT, SIXTEEN, make_label_sheet

pytestmark = pytest.mark.django_db


def test_a_sheet_is_kept_as_described_and_audited(cast):
    kept = save_label_sheet(by=cast.technician, name="  16 to  a sheet ", described=Sheet(**SIXTEEN))
    kept.refresh_from_db()
    assert kept.name == "16 to a sheet"
    assert {field: getattr(kept, field) for field in SIXTEEN} == SIXTEEN
    assert AuditEntry.objects.get(action="save_label_sheet").subject == str(kept.uuid)


def test_a_change_keeps_the_same_record_and_raises_its_version(cast):
    kept = make_label_sheet()
    save_label_sheet(
        by=cast.technician, name="8 to a sheet", described=Sheet(**EIGHT), sheet=kept, seen_version=1
    )
    kept.refresh_from_db()
    assert (kept.name, kept.columns, kept.version) == ("8 to a sheet", 2, 2)
    with pytest.raises(Stale):
        save_label_sheet(
            by=cast.technician, name="late", described=Sheet(**SIXTEEN), sheet=kept, seen_version=1
        )


@pytest.mark.parametrize(
    ("name", "wrong", "field"),
    [
        ("", {}, "name"),
        ("x" * 81, {}, "name"),
        ("Sheet", {"columns": 5}, "pitch_across_mm"),
        ("Sheet", {"pitch_down_mm": Decimal(70)}, "pitch_down_mm"),
    ],
)
def test_what_cannot_be_is_refused_and_nothing_is_kept(cast, name, wrong, field):
    with pytest.raises(ImpossibleSheet) as caught:
        save_label_sheet(by=cast.technician, name=name, described=Sheet(**{**SIXTEEN, **wrong}))
    assert caught.value.field == field
    assert not LabelSheet.objects.exists()


def test_a_withdrawn_sheet_stays_and_is_not_changed_again(cast):
    kept = make_label_sheet()
    withdraw_label_sheet(by=cast.technician, sheet=kept, now=NOW)
    withdraw_label_sheet(by=cast.technician, sheet=kept, now=NOW)
    assert not LabelSheet.objects.in_use().exists()
    assert AuditEntry.objects.filter(action="withdraw_label_sheet").count() == 1
    kept.refresh_from_db()
    with pytest.raises(ImpossibleSheet, match="withdrawn"):
        save_label_sheet(by=cast.technician, name="Again", described=Sheet(**SIXTEEN), sheet=kept)


@pytest.mark.parametrize("who", ["teacher", "learner", "verifier", "administrator"])
def test_only_the_technician_may(cast, who):
    kept = make_label_sheet()
    with pytest.raises(PermissionDenied):
        save_label_sheet(by=getattr(cast, who), name="Mine", described=Sheet(**SIXTEEN))
    with pytest.raises(PermissionDenied):
        withdraw_label_sheet(by=getattr(cast, who), sheet=kept, now=NOW)
