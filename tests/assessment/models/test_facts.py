"""Evidence gathered from the records: the learner's own, from every session that counts, in few queries."""

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext

from assessment.models import EvidencePart
from assessment.models.facts import evidence_of, facts_for, facts_for_many, frozen_facts
from practicals.models import BenchNote, GroupMember, HelpGiven, Paper, ReadingSet
from tests.assessment.submitting import hand_in
from tests.factories import NOW, make_assignment, make_class, make_paper, make_readings, make_session


@pytest.fixture
def work(cast):
    return make_assignment(session=cast.session, signed_off_by=cast.verifier).works.get(learner=cast.learner)


def paper_of(session, number=1):
    return session.groups.get(number=number).papers.first()


def test_only_the_learners_own_readings_count(cast, work):
    make_readings(paper_of(cast.session), cast.learner)
    make_readings(paper_of(cast.session), cast.group_mate)
    assert facts_for(work).spots == 4


def test_another_groups_paper_is_said(cast, work):
    make_readings(paper_of(cast.session, 2), cast.learner, source=ReadingSet.Source.OTHER)
    assert facts_for(work).another_group_source


def test_a_session_outside_the_assignment_does_not_count(cast, work):
    second = make_session(teacher=cast.teacher, teaching_class=cast.teaching_class)
    group = second.members.get(learner=cast.learner).group
    make_readings(group.papers.first(), cast.learner)
    assert facts_for(work).papers_begun == 0
    work.assignment.sessions.add(second)
    assert facts_for(work).papers_begun == 1


def test_a_catch_up_counts_when_it_is_for_a_session_of_the_assignment(cast, work):
    elsewhere = cast.stranger.memberships.get().session
    group = elsewhere.groups.first()
    member = GroupMember.objects.create(session=elsewhere, group=group, learner=cast.learner)
    make_readings(group.papers.first(), cast.learner)
    assert facts_for(work).papers_begun == 0
    member.home_session = cast.session
    member.save()
    assert facts_for(work).papers_begun == 1


def test_writing_notes_and_program_help_are_counted(cast, work):
    work.conclusion, work.evaluation = "X is leucine.", "It ran too far up."
    BenchNote.objects.create(
        session=cast.session, learner=cast.learner, by=cast.teacher, at=NOW, text="P1 seen."
    )
    HelpGiven.objects.create(session=cast.session, learner=cast.learner, at=NOW, text="Look again.")
    HelpGiven.objects.create(
        session=cast.session, learner=cast.learner, by=cast.teacher, at=NOW, text="Said by a person."
    )
    facts = facts_for(work)
    assert (facts.conclusion_words, facts.evaluation_words) == (3, 5)
    assert (sorted(facts.noted), facts.help_shown) == (["P1"], 1)
    assert len(evidence_of(work).help_given) == 2


def test_a_failed_paper_of_the_group_counts_as_without_result(cast, work):
    spoilt = make_paper(cast.session.groups.first(), "B")
    Paper.objects.filter(pk=spoilt.pk).update(no_result="torn")
    assert facts_for(work).no_results == 1
    make_readings(spoilt, cast.learner, centres=(), no_result="torn")
    assert facts_for(work).no_results == 1


def test_many_are_gathered_as_one_would_be_and_in_as_few_queries(cast):
    counts = []
    for learners in (3, 30):
        teaching_class = make_class(teacher=cast.teacher, learners=learners)
        session = make_session(teacher=cast.teacher, teaching_class=teaching_class)
        assignment = make_assignment(session=session)
        for member in session.members.all():
            make_readings(member.group.papers.first(), member.learner)
        works = list(assignment.works.for_marking())
        with CaptureQueriesContext(connection) as seen:
            many = facts_for_many(works)
        counts.append(len(seen))
        assert many[works[-1].pk] == facts_for(works[-1])
    assert counts[0] == counts[1]


def test_what_was_frozen_stays_whatever_happens_to_the_records(cast, work):
    make_readings(paper_of(cast.session), cast.learner)
    submission = hand_in(work.assignment, cast.learner, conclusion="Three words here.")
    work.refresh_from_db()
    work.conclusion = ""
    work.save()
    facts = frozen_facts([submission])[submission.pk]
    assert (facts.spots, facts.conclusion_words, facts.declared, facts.late) == (4, 3, True, False)


def test_erased_or_unreadable_facts_are_left_out(cast, work):
    submission = hand_in(work.assignment, cast.learner)
    EvidencePart.objects.filter(submission=submission, name="facts").update(text="[]")
    assert frozen_facts([submission]) == {}
