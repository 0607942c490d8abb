"""The actions of planning, without HTTP: who may, what is kept, what the audit says."""

import re
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied
from django.core.management import call_command
from django.utils import timezone

from practicals.actions.add_practical import add_practical
from practicals.actions.arrange_groups import arrange_groups
from practicals.actions.copy_session import copy_session
from practicals.actions.join_catch_up import join_catch_up
from practicals.actions.move_learner import move_learner
from practicals.actions.plan_session import CannotPlan, LessonPlan, plan_session
from practicals.actions.regroup import regroup
from practicals.actions.send_requisition import TooDeep, send_requisition
from practicals.actions.start_session import start_session
from practicals.calculations.practical_file import PracticalFileError, shipped_practicals
from practicals.models import AuditEntry, Group, Practical
from reagents.models import NeverDeleted, Recipe
from tests.factories import NOW, enrol, make_class, make_session, make_user

TEXT = shipped_practicals()["amino_acids_on_paper.toml"]


def plan(cast, **more):
    return plan_session(
        **{
            "by": cast.teacher,
            "practical": Practical.objects.first(),
            "teaching_class": cast.teaching_class,
            "lessons": [LessonPlan(NOW, 90, "Lab 2", cast.teacher)],
            "group_size": 3,
            "now": timezone.now(),
            **more,
        }
    )


def test_shipped_practicals_load_once_however_often(db, capsys):
    call_command("load_practicals")
    call_command("load_practicals")
    assert sorted(Practical.objects.values_list("slug", "edition")) == [
        ("amino-acids-on-paper", 1),
        ("food-dyes", 1),
        ("leaf-pigments", 1),
    ]


def test_a_shipped_file_does_not_come_back_over_a_teachers_edition(cast):
    add_practical(by=None, text=TEXT, now=NOW)
    edited = add_practical(by=cast.teacher, text=TEXT + "\n# ours\n", now=NOW)
    add_practical(by=None, text=TEXT, now=NOW)
    assert Practical.objects.filter(slug=edited.slug).order_by("edition").last() == edited


def test_a_recipe_that_changed_gets_its_own_edition_and_the_others_stay(cast):
    first = add_practical(by=None, text=TEXT, now=NOW)
    text = TEXT.replace('substance = "butan-1-ol"\namount = 6', 'substance = "butan-1-ol"\namount = 4')
    second = add_practical(by=cast.teacher, text=text, now=NOW)
    assert (first.mobile_phase.edition, second.mobile_phase.edition) == (1, 2)
    assert first.locating_agent == second.locating_agent
    assert Recipe.objects.filter(slug=first.mobile_phase.slug).count() == 2


def test_a_practical_with_problems_keeps_nothing(cast):
    before = Recipe.objects.count()
    with pytest.raises(PracticalFileError):
        add_practical(
            by=cast.teacher, text=re.sub(r'title = "Unknown Y"', f'title = "{"y" * 200}"', TEXT), now=NOW
        )
    assert Recipe.objects.count() == before


def test_a_session_keeps_the_edition_it_was_planned_with(cast):
    practical = add_practical(by=None, text=TEXT, now=NOW)
    session = plan(cast, practical=practical)
    add_practical(by=cast.teacher, text=TEXT + "\n# later\n", now=NOW)
    session.refresh_from_db()
    assert session.practical.edition == 1


def test_the_recorded_seed_draws_the_same_groups_again(cast):
    first, second = plan(cast, seed=42), plan(cast, seed=42)
    assert list(first.members.values_list("learner", "group__number").order_by("learner")) == list(
        second.members.values_list("learner", "group__number").order_by("learner")
    )
    assert first.group_seed == 42


def test_every_group_has_its_chambers_papers_and_lanes(cast):
    practical = add_practical(by=None, text=TEXT, now=NOW)
    session = plan(cast, practical=practical)
    roles = dict(practical.analytes.values_list("key", "role"))
    for group in session.groups.all():
        paper = group.papers.get()
        assert paper.chamber.group == group
        lanes = [
            (key, lane.analyte) for key, lane in zip(practical.lane_plan, paper.lanes.all(), strict=True)
        ]
        assert all(analyte.key == key for key, analyte in lanes if roles[key] == "standard")
        assert [analyte.role for _, analyte in lanes] == [roles[key] for key in practical.lane_plan]


def test_groups_cannot_be_deleted_from_outside(cast):
    with pytest.raises(NeverDeleted):
        Group.objects.all().delete()


def test_a_learner_who_joined_later_is_placed_and_one_who_left_is_not_drawn(cast):
    session = plan(cast)
    late = make_user("Late Learner", "learner")
    enrol(cast.teaching_class, late)
    move_learner(by=cast.teacher, session=session, learner=late, group=session.groups.first(), now=NOW)
    cast.teaching_class.enrolments.filter(learner=cast.learner).update(left_at=NOW)
    regroup(by=cast.teacher, session=session, now=NOW)
    names = set(session.members.values_list("learner__name", flat=True))
    assert "Late Learner" in names
    assert cast.learner.name not in names


