from datetime import timedelta
from decimal import Decimal

import pytest

from assessment.management.scenario.developing import run_up
from assessment.management.scenario.measuring import TruePaper
from practicals.models import AuditEntry, Development, FrontMark, Paper
from practicals.models.front_run import front_run
from tests.factories import NOW


@pytest.fixture
def paper(cast):
    return Paper.objects.get(group__session=cast.session, group__members__learner=cast.learner)


def run(cast, paper, minutes):
    true = TruePaper(origin_mm=Decimal(15), front_mm=Decimal(110), spots={})
    members = [cast.learner, cast.group_mate]
    run_up(paper, true, members, put_in=NOW, now=NOW + timedelta(minutes=minutes))
    return list(FrontMark.objects.filter(paper=paper, withdrawn_at=None))


def test_a_run_that_is_over_has_its_heights_and_its_end(cast, paper):
    marks = run(cast, paper, 120)
    assert [mark.at for mark in marks] == sorted(mark.at for mark in marks)
    assert [mark.height_mm for mark in marks] == sorted(mark.height_mm for mark in marks)
    out = Development.objects.get(paper=paper).taken_out_at
    assert timedelta(minutes=40) < out - NOW < timedelta(minutes=65)
    # Each through its action: put in, three heights, taken out.
    assert AuditEntry.objects.count() == 5


def test_a_run_on_its_way_is_predicted_near_its_true_end(cast, paper):
    assert len(run(cast, paper, 45)) == 3
    assert Development.objects.get(paper=paper).taken_out_at is None
    found = front_run(paper, NOW + timedelta(minutes=45)).prediction
    assert found.stage == "renewed"
    assert timedelta(minutes=45) < found.take_out - NOW < timedelta(minutes=70)


def test_it_is_the_same_each_time(cast, paper):
    first = [(mark.at, mark.height_mm) for mark in run(cast, paper, 45)]
    FrontMark.objects.update(withdrawn_at=NOW)
    assert [(mark.at, mark.height_mm) for mark in run(cast, paper, 45)] == first
