"""Unknowns of a session: drawn by seed, under codes of the session's own, and what follows from them."""

from collections import Counter

import pytest
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction

from practicals.actions.add_practical import add_practical
from practicals.actions.copy_session import copy_session
from practicals.actions.draw_unknowns import draw_unknowns, pick_unknowns
from practicals.actions.plan_session import CannotPlan, LessonPlan, plan_session
from practicals.actions.regroup import regroup
from practicals.actions.send_requisition import send_requisition
from practicals.actions.start_session import start_session
from practicals.calculations.class_needs import SOLUTION_PER_GROUP_ML
from practicals.calculations.practical_file import shipped_practicals
from practicals.calculations.unknown_sets import UnknownSetError
from practicals.models import AuditEntry, Lane, ReadingSet, Session, UnknownCode
from practicals.models.class_results import class_results, own_results
from practicals.models.review import measured_of
from practicals.models.unknowns import key_of, sets_of, unknowns_page
from reagents.models import Stale
from tests.factories import NOW, make_class, make_readings, make_session

TEXT = shipped_practicals()["amino_acids_on_paper.toml"]


@pytest.fixture
def practical(db):
    return add_practical(by=None, text=TEXT, now=NOW)


@pytest.fixture
def plan(cast, practical):
    def make(**more):
        return plan_session(
            **{
                "by": cast.teacher,
                "practical": practical,
                "teaching_class": cast.teaching_class,
                "lessons": [LessonPlan(NOW, 90, "Lab 2", cast.teacher)],
                "group_size": 1,
                "now": NOW,
                **more,
            }
        )

    return make


def codes(session):
    return dict(UnknownCode.objects.filter(session=session).values_list("analyte__key", "code"))


def test_every_group_has_the_same_or_each_is_used_about_equally(plan):
    assert len(set(sets_of(plan(unknowns="same")).values())) == 1
    differing = sets_of(plan(unknowns="differ", unknowns_seed=1))
    uses = Counter(key for keys in differing.values() for key in keys)
    assert len(differing) == 6
    assert set(uses.values()) == {3}


def test_a_lane_carries_the_session_s_code_and_a_standard_none(plan):
    session = plan(unknowns="differ")
    for lane in Lane.objects.filter(paper__group__session=session).select_related("analyte"):
        unknown = lane.analyte.role == "unknown"
        assert lane.code == (codes(session)[lane.analyte.key] if unknown else "")
        assert lane.shown_name == (f"Unknown {lane.code}" if unknown else lane.analyte.name)
        assert lane.shown_key == (f"unknown-{lane.code.lower()}" if unknown else lane.analyte.key)


def test_no_two_open_sessions_share_a_code_though_the_seed_is_the_same(plan):
    drawn = [code for _ in range(4) for code in codes(plan(unknowns_seed=5)).values()]
    assert len(set(drawn)) == 16


def test_a_code_stands_once_in_a_session(plan):
    session = plan()
    first, second = UnknownCode.objects.filter(session=session)[:2]
    second.code = first.code
    with pytest.raises(IntegrityError), transaction.atomic():
        second.save()


@pytest.mark.parametrize(("how", "then"), [("same", "same"), ("differ", "differ"), ("by hand", "differ")])
def test_a_copy_for_a_parallel_class_draws_anew(plan, cast, how, then):
    session = plan(unknowns=how)
    parallel = make_class("Class 1D", teacher=cast.teacher, learners=4)
    copy = copy_session(by=cast.teacher, session=session, teaching_class=parallel, now=NOW)
    assert copy.unknowns == then
    assert copy.unknowns_seed != session.unknowns_seed
    assert not set(codes(copy).values()) & set(codes(session).values())


def test_the_recorded_seed_draws_the_same_sets_again(plan, cast):
    session = plan(unknowns="differ")
    before, seed = sets_of(session), session.unknowns_seed
    draw_unknowns(by=cast.teacher, session=session, how="differ", seed=seed + 1, now=NOW)
    assert sets_of(session) != before
    draw_unknowns(by=cast.teacher, session=session, how="differ", seed=seed, now=NOW)
    assert sets_of(session) == before
    assert AuditEntry.objects.filter(action="draw_unknowns").count() == 2


def test_the_teacher_picks_by_hand_and_the_codes_stay(plan, cast):
    session = plan()
    before = codes(session)
    sets = {number: ("w", "z") if number % 2 else ("x", "w") for number in range(1, 7)}
    session = pick_unknowns(by=cast.teacher, session=session, sets=sets, now=NOW)
    assert (sets_of(session), codes(session), session.unknowns) == (sets, before, "by hand")
    # The trail is open to people who need no key.
    detail = AuditEntry.objects.get(action="pick_unknowns").detail
    assert detail["sets"]["1"] == [before["w"], before["z"]]


def test_sets_that_cannot_be_are_refused(plan, cast):
    session = plan()
    good = dict.fromkeys(range(1, 7), ("x", "y"))
    for wrong in (("x", "x"), ("x",), ("x", "leucine")):
        with pytest.raises(UnknownSetError):
            pick_unknowns(by=cast.teacher, session=session, sets=good | {3: wrong}, now=NOW)
    with pytest.raises(CannotPlan, match="groups have changed"):
        pick_unknowns(by=cast.teacher, session=session, sets={1: ("x", "y")}, now=NOW)
    with pytest.raises(CannotPlan, match="Choose whether"):
        draw_unknowns(by=cast.teacher, session=session, how="by hand", now=NOW)
    with pytest.raises(Stale):
        draw_unknowns(by=cast.teacher, session=session, how="same", seen_version=99, now=NOW)