def test_somebody_of_another_class_cannot_be_moved_in(cast):
    session = plan(cast)
    with pytest.raises(PermissionDenied):
        arrange_groups(by=cast.teacher, session=session, places={cast.stranger: 1}, now=NOW)


def catch_up(cast, **more):
    parallel = make_class("Class 1C", teacher=cast.teacher, learners=2)
    home = plan(cast, teaching_class=parallel)
    session = plan(cast)
    arguments = {
        "by": cast.teacher,
        "learner": parallel.learners().first(),
        "home_session": home,
        "session": session,
        "group": session.groups.first(),
        "now": NOW,
        **more,
    }
    return join_catch_up(**arguments)


def test_a_guest_stays_with_the_home_session(cast):
    assert catch_up(cast).home_session.teaching_class.name == "Class 1C"


def test_a_guest_comes_from_another_session_that_does_the_same_practical(cast):
    with pytest.raises(CannotPlan, match="does not belong"):
        catch_up(cast, learner=cast.learner)
    other = add_practical(by=None, text=shipped_practicals()["food_dyes.toml"], now=NOW)
    home = plan(cast, practical=other)
    with pytest.raises(CannotPlan, match="different practicals"):
        join_catch_up(
            by=cast.teacher,
            learner=cast.learner,
            home_session=home,
            session=cast.session,
            group=cast.session.groups.first(),
            now=NOW,
        )


def test_a_group_of_another_session_is_refused(cast):
    with pytest.raises(PermissionDenied):
        catch_up(cast, group=cast.session.groups.first())


def test_what_is_left_out_of_a_requisition_follows_from_the_practical(cast):
    session = plan(cast, practical=add_practical(by=None, text=TEXT, now=NOW))
    requisition = send_requisition(by=cast.teacher, session=session, needed_at=NOW, room="Lab 2", now=NOW)
    assert requisition.lines.first().chambers == 2
    assert requisition.lines.count() == 1 + 1 + 7
    assert requisition.items.count() == len(session.practical.equipment)


def test_liquid_near_the_origin_line_is_refused(cast):
    session = plan(cast, practical=add_practical(by=None, text=TEXT, now=NOW))
    with pytest.raises(TooDeep, match="within"):
        send_requisition(
            by=cast.teacher, session=session, needed_at=NOW, room="Lab 2", depth_mm=Decimal(17), now=NOW
        )


def test_another_teacher_may_do_none_of_it(cast):
    session, other = cast.session, cast.other_teacher
    group = session.groups.first()
    calls = [
        lambda: plan(cast, by=other),
        lambda: copy_session(by=other, session=session, teaching_class=cast.teaching_class, now=NOW),
        lambda: regroup(by=other, session=session, now=NOW),
        lambda: move_learner(by=other, session=session, learner=cast.learner, group=group, now=NOW),
        lambda: start_session(by=other, session=session, now=NOW),
        lambda: send_requisition(by=other, session=session, needed_at=NOW, room="Lab", now=NOW),
        lambda: add_practical(by=cast.technician, text=TEXT, now=NOW),
    ]
    for call in calls:
        with pytest.raises(PermissionDenied):
            call()


def test_each_action_writes_the_audit_and_names_nobody(cast):
    practical = add_practical(by=cast.teacher, text=TEXT, now=NOW)
    parallel = make_class("Class 1C", teacher=cast.teacher, learners=2)
    session = plan(cast, practical=practical, also_for=[parallel])
    regroup(by=cast.teacher, session=session, now=NOW)
    move_learner(
        by=cast.teacher, session=session, learner=cast.learner, group=session.groups.first(), now=NOW
    )
    send_requisition(by=cast.teacher, session=session, needed_at=NOW, room="Lab 2", now=NOW)
    start_session(by=cast.teacher, session=session, now=NOW)
    entries = AuditEntry.objects.filter(actor=cast.teacher.token)
    assert set(entries.values_list("action", flat=True)) == {
        "add_practical",
        "plan_session",
        "copy_session",
        "regroup",
        "arrange_groups",
        "draw_up_requisition",
        "send_requisition",
        "start_session",
    }
    words = " ".join(entries.values_list("sentence", flat=True))
    assert not any(learner.name in words for learner in cast.teaching_class.learners())


def test_a_session_with_nobody_in_a_group_does_not_start(cast):
    session = make_session(
        teacher=cast.teacher,
        teaching_class=make_class("Empty", teacher=cast.teacher, learners=0),
        started=False,
    )
    with pytest.raises(CannotPlan, match="Nobody is in a group"):
        start_session(by=cast.teacher, session=session, now=NOW)
