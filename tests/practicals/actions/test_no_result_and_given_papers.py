from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied

from practicals.access import bench_papers
from practicals.actions.declare_no_result import CannotDeclare, declare_no_result
from practicals.actions.end_bench_work import end_bench_work
from practicals.actions.give_paper import CannotGive, give_paper
from practicals.actions.save_readings import save_readings
from practicals.calculations.entry import ReadingEntry
from practicals.models import AuditEntry, BenchNote, ReadingSet, Session
from tests.factories import NOW, make_readings


def papers_of(cast):
    return [group.papers.get() for group in cast.session.groups.all()]


def test_a_paper_ends_without_a_result_for_a_reason(cast):
    paper, _ = papers_of(cast)
    ended = declare_no_result(by=cast.teacher, paper=paper, reason="torn", now=NOW)
    assert (ended.no_result, ended.no_result_by, ended.no_result_at) == ("torn", cast.teacher, NOW)
    declare_no_result(by=cast.teacher, paper=paper, reason="torn", now=NOW)
    assert AuditEntry.objects.filter(action="declare_no_result").count() == 1


def test_a_wrong_declaration_is_taken_back_in_the_open(cast):
    paper, _ = papers_of(cast)
    declare_no_result(by=cast.teacher, paper=paper, reason="torn", now=NOW)
    back = declare_no_result(by=cast.teacher, paper=paper, reason="", now=NOW)
    assert (back.no_result, back.no_result_by, back.no_result_at) == ("", None, None)
    entry = AuditEntry.objects.filter(action="declare_no_result").first()
    assert entry.detail == {"before": "torn", "after": ""}


def test_an_invented_reason_and_a_closed_session_are_refused(cast):
    paper, _ = papers_of(cast)
    with pytest.raises(CannotDeclare):
        declare_no_result(by=cast.teacher, paper=paper, reason="the cat ate it", now=NOW)
    cast.session.readings_locked_at = cast.session.closed_at = NOW
    cast.session.save()
    paper.refresh_from_db()
    with pytest.raises(CannotDeclare, match="closed"):
        declare_no_result(by=cast.teacher, paper=paper, reason="torn", now=NOW)


def test_a_learner_without_a_result_measures_another_groups_paper(cast):
    own, other = papers_of(cast)
    assert other not in bench_papers(cast.learner)
    declare_no_result(by=cast.teacher, paper=own, reason="front lost", now=NOW)
    given = give_paper(
        by=cast.teacher, learner=cast.learner, paper=other, source="another group's paper", now=NOW
    )
    assert (given.source, given.session, given.locked_at) == ("another group's paper", cast.session, None)
    assert other in bench_papers(cast.learner)
    saved = save_readings(
        by=cast.learner,
        paper=other,
        entry=ReadingEntry(origin_mm=Decimal(15)),
        seen_version=given.version,
        now=NOW,
    )
    assert (saved.source, saved.origin_mm) == ("another group's paper", Decimal(15))
    assert AuditEntry.objects.get(action="give_paper").detail["source"] == "another group's paper"
    assert "front" not in BenchNote.objects.get().text


def test_without_a_lost_result_it_takes_a_reason_which_stands_as_a_note(cast):
    _, other = papers_of(cast)
    with pytest.raises(CannotGive, match="Say why"):
        give_paper(by=cast.teacher, learner=cast.learner, paper=other, source="a photo of a paper", now=NOW)
    give_paper(
        by=cast.teacher,
        learner=cast.learner,
        paper=other,
        source="a photo of a paper",
        reason="Came late",
        now=NOW,
    )
    assert BenchNote.objects.get().text.endswith("Reason: Came late")


def test_a_set_of_ones_own_that_ended_without_result_is_cause_enough(cast):
    own, other = papers_of(cast)
    make_readings(own, cast.learner, centres=(), no_result="no spot")
    given = give_paper(by=cast.teacher, learner=cast.learner, paper=other, source="supplied data", now=NOW)
    assert given.paper == other


def test_what_cannot_be_given_is_refused_with_a_sentence(cast):
    own, other = papers_of(cast)
    why = {"reason": "Came late", "now": NOW, "by": cast.teacher, "learner": cast.learner}
    with pytest.raises(CannotGive, match="own group"):
        give_paper(paper=own, source="another group's paper", **why)
    for source in ("own group's paper", "", "hearsay"):
        with pytest.raises(CannotGive, match="Say whether"):
            give_paper(paper=other, source=source, **why)
    make_readings(other, cast.learner)
    with pytest.raises(CannotGive, match="already"):
        give_paper(paper=other, source="supplied data", **why)
    end_bench_work(by=cast.teacher, session=cast.session, now=NOW)
    with pytest.raises(CannotGive, match="has ended"):
        give_paper(paper=own, source="supplied data", **why)
    assert ReadingSet.objects.count() == 1


def test_a_paper_without_a_result_helps_nobody(cast):
    own, other = papers_of(cast)
    for paper in (own, other):
        declare_no_result(by=cast.teacher, paper=paper, reason="torn", now=NOW)
    with pytest.raises(CannotGive, match="no result either"):
        give_paper(
            by=cast.teacher, learner=cast.learner, paper=other, source="another group's paper", now=NOW
        )


def test_both_are_for_those_who_lead_the_session(cast):
    own, other = papers_of(cast)
    elsewhere = Session.objects.get(teacher=cast.other_teacher).groups.first().papers.get()
    for person in (cast.other_teacher, cast.technician, cast.learner):
        with pytest.raises(PermissionDenied):
            declare_no_result(by=person, paper=own, reason="torn", now=NOW)
        with pytest.raises(PermissionDenied):
            give_paper(by=person, learner=cast.learner, paper=other, source="supplied data", now=NOW)
    for learner, paper in ((cast.stranger, other), (cast.learner, elsewhere)):
        with pytest.raises(PermissionDenied):
            give_paper(
                by=cast.teacher, learner=learner, paper=paper, source="supplied data", reason="x", now=NOW
            )
