import re
from datetime import timedelta
from decimal import Decimal

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from practicals.actions.join_catch_up import join_catch_up
from practicals.models import (
    Attendance,
    BenchNote,
    Chamber,
    HelpGiven,
    LessonHelper,
    ReadingSet,
    Role,
    Session,
    SpotReading,
)
from practicals.models.board import current_lesson, for_board
from reagents.models import Batch
from tests.factories import NOW, make_class, make_readings, make_session, make_user


def paper_of(cast):
    return cast.session.groups.first().papers.get()


def row_of(cast, learner):
    board = for_board(cast.session, NOW)
    return next(member for member in board.members if member.learner == learner)


def state_own_rf(readings, lane, stated):
    spot = SpotReading.objects.get(lane_reading__reading_set=readings, lane_reading__lane__number=lane)
    spot.own_rf = stated
    spot.save()


def mark(cast, learner, word):
    lesson = cast.session.lessons.get()
    Attendance.objects.create(
        lesson=lesson, learner=learner, mark=word, marked_by=cast.teacher, marked_at=NOW
    )


def batch_for(cast, **more):
    return Batch.objects.create(
        code="B7Q2",
        recipe=cast.session.practical.mobile_phase,
        made_at=NOW,
        made_by=cast.technician,
        initials="TT",
        total_ml=Decimal(100),
        **more,
    )


def test_a_group_goes_from_nothing_entered_over_measuring_to_all_finished(cast):
    def stage():
        return for_board(cast.session, NOW).groups[0].stage

    assert stage() == "nothing entered"
    members = [member.learner for member in cast.session.groups.first().members.all()]
    for learner in members:
        make_readings(paper_of(cast), learner)
        assert stage() == "measuring"
    ReadingSet.objects.filter(session=cast.session).update(locked_at=NOW)
    assert stage() == "all finished"


def test_an_absent_member_does_not_hold_the_group_up(cast):
    members = [member.learner for member in cast.session.groups.first().members.all()]
    for learner in members[:-1]:
        make_readings(paper_of(cast), learner, locked_at=NOW)
    assert for_board(cast.session, NOW).groups[0].stage == "measuring"
    mark(cast, members[-1], "absent")
    assert for_board(cast.session, NOW).groups[0].stage == "all finished"


def test_a_draft_says_how_many_lanes_are_complete(cast):
    assert row_of(cast, cast.learner).state == "nothing yet"
    readings = make_readings(paper_of(cast), cast.learner)
    assert row_of(cast, cast.learner).state == "draft, 0 of 4 lanes"
    state_own_rf(readings, 1, "0.25")
    assert row_of(cast, cast.learner).state == "draft, 1 of 4 lanes"
    ReadingSet.objects.update(locked_at=NOW)
    assert row_of(cast, cast.learner).state == "finished, 1 of 4 lanes"


def test_flags_are_counted_in_words_with_the_slip(cast, page):
    # Spot 35, origin 15, front 95: R_f 20/80 = 0.25; inverted 80/20 = 4. Lane 2 lies beyond the front.
    readings = make_readings(paper_of(cast), cast.learner, centres=("35", "110", "75", "74"))
    state_own_rf(readings, 1, "4.00")
    flags = row_of(cast, cast.learner).flags
    assert flags[0] == "1 impossible"
    assert any(flag.startswith("own R_f differs in 1:") and "invert" in flag for flag in flags)
    shown = page(cast.teacher, "board", cast.session.uuid)
    assert "To look at" in shown
    assert "own <i>R</i><sub>f</sub> differs in 1" in shown


def test_the_teacher_sees_the_slip_also_where_the_learner_is_told_nothing(cast, page):
    cast.session.help_setting = "nothing"
    cast.session.save()
    readings = make_readings(paper_of(cast), cast.learner)
    state_own_rf(readings, 1, "4.00")
    assert "invert" in page(cast.teacher, "board", cast.session.uuid)


def test_a_right_own_value_is_no_flag(cast):
    readings = make_readings(paper_of(cast), cast.learner)
    state_own_rf(readings, 1, "0.25")
    assert row_of(cast, cast.learner).flags == ()


def test_readings_of_someone_not_marked_present_are_flagged(cast):
    make_readings(paper_of(cast), cast.learner)
    assert not row_of(cast, cast.learner).not_marked_present  # no register yet: nobody is
    mark(cast, cast.group_mate, "present")
    assert row_of(cast, cast.learner).flags == ("readings, but not marked present",)
    mark(cast, cast.learner, "late")
    assert row_of(cast, cast.learner).flags == ()


