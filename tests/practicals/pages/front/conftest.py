from datetime import timedelta
from decimal import Decimal

import pytest
from django.urls import reverse

from practicals.actions.mark_front import mark_front
from practicals.actions.start_development import start_development
from practicals.models import Centre, Paper
from tests.factories import NOW


@pytest.fixture
def paper(cast):
    """120 mm high, origin line at 15 mm; the practical's liquid is 8 mm deep: out at 102 mm above it."""
    return Paper.objects.get(group__session=cast.session, group__members__learner=cast.learner)


@pytest.fixture
def at(monkeypatch):
    """`at(10)`: ten minutes after the start, for whoever asks the clock. The centre is in UTC here."""

    def set_clock(minutes):
        moment = NOW + timedelta(minutes=minutes)
        monkeypatch.setattr("django.utils.timezone.now", lambda: moment)
        return moment

    set_clock(0)
    return set_clock


@pytest.fixture
def run_up(cast):
    """`run_up(paper, {10: 35})`: put in at the start, with heights by minute."""

    def run(paper, heights, by=None):
        by = by or cast.learner
        start_development(by=by, paper=paper, immersed_mm=Decimal(8), now=NOW)
        for minutes, height in heights.items():
            mark_front(
                by=by, paper=paper, height_mm=Decimal(str(height)), now=NOW + timedelta(minutes=minutes)
            )

    return run


@pytest.fixture
def by_the_law():
    """Heights by minute, computed from z^2 = k t, so that what a page must say follows from the law."""
    # 10.2 mm per root of a minute, k = 104.04 mm^2/min (Lucas-Washburn, K_WF): 102 mm after 100 min.
    return {16: 40.8, 49: 71.4, 64: 81.6}


@pytest.fixture(autouse=True)
def utc(centre):
    Centre.objects.update(time_zone="UTC")


@pytest.fixture
def page(as_, at, paper):
    def read(person, journey="bench"):
        response = as_(person).get(reverse(f"{journey}:front", args=[paper.uuid]))
        assert response.status_code == 200
        return response.content.decode()

    return read
