"""A session planned by mistake: withdrawn before it starts, with a reason, and gone from every list."""

from datetime import timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction
from django.utils import timezone

from assessment.actions.make_assignment import make_assignment
from assessment.models import waiting
from practicals.access import (
    endable_sessions,
    fillable_chambers,
    fillable_sessions,
    led_lessons,
    led_sessions,
    planned_sessions,
    standing_sessions,
)
from practicals.actions.arrange_groups import arrange_groups
from practicals.actions.change_session import change_session
from practicals.actions.copy_session import copy_session
from practicals.actions.give_lesson import give_lesson
from practicals.actions.issue_bench_codes import NothingToIssue, issue_bench_codes
from practicals.actions.join_catch_up import join_catch_up
from practicals.actions.plan_session import CannotPlan
from practicals.actions.regroup import regroup
from practicals.actions.start_session import start_session
from practicals.actions.withdraw_session import withdraw_session
from practicals.models import Attendance, AuditEntry, GroupMember, LessonHelper, Session
from practicals.pages.plan.gather import absentees
from reagents.models import Batch, Requisition, RequisitionLine
from tests.factories import NOW, make_class, make_session


@pytest.fixture
def planned(cast):
    session = make_session(
        teacher=cast.teacher, teaching_class=make_class("Wrong", teacher=cast.teacher), started=False
    )
    recipe = session.practical.mobile_phase
    session.requisition = Requisition.objects.create(
        title="Amino acids", room="Lab 2", needed_at=NOW, asked_by=cast.teacher, asked_at=NOW
    )
    session.save()
    RequisitionLine.objects.create(
        requisition=session.requisition, order=1, recipe=recipe, total_ml=Decimal(100)
    )
    return session


def withdraw(cast, session, reason="planned for the wrong class"):
    return withdraw_session(by=cast.teacher, session=session, reason=reason, now=NOW)


def test_it_is_kept_with_its_reason_and_no_longer_listed(cast, planned):
    gone = withdraw(cast, planned, "  planned for \n the wrong class ")
    assert (gone.stage, gone.withdrawn_reason) == ("withdrawn", "planned for the wrong class")
    assert planned_sessions(cast.teacher).contains(planned)
    for listed in (standing_sessions, led_sessions, endable_sessions, fillable_sessions):
        assert not listed(cast.teacher).contains(planned), listed
    assert not fillable_chambers(cast.technician).filter(group__session=planned).exists()
    assert not led_lessons(cast.teacher).filter(session=planned).exists()
    assert led_sessions(cast.teacher).contains(cast.session)


def test_nobody_is_sent_to_it_from_the_first_page(cast, planned):
    planned.requisition = None
    planned.save()
    mine = planned_sessions(cast.teacher)

    def waits():
        chambers = waiting.sessions_with_chambers(fillable_sessions(cast.technician), NOW)
        lessons = [lesson.session for lesson in waiting.lessons_ahead(led_lessons(cast.teacher), NOW)]
        return [planned in found for found in (waiting.sessions_without_requisition(mine), chambers, lessons)]

    assert waits() == [True, True, True]
    withdraw(cast, planned)
    assert waits() == [False, False, False]


def test_lesson_staff_no_longer_have_its_lesson(cast, planned):
    lesson = planned.lessons.get()
    helper = cast.other_teacher
    LessonHelper.objects.create(lesson=lesson, user=helper, part=LessonHelper.Part.COVER)
    assert led_lessons(helper).contains(lesson)
    withdraw(cast, planned)
    assert not led_lessons(helper).contains(lesson)


def test_its_requisition_is_withdrawn_while_nothing_is_made(cast, planned):
    withdraw(cast, planned)
    planned.requisition.refresh_from_db()
    assert planned.requisition.withdrawn_at == NOW
    assert AuditEntry.objects.filter(action="withdraw_requisition").count() == 1


def test_a_requisition_that_a_batch_was_made_for_stands(cast, planned):
    line = planned.requisition.lines.get()
    Batch.objects.create(
        code="24N-AAB",
        recipe=line.recipe,
        line=line,
        made_at=NOW,
        made_by=cast.technician,
        initials="TT",
        total_ml=Decimal(100),
    )
    assert withdraw(cast, planned).requisition.withdrawn_at is None
    planned.requisition.refresh_from_db()
    assert planned.requisition.withdrawn_at is None