def test_a_recalled_batch_stands_out_with_its_reason(cast, page):
    chamber = Chamber.objects.filter(group__session=cast.session).first()
    batch = batch_for(cast, recalled_at=NOW, recall_reason="Acid left out")
    chamber.batch, chamber.filled_at, chamber.filled_by = batch, NOW, cast.technician
    chamber.save()
    shown = page(cast.teacher, "board", cast.session.uuid)
    assert "Recalled batch" in shown
    assert "Acid left out" in shown
    assert "B7Q2" in shown


def test_help_and_notes_are_counted_by_who_gave_them(cast):
    common = {"session": cast.session, "learner": cast.learner, "at": NOW, "text": "x"}
    HelpGiven.objects.create(**common, about="a")
    HelpGiven.objects.create(**common, about="b")
    HelpGiven.objects.create(**common, by=cast.teacher)
    BenchNote.objects.create(**common, by=cast.teacher)
    row = row_of(cast, cast.learner)
    assert (row.help_by_program, row.help_by_people, row.notes) == (2, 1, 1)


def test_a_paper_without_result_asks_for_another_paper(cast):
    paper = paper_of(cast)
    paper.no_result = "torn"
    paper.save()
    assert row_of(cast, cast.learner).state == "no result: needs a paper"
    other = cast.session.groups.last().papers.get()
    make_readings(other, cast.learner, source="another group's paper", locked_at=NOW)
    row = row_of(cast, cast.learner)
    assert row.kind == "done"
    assert row.state.startswith("paper 2A: finished")


def test_guests_and_those_who_catch_up_elsewhere_are_named_so(cast, page):
    teacher = cast.teacher
    later = make_session(
        teacher=teacher,
        teaching_class=make_class("Class 9Z", teacher=teacher),
        practical=cast.session.practical,
    )
    join_catch_up(
        by=teacher,
        learner=cast.learner,
        home_session=cast.session,
        session=later,
        group=later.groups.first(),
        now=NOW,
    )
    assert "catches up with Class 9Z" in page(teacher, "board", cast.session.uuid)
    there = page(teacher, "board", later.uuid)
    assert cast.learner.name in there
    assert "catches up here, from Class 1A" in there


def test_the_live_part_is_the_same_fragment_and_asks_not_to_be_kept(cast, get, page):
    whole = page(cast.teacher, "board", cast.session.uuid)
    live = get(cast.teacher, "live", cast.session.uuid)
    assert live.status_code == 200
    assert live["X-Board"] == "live"
    assert live["Cache-Control"] == "no-store"
    part = live.content.decode()
    assert "<html" not in part
    assert "<h1" not in part

    def clock(text):
        return re.sub(r"\d\d:\d\d:\d\d", "", text)

    assert clock(part).strip() in clock(whole)


def test_it_refreshes_without_script_by_a_link_and_says_when(cast, page):
    shown = page(cast.teacher, "board", cast.session.uuid)
    assert f'href="{reverse("board:board", args=[cast.session.uuid])}">Refresh</a>' in shown
    assert re.search(r"As of <span class=\"figures\">\d\d:\d\d:\d\d</span>", shown)
    assert 'hx-trigger="every 10s"' in shown


def test_all_that_can_hold_focus_in_the_live_part_has_a_name_of_its_own(cast, get):
    """htmx gives focus back to an element by its id (htmx 2, documentation of morphing and focus)."""
    part = get(cast.teacher, "live", cast.session.uuid).content.decode()
    links = re.findall(r"<(?:a|button|input|summary)\b[^>]*>", part)
    ids = [re.search(r'\bid="([^"]+)"', link) for link in links]
    assert links
    assert all(ids)
    assert len({found[1] for found in ids}) == len(links)


def test_nothing_on_the_page_needs_what_the_content_policy_forbids(cast, get):
    response = get(cast.teacher, "board", cast.session.uuid)
    shown = response.content.decode()
    policy = response["Content-Security-Policy"]
    assert "unsafe" not in policy
    assert "script-src 'self'" in policy
    assert not re.search(r"<script(?![^>]*\bsrc=)", shown)
    assert not re.search(r"\sstyle=|\son[a-z]+=|<style|hx-on|hx-vals=.js:", shown)
    assert '"includeIndicatorStyles": false' in shown
    assert '"allowEval": false' in shown