def test_nothing_is_drawn_after_the_start_nor_by_another_teacher(plan, cast):
    session = plan()
    with pytest.raises(PermissionDenied):
        draw_unknowns(by=cast.other_teacher, session=session, how="same", now=NOW)
    with pytest.raises(PermissionDenied):
        pick_unknowns(by=cast.other_teacher, session=session, sets={}, now=NOW)
    start_session(by=cast.teacher, session=session, now=NOW)
    for act in (
        lambda: draw_unknowns(by=cast.teacher, session=session, how="same", now=NOW),
        lambda: pick_unknowns(by=cast.teacher, session=session, sets=sets_of(session), now=NOW),
    ):
        with pytest.raises(CannotPlan, match="has started"):
            act()


def test_groups_drawn_afresh_have_their_unknowns(plan, cast):
    session = plan(unknowns="differ", group_size=3)
    regroup(by=cast.teacher, session=session, group_size=1, now=NOW)
    assert len(sets_of(session)) == 6
    uses = Counter(key for keys in sets_of(session).values() for key in keys)
    assert set(uses.values()) == {3}


def test_the_requisition_asks_for_each_unknown_in_use_by_the_groups_that_have_it(plan, cast):
    session = plan()
    sets = {number: ("w", "z") if number < 3 else ("x", "w") for number in range(1, 7)}
    session = pick_unknowns(by=cast.teacher, session=session, sets=sets, now=NOW)
    sent = send_requisition(by=cast.teacher, session=session, needed_at=NOW, room="Lab 2", now=NOW)
    asked = {line.label_code: line.total_ml for line in sent.lines.all() if line.label_code}
    drawn = codes(session)
    used_by = {"w": 6, "z": 2, "x": 4}
    assert asked == {drawn[key]: groups * SOLUTION_PER_GROUP_ML for key, groups in used_by.items()}
    session.refresh_from_db()
    assert not unknowns_page(session).unsent
    draw_unknowns(by=cast.teacher, session=session, how="same", now=NOW)
    assert unknowns_page(Session.objects.get(pk=session.pk)).unsent


def test_the_key_names_codes_contents_and_groups(plan, cast):
    session = plan()
    sets = {number: ("w", "z") if number < 3 else ("x", "w") for number in range(1, 7)}
    session = pick_unknowns(by=cast.teacher, session=session, sets=sets, now=NOW)
    rows = {row.analyte.key: row for row in key_of(session)}
    assert (rows["z"].contents, rows["z"].groups) == (("L-lysine", "L-alanine"), (1, 2))
    assert rows["w"].groups == (1, 2, 3, 4, 5, 6)
    assert [row.code for row in key_of(session)] == sorted(codes(session)[key] for key in rows)


def test_a_session_planned_before_keeps_the_practical_s_codes(cast):
    session = make_session(teacher=cast.teacher, teaching_class=cast.teaching_class, started=False)
    assert session.unknowns == ""
    lane = Lane.objects.filter(paper__group__session=session, analyte__role="unknown").first()
    assert (lane.shown_name, lane.shown_key) == ("unknown X", "x")
    assert [row.code for row in key_of(session)] == ["unknown X"]
    drawn = draw_unknowns(by=cast.teacher, session=session, how="same", now=NOW)
    assert drawn.unknowns == "same"
    assert Lane.objects.get(paper__group=session.groups.first(), analyte__role="unknown").code


def test_values_go_by_what_is_in_the_lane_and_show_the_code_alone(plan, cast):
    session = plan(group_size=1)
    sets = {number: ("x", "y") if number < 6 else ("w", "z") for number in range(1, 7)}
    session = pick_unknowns(by=cast.teacher, session=session, sets=sets, now=NOW)
    for member in session.members.all():
        paper = member.group.papers.get()
        centres = ("32", "41", "50", "50", "55", "33", "78")
        make_readings(paper, member.learner, centres=centres, locked_at=NOW)
    session.results_released_at = NOW
    found = class_results(session)
    drawn = codes(session)
    values = {one.name: one.analysis.summary.every.n for one in found.analytes}
    assert values[f"Unknown {drawn['x']}"] == 5
    assert values[f"Unknown {drawn['w']}"] == 1
    assert "Unknown X" not in values
    own = own_results(session, session.members.first().learner)
    assert f"Unknown {drawn['x']}" in [one.name for one in own.analytes]
    assert f"Unknown {drawn['w']}" in own.too_few


def test_each_group_s_unknown_is_judged_by_the_standards_on_its_own_paper(plan, cast):
    session = plan(group_size=3)
    session = pick_unknowns(by=cast.teacher, session=session, sets={1: ("x", "y"), 2: ("w", "z")}, now=NOW)
    # Lanes: lysine, glycine, unknown, alanine, proline, unknown, leucine. Both unknowns are read where
    # group 1 has alanine and group 2 glycine; the pool's key plays no part, so a wrong one changes nothing.
    for number, unknown in ((1, "50"), (2, "41")):
        group = session.groups.get(number=number)
        learner = group.members.first().learner
        make_readings(group.papers.get(), learner, centres=("32", "41", unknown, "50", "60", unknown, "78"))
    told = {}
    for number in (1, 2):
        readings = ReadingSet.objects.whole().get(paper__group__session=session, paper__group__number=number)
        told[number] = [
            one.identification.compatible for one in measured_of(readings).spots if one.identification
        ]
    assert told == {1: [("alanine",), ("alanine",)], 2: [("glycine",), ("glycine",)]}
