"""The class's values in a portfolio: only once released, without names, and dated by their last change."""

from datetime import timedelta

import pytest

from assessment.actions.submit_work import submit_work
from assessment.documents.portfolio import gather_portfolio, portfolio_pdf
from assessment.models import Work
from practicals.models import Amendment, ReadingSet
from tests.documents.reading import page_texts
from tests.factories import NOW, make_assignment, make_readings


@pytest.fixture
def submission(cast):
    for number, place in enumerate(cast.session.members.select_related("learner", "group")):
        paper = place.group.papers.get()
        make_readings(paper, place.learner, centres=(str(35 + number % 3), "45", "75", "74"), locked_at=NOW)
    assignment = make_assignment(session=cast.session, signed_off_by=cast.lead_verifier)
    work = Work.objects.get(assignment=assignment, learner=cast.learner)
    return submit_work(by=cast.learner, work=work, declared=True, now=NOW)


def release(cast, at):
    cast.session.readings_locked_at = cast.session.results_released_at = at
    cast.session.save()


def test_nothing_of_the_class_stands_there_before_the_release(submission):
    assert gather_portfolio(submission, for_learner=True).class_parts == ()


@pytest.mark.parametrize("for_learner", [True, False])
def test_released_values_stand_there_with_pictures_and_without_names(cast, submission, for_learner):
    release(cast, NOW)
    text = " ".join(page_texts(portfolio_pdf(gather_portfolio(submission, for_learner=for_learner))))
    assert "The class’s values" in text
    assert "glycine: 6 values" in " ".join(text.split())
    assert "median" in text
    assert cast.group_mate.name not in text


def test_the_date_follows_the_release_and_a_later_amendment(cast, submission):
    before = gather_portfolio(submission, for_learner=False).created
    release(cast, before + timedelta(days=1))
    assert gather_portfolio(submission, for_learner=False).created == before + timedelta(days=1)
    mates = ReadingSet.objects.get(learner=cast.group_mate)
    Amendment.objects.create(
        reading_set=mates,
        by=cast.group_mate,
        at=before + timedelta(days=2),
        reason="Read upside down",
        before="{}",
        after="{}",
    )
    assert gather_portfolio(submission, for_learner=False).created == before + timedelta(days=2)
