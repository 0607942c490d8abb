"""Ticks of a prep list: kept, taken back, harmless when sent twice, and only the technician's."""

import pytest
from django.core.exceptions import PermissionDenied

from practicals.models import AuditEntry
from reagents.actions.tick_prep import tick_prep
from reagents.models import PrepTick
from tests.factories import NOW, make_recipe
from tests.reagents.requested import make_requisition

pytestmark = pytest.mark.django_db


@pytest.fixture
def asked(cast):
    return make_requisition(cast.teacher, make_recipe())


def boxes(asked):
    return [
        f"{asked.lines.get().uuid} measure 1",
        f"{asked.lines.get().uuid} step 2",
        f"item {asked.items.get().pk}",
    ]


def test_boxes_are_ticked_and_taken_back(cast, asked):
    assert tick_prep(by=cast.technician, tick=boxes(asked), untick=[], now=NOW) == 3
    assert {(tick.line_id is None, tick.box) for tick in PrepTick.objects.all()} == {
        (False, "measure 1"),
        (False, "step 2"),
        (True, "out"),
    }
    assert tick_prep(by=cast.technician, tick=[], untick=boxes(asked)[1:], now=NOW) == 2
    assert PrepTick.objects.get().box == "measure 1"


def test_ticking_twice_is_harmless(cast, asked):
    tick_prep(by=cast.technician, tick=boxes(asked), untick=[], now=NOW)
    assert tick_prep(by=cast.technician, tick=boxes(asked), untick=[], now=NOW) == 0
    assert PrepTick.objects.count() == 3


@pytest.mark.parametrize(
    "name",
    [
        "",
        "item x",
        "item 999999",
        "item " + "9" * 30,
        "measure 1",
        "00000000-0000-0000-0000-000000000000 step 1",
    ],
)
def test_a_name_that_means_nothing_changes_nothing(cast, asked, name):
    assert tick_prep(by=cast.technician, tick=[name], untick=[name], now=NOW) == 0
    assert tick_prep(by=cast.technician, tick=[f"{asked.lines.get().uuid} lunch"], untick=[], now=NOW) == 0
    assert not AuditEntry.objects.filter(action="tick_prep").exists()


def test_the_trail_says_so(cast, asked):
    tick_prep(by=cast.technician, tick=boxes(asked), untick=[], now=NOW)
    assert "3 boxes" in AuditEntry.objects.get(action="tick_prep").sentence


@pytest.mark.parametrize("who", ["teacher", "learner", "administrator"])
def test_others_tick_nothing(cast, asked, who):
    with pytest.raises(PermissionDenied):
        tick_prep(by=getattr(cast, who), tick=boxes(asked), untick=[], now=NOW)