def test_what_has_started_is_not_withdrawn(cast):
    with pytest.raises(CannotPlan, match="has started"):
        withdraw(cast, cast.session)
    cast.session.refresh_from_db()
    assert cast.session.withdrawn_at is None


@pytest.mark.parametrize(
    ("reason", "says"), [("", "Say why"), (" \n ", "Say why"), ("x" * 201, "at most 200")]
)
def test_it_takes_a_reason(cast, planned, reason, says):
    with pytest.raises(CannotPlan, match=says):
        withdraw(cast, planned, reason)
    assert standing_sessions(cast.teacher).contains(planned)


@pytest.mark.parametrize("who", ["other_teacher", "technician", "administrator", "learner", "verifier"])
def test_only_its_teachers_withdraw_it(cast, planned, who):
    with pytest.raises(PermissionDenied):
        withdraw_session(by=getattr(cast, who), session=planned, reason="because", now=NOW)


def test_a_second_time_changes_nothing(cast, planned):
    withdraw(cast, planned)
    assert withdraw(cast, planned, "another reason").withdrawn_reason == "planned for the wrong class"
    assert AuditEntry.objects.filter(action="withdraw_session").count() == 1


def test_nothing_is_built_upon_it(cast, planned):
    withdraw(cast, planned)
    by, now = cast.teacher, NOW
    other = make_class("Right", teacher=cast.teacher)
    lesson, group = planned.lessons.get(), planned.groups.first()
    guest = cast.learner
    acts = [
        lambda: start_session(by=by, session=planned, now=now),
        lambda: copy_session(by=by, session=planned, teaching_class=other, now=now),
        lambda: regroup(by=by, session=planned, now=now),
        lambda: arrange_groups(by=by, session=planned, places={}, now=now),
        lambda: give_lesson(by=by, lesson=lesson, user=cast.other_teacher, part="cover leader", now=now),
        lambda: join_catch_up(
            by=by, learner=guest, home_session=cast.session, session=planned, group=group, now=now
        ),
        lambda: change_session(
            by=by,
            session=planned,
            title="New",
            help_setting="hint",
            lessons=[],
            seen_version=Session.objects.get(pk=planned.pk).version,
            now=now,
        ),
    ]
    for act in acts:
        with pytest.raises(CannotPlan, match="was withdrawn"):
            act()
    with pytest.raises(NothingToIssue, match="was withdrawn"):
        issue_bench_codes(by=by, session=planned, now=now)


def test_no_assignment_draws_on_it(cast, planned):
    gone = withdraw(cast, planned)
    with pytest.raises(ValidationError, match="withdrawn"):
        make_assignment(
            by=cast.teacher,
            brief=None,
            sessions=[gone],
            assessor=cast.teacher,
            due_at=timezone.now() + timedelta(days=9),
            now=timezone.now(),
        )


def test_who_was_to_catch_up_there_may_catch_up_elsewhere(cast, planned):
    Session.objects.filter(pk=planned.pk).update(practical=cast.session.practical)
    GroupMember.objects.create(
        session=planned, group=planned.groups.first(), learner=cast.learner, home_session=cast.session
    )
    Attendance.objects.create(
        lesson=cast.session.lessons.get(),
        learner=cast.learner,
        mark="absent",
        marked_by=cast.teacher,
        marked_at=NOW,
    )
    third = make_session(
        teacher=cast.teacher,
        teaching_class=make_class(teacher=cast.teacher),
        practical=cast.session.practical,
        started=False,
    )
    assert absentees(cast.teacher, third) == []
    withdraw(cast, planned)
    assert [one.learner for one in absentees(cast.teacher, third)] == [cast.learner]


@pytest.mark.parametrize(
    "wrong",
    [
        {"withdrawn_at": NOW, "withdrawn_reason": ""},
        {"withdrawn_at": None, "withdrawn_reason": "because"},
        {"withdrawn_at": NOW, "withdrawn_reason": "because", "started_at": NOW},
    ],
)
def test_the_table_itself_refuses_what_cannot_be(cast, planned, wrong):
    with pytest.raises(IntegrityError), transaction.atomic():
        Session.objects.filter(pk=planned.pk).update(**wrong)