@pytest.mark.parametrize("name", ["board", "live"])
def test_as_many_questions_to_the_database_for_thirty_learners_as_for_three(cast, as_, name):
    def count(learners):
        teaching_class = make_class(teacher=cast.teacher, learners=learners)
        session = make_session(teacher=cast.teacher, teaching_class=teaching_class)
        for group in session.groups.all():
            for member in group.members.all():
                make_readings(group.papers.get(), member.learner)
                HelpGiven.objects.create(
                    session=session, learner=member.learner, by=cast.teacher, at=NOW, text="x"
                )
        client = as_(cast.teacher)
        with CaptureQueriesContext(connection) as asked:
            assert client.get(reverse(f"board:{name}", args=[session.uuid])).status_code == 200
        return len(asked)

    few, many = count(3), count(30)
    assert few == many
    assert many <= 40


def test_what_is_not_ones_own_is_not_there(cast, get):
    theirs = Session.objects.get(teacher=cast.other_teacher)
    for name in ("board", "live", "end_bench_work", "close"):
        assert get(cast.teacher, name, theirs.uuid).status_code == 404
        assert get(cast.technician, name, cast.session.uuid).status_code == 404
        assert get(cast.learner, name, cast.session.uuid).status_code == 404


def test_lesson_staff_see_the_board_of_their_lesson_but_end_nothing(cast, get, post, page):
    helper = make_user("Hal Helper", Role.LESSON_ONLY)
    assert get(helper, "board", cast.session.uuid).status_code == 404
    LessonHelper.objects.create(lesson=cast.session.lessons.get(), user=helper, part="cover leader")
    shown = page(helper, "board", cast.session.uuid)
    assert "End bench work" not in shown
    assert "Chambers and batches" not in shown
    theirs = Session.objects.get(teacher=cast.other_teacher)
    assert get(helper, "board", theirs.uuid).status_code == 404
    for name in ("end_bench_work", "close"):
        assert get(helper, name, cast.session.uuid).status_code == 404
        assert post(helper, name, [cast.session.uuid]).status_code == 404
    cast.session.refresh_from_db()
    assert cast.session.readings_locked_at is None


def test_ending_says_first_who_is_not_finished_and_then_locks(cast, page, post, get):
    make_readings(paper_of(cast), cast.learner, locked_at=NOW)
    asked = page(cast.teacher, "end_bench_work", cast.session.uuid)
    assert "5 of 6 learners" in asked
    assert cast.group_mate.name in asked
    cast.session.refresh_from_db()
    assert cast.session.readings_locked_at is None  # asking changes nothing
    board = reverse("board:board", args=[cast.session.uuid])
    assert post(cast.teacher, "end_bench_work", [cast.session.uuid]).url == board
    cast.session.refresh_from_db()
    ended = Session.objects.get(pk=cast.session.pk).readings_locked_at
    assert ended is not None
    post(cast.teacher, "end_bench_work", [cast.session.uuid])
    cast.session.refresh_from_db()
    assert cast.session.readings_locked_at == ended
    assert "Bench work ended" in page(cast.teacher, "end_bench_work", cast.session.uuid)


def test_closing_before_the_end_of_bench_work_is_refused_in_words(cast, as_, post, page):
    shown = page(cast.teacher, "close", cast.session.uuid)
    assert "Bench work has not ended" in shown
    post(cast.teacher, "close", [cast.session.uuid])
    cast.session.refresh_from_db()
    assert cast.session.closed_at is None
    post(cast.teacher, "end_bench_work", [cast.session.uuid])
    post(cast.teacher, "close", [cast.session.uuid])
    cast.session.refresh_from_db()
    assert cast.session.closed_at is not None


def test_closing_puts_an_end_to_the_bench_codes(cast, as_, post):
    client = as_(cast.learner)
    at_bench = client.session
    at_bench["bench_session"] = str(cast.session.uuid)
    at_bench.save()
    there = reverse("bench:session", args=[cast.session.uuid])
    assert client.get(there).status_code == 200
    post(cast.teacher, "end_bench_work", [cast.session.uuid])
    assert client.get(there).status_code == 200
    post(cast.teacher, "close", [cast.session.uuid])
    assert client.get(there).status_code == 302  # to the sign-in page


def test_the_lesson_that_goes_on_is_the_one_that_counts(cast):
    first = cast.session.lessons.get()
    second = cast.session.lessons.create(
        starts_at=NOW + timedelta(days=7), minutes=60, room="Lab 3", leader=cast.teacher
    )
    lessons = [first, second]
    assert current_lesson([], NOW) is None
    assert current_lesson(lessons, NOW - timedelta(days=1)) == first
    assert current_lesson(lessons, NOW + timedelta(days=6)) == first
    assert current_lesson(lessons, second.starts_at - timedelta(minutes=10)) == second
