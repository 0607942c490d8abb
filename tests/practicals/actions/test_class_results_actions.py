"""Releasing a class's values, and answering a question about equal figures."""

import pytest
from django.core.exceptions import PermissionDenied

from practicals.actions.answer_same_figures import (
    LONGEST_ANSWER,
    CannotAnswer,
    NotBoth,
    answer_same_figures,
)
from practicals.actions.release_results import ReadingsNotLocked, release_results
from practicals.models import AuditEntry, Paper, SameFiguresAnswer
from tests.factories import NOW, make_readings


@pytest.fixture
def paper(cast):
    return Paper.objects.select_related("group__session").get(
        group__session=cast.session, group__members__learner=cast.learner
    )


@pytest.fixture
def both(cast, paper):
    make_readings(paper, cast.learner)
    make_readings(paper, cast.group_mate)
    return {"paper": paper, "first": cast.group_mate, "second": cast.learner}


def lock(session):
    session.readings_locked_at = NOW
    session.save()


def test_results_are_released_once_with_one_audit_row(cast):
    lock(cast.session)
    for _ in range(2):
        released = release_results(by=cast.teacher, session=cast.session, now=NOW)
    assert released.results_released_at == NOW
    entry = AuditEntry.objects.get(action="release_results")
    assert entry.subject == str(cast.session.uuid)
    assert entry.actor == cast.teacher.token


def test_nothing_is_released_while_learners_still_measure(cast):
    with pytest.raises(ReadingsNotLocked, match="End the bench work first"):
        release_results(by=cast.teacher, session=cast.session, now=NOW)
    cast.session.refresh_from_db()
    assert cast.session.results_released_at is None
    assert not AuditEntry.objects.filter(action="release_results").exists()


@pytest.mark.parametrize("who", ["other_teacher", "technician", "learner", "verifier", "administrator"])
def test_only_who_may_end_the_bench_work_releases_and_answers(cast, both, who):
    lock(cast.session)
    person = getattr(cast, who)
    with pytest.raises(PermissionDenied):
        release_results(by=person, session=cast.session, now=NOW)
    with pytest.raises(PermissionDenied):
        answer_same_figures(by=person, text="Seen.", now=NOW, **both)
    assert not SameFiguresAnswer.objects.exists()


def test_an_answer_is_kept_in_the_order_of_the_pair_and_audited_without_names(cast, both):
    answer = answer_same_figures(by=cast.teacher, text="  I watched both. ", now=NOW, **both)
    assert (answer.first, answer.second) == (cast.learner, cast.group_mate)
    assert answer.text == "I watched both."
    entry = AuditEntry.objects.get(action="answer_same_figures")
    assert cast.learner.name not in entry.sentence
    answer_same_figures(by=cast.teacher, text="Asked again.", now=NOW, **both)
    assert SameFiguresAnswer.objects.count() == 2


@pytest.mark.parametrize("text", ["", "   ", "x" * (LONGEST_ANSWER + 1)])
def test_an_answer_that_says_nothing_or_too_much_is_refused(cast, both, text):
    with pytest.raises(CannotAnswer):
        answer_same_figures(by=cast.teacher, text=text, now=NOW, **both)


def test_who_did_not_read_the_paper_is_not_asked_about(cast, both):
    for second in (cast.rival, cast.group_mate):
        with pytest.raises(NotBoth):
            answer_same_figures(
                by=cast.teacher,
                paper=both["paper"],
                first=cast.group_mate,
                second=second,
                text="Seen.",
                now=NOW,
            )
