from datetime import timedelta
from decimal import Decimal

import pytest

from practicals.actions.mark_front import mark_front
from practicals.actions.start_development import start_development
from practicals.models import Paper
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
