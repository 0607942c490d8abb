from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied

from practicals.actions.close_session import BenchWorkGoesOn, close_session
from practicals.actions.end_bench_work import NotStarted, end_bench_work
from practicals.actions.save_readings import BenchWorkEnded, ReadingsLocked, save_readings
from practicals.calculations.entry import ReadingEntry
from practicals.models import AuditEntry, LessonHelper, Role
from tests.factories import NOW, make_class, make_readings, make_session, make_user

LATER = NOW + timedelta(hours=1)


def paper_of(cast):
    return cast.session.groups.first().papers.get()


def test_ending_locks_every_set_and_keeps_what_was_locked_before(cast):
    early = NOW - timedelta(minutes=5)
    done = make_readings(paper_of(cast), cast.learner, locked_at=early)
    draft = make_readings(paper_of(cast), cast.group_mate)
    ended = end_bench_work(by=cast.teacher, session=cast.session, now=NOW)
    assert ended.readings_locked_at == NOW
    done.refresh_from_db()
    draft.refresh_from_db()
    assert (done.locked_at, draft.locked_at) == (early, NOW)
    assert AuditEntry.objects.get(action="end_bench_work").detail == {"locked": 1}


def test_ending_twice_changes_nothing(cast):
    end_bench_work(by=cast.teacher, session=cast.session, now=NOW)
    again = end_bench_work(by=cast.teacher, session=cast.session, now=LATER)
    assert (again.readings_locked_at, again.version) == (NOW, 2)
    assert AuditEntry.objects.filter(action="end_bench_work").count() == 1


def test_readings_of_another_session_stay_open(cast):
    theirs = make_session(teacher=cast.teacher, teaching_class=make_class(teacher=cast.teacher))
    paper = theirs.groups.first().papers.get()
    readings = make_readings(paper, theirs.members.first().learner)
    end_bench_work(by=cast.teacher, session=cast.session, now=NOW)
    readings.refresh_from_db()
    assert readings.locked_at is None


def test_nothing_more_can_be_entered_after_the_end(cast):
    readings = make_readings(paper_of(cast), cast.learner)
    end_bench_work(by=cast.teacher, session=cast.session, now=NOW)
    with pytest.raises(ReadingsLocked):
        save_readings(
            by=cast.learner,
            paper=paper_of(cast),
            entry=ReadingEntry(),
            seen_version=readings.version,
            now=LATER,
        )
    with pytest.raises(BenchWorkEnded):
        save_readings(
            by=cast.group_mate, paper=paper_of(cast), entry=ReadingEntry(), seen_version=None, now=LATER
        )


def test_what_has_not_started_cannot_end(cast):
    planned = make_session(teacher=cast.teacher, teaching_class=cast.teaching_class, started=False)
    with pytest.raises(NotStarted, match="has not been started"):
        end_bench_work(by=cast.teacher, session=planned, now=NOW)


def test_a_session_closes_once_and_only_after_bench_work(cast):
    with pytest.raises(BenchWorkGoesOn):
        close_session(by=cast.teacher, session=cast.session, now=NOW)
    end_bench_work(by=cast.teacher, session=cast.session, now=NOW)
    assert close_session(by=cast.teacher, session=cast.session, now=NOW).closed_at == NOW
    assert close_session(by=cast.teacher, session=cast.session, now=LATER).closed_at == NOW
    assert AuditEntry.objects.filter(action="close_session").count() == 1


@pytest.mark.parametrize("act", [end_bench_work, close_session])
def test_lesson_staff_and_strangers_end_nothing(cast, act):
    helper = make_user("Hal Helper", Role.LESSON_ONLY)
    colleague = make_user("Col League", Role.TEACHER)
    lesson = cast.session.lessons.get()
    LessonHelper.objects.create(lesson=lesson, user=helper, part="cover leader")
    LessonHelper.objects.create(lesson=lesson, user=colleague, part="support assistant")
    for person in (helper, colleague, cast.other_teacher, cast.technician, cast.learner):
        with pytest.raises(PermissionDenied):
            act(by=person, session=cast.session, now=NOW)
    cast.session.refresh_from_db()
    assert (cast.session.readings_locked_at, cast.session.closed_at) == (None, None)
