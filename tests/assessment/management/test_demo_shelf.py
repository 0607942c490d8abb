"""The demo's shelf shows what a shelf can say: past its date, ends soon, stands wrong."""

from datetime import timedelta

import pytest
from django.utils import timezone

from assessment.management.scenario import shelf
from reagents.models import Container
from reagents.pages.stock.reading import shelf_of

pytestmark = pytest.mark.django_db


@pytest.fixture
def stocked(cast):
    now = timezone.now()
    shelf.stock(cast.technician, now=now - timedelta(days=39), loaded=now)
    return shelf_of(day=timezone.localdate(), by_place=False, gone=False)


def test_one_bottle_is_past_its_date_and_one_ends_soon(stocked):
    assert [one.container.substance for one in stocked.expired] == ["aspartame"]
    assert [one.container.substance for one in stocked.ends_soon] == ["ninhydrin"]


def test_two_stand_where_they_should_not(stocked):
    assert [clash.place for clash in stocked.clashes] == ["Acid tray"]


def test_an_expired_bottle_is_not_taken_for_the_demo_either(stocked):
    assert shelf.bottle_for("aspartame", now=timezone.now()) is None
    assert shelf.bottle_for("n-butanol", now=timezone.now()) == Container.objects.get(substance="butan-1-ol")
