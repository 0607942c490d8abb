"""What the bench's actions promise, without HTTP."""

import json
from dataclasses import replace
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied

from practicals.actions.amend_readings import (
    NothingChanged,
    NotLocked,
    ReasonMissing,
    SessionClosed,
    amend_readings,
)
from practicals.actions.apply_lane import AppliedByAnother, TooLateToApply, apply_lane
from practicals.actions.lock_readings import lock_readings
from practicals.actions.record_shown_help import record_shown_help
from practicals.actions.save_readings import (
    BenchWorkEnded,
    NoSuchLane,
    ReadingsLocked,
    SpotWithoutPlace,
    save_readings,
)
from practicals.calculations.amended import changes_between
from practicals.calculations.entry import LaneEntry, ReadingEntry, SpotEntry
from practicals.models import Amendment, AuditEntry, HelpGiven, ReadingSet, SpotReading
from reagents.models import Stale
from tests.factories import NOW, make_readings

ENTRY = ReadingEntry(
    origin_mm=Decimal(15),
    front_mm=Decimal(95),
    lanes=(
        LaneEntry(1, (SpotEntry(Decimal(35), own_rf="0.25"),)),
        LaneEntry(4, (SpotEntry(Decimal(74), identified_as="leucine"),)),
    ),
)


@pytest.fixture
def paper(cast):
    return cast.session.groups.first().papers.first()


def save(by, paper, entry=ENTRY, seen=None):
    return save_readings(by=by, paper=paper, entry=entry, seen_version=seen, now=NOW)


def audited(action):
    return AuditEntry.objects.filter(action=action).count()


def test_saving_keeps_a_half_width_and_a_colour_and_a_save_without_them_takes_them_off(cast, paper):
    spot = SpotEntry(Decimal(35), judged_to_mm=Decimal("1.5"), colour="purple")
    saved = save(cast.learner, paper, ReadingEntry(lanes=(LaneEntry(1, (spot,)),)))
    kept = SpotReading.objects.get(lane_reading__reading_set=saved)
    assert (kept.judged_to_mm, kept.colour) == (Decimal("1.5"), "purple")
    save(cast.learner, paper, seen=saved.version)
    assert set(SpotReading.objects.values_list("judged_to_mm", "colour")) == {(None, "")}


def test_a_colour_alone_is_an_amendment(cast, locked):
    first, last = ENTRY.lanes
    spot = replace(first.spots[0], colour="yellow", judged_to_mm=Decimal(2))
    entry = replace(ENTRY, lanes=(replace(first, spots=(spot,)), last))
    amendment = amend_readings(
        by=cast.learner, readings=locked, entry=entry, reason="forgotten", seen_version=1, now=NOW
    )
    changed = [
        (one.where, one.before, one.after) for one in changes_between(amendment.before, amendment.after)
    ]
    assert changed == [
        ("lane 1, spot 1, half-width of the centre [mm]", "", "2"),
        ("lane 1, spot 1, colour", "", "yellow"),
    ]


def test_saving_keeps_the_entry_and_audits(cast, paper):
    saved = save(cast.learner, paper)
    assert (saved.version, saved.saved_at, saved.source) == (1, NOW, "own group's paper")
    assert audited("save_readings") == 1


@pytest.mark.parametrize("who", ["rival", "stranger", "teacher", "technician", "administrator"])
def test_only_a_learner_of_the_group_saves(cast, paper, who):
    with pytest.raises(PermissionDenied):
        save(getattr(cast, who), paper)
    assert not ReadingSet.objects.exists()


def test_a_given_paper_is_measured_and_keeps_its_source(cast, paper):
    given = make_readings(paper, cast.rival, centres=(), source=ReadingSet.Source.OTHER)
    assert save(cast.rival, paper, seen=given.version).source == ReadingSet.Source.OTHER


def test_a_stale_save_changes_nothing(cast, paper):
    save(cast.learner, paper)
    for seen in (None, 7):
        with pytest.raises(Stale):
            save(cast.learner, paper, ReadingEntry(), seen=seen)
    assert ReadingSet.objects.get().front_mm == Decimal(95)
    assert audited("save_readings") == 1


@pytest.mark.parametrize(
    ("lane", "problem"),
    [
        (LaneEntry(9, (SpotEntry(Decimal(3)),)), NoSuchLane),
        (LaneEntry(4, (SpotEntry(Decimal(3), identified_as="tryptophan"),)), NoSuchLane),
        (LaneEntry(4, (SpotEntry(Decimal(3), identified_as="x"),)), NoSuchLane),
        (LaneEntry(1, (SpotEntry(own_rf="0.4"),)), SpotWithoutPlace),
        (LaneEntry(1, (SpotEntry(Decimal(3), leading_mm=Decimal(4)),)), SpotWithoutPlace),
    ],
)
def test_an_entry_that_does_not_fit_the_paper_is_refused_whole(cast, paper, lane, problem):
    save(cast.learner, paper)
    with pytest.raises(problem):
        save(cast.learner, paper, ReadingEntry(lanes=(lane,)), seen=1)
    assert ReadingSet.objects.get().front_mm == Decimal(95)


def test_locked_readings_are_not_saved_again(cast, paper):
    lock_readings(by=cast.learner, readings=save(cast.learner, paper), now=NOW)
    with pytest.raises(ReadingsLocked):
        save(cast.learner, paper, seen=1)


def test_no_first_save_after_bench_work_has_ended(cast, paper):
    cast.session.readings_locked_at = NOW
    cast.session.save()
    with pytest.raises(BenchWorkEnded):
        save(cast.learner, paper)


def test_locking_twice_is_harmless(cast, paper):
    readings = save(cast.learner, paper)
    assert lock_readings(by=cast.learner, readings=readings, now=NOW).locked_at == NOW
    assert lock_readings(by=cast.learner, readings=readings, now=NOW.replace(hour=11)).locked_at == NOW
    assert audited("lock_readings") == 1


@pytest.mark.parametrize("who", ["group_mate", "rival", "other_teacher", "technician"])
def test_nobody_else_locks_a_set(cast, paper, who):
    readings = save(cast.learner, paper)
    with pytest.raises(PermissionDenied):
        lock_readings(by=getattr(cast, who), readings=readings, now=NOW)


def test_the_sessions_teacher_locks_a_set_when_bench_work_ends(cast, paper):
    assert lock_readings(by=cast.teacher, readings=save(cast.learner, paper), now=NOW).locked_at == NOW


def amend(by, readings, *, front="90", reason="front read from the wrong edge", seen=1):
    entry = ReadingEntry(origin_mm=Decimal(15), front_mm=Decimal(front), lanes=ENTRY.lanes)
    return amend_readings(by=by, readings=readings, entry=entry, reason=reason, seen_version=seen, now=NOW)


@pytest.fixture
def locked(cast, paper):
    return lock_readings(by=cast.learner, readings=save(cast.learner, paper), now=NOW)


def test_an_amendment_keeps_both_texts_and_the_reason(cast, locked):
    amendment = amend(cast.learner, locked, reason="  front read from the wrong edge ")
    assert json.loads(amendment.before)["front_mm"] == "95"
    assert json.loads(amendment.after)["front_mm"] == "90"
    assert amendment.reason == "front read from the wrong edge"
    assert ReadingSet.objects.get().front_mm == Decimal(90)
    assert ReadingSet.objects.get().locked_at == NOW
    assert audited("amend_readings") == 1


@pytest.mark.parametrize(
    ("change", "problem"),
    [({"reason": "  "}, ReasonMissing), ({"front": "95"}, NothingChanged), ({"seen": 5}, Stale)],
)
def test_an_amendment_without_reason_or_change_or_from_a_stale_form_is_refused(cast, locked, change, problem):
    with pytest.raises(problem):
        amend(cast.learner, locked, **change)
    assert not Amendment.objects.exists()
    assert ReadingSet.objects.get().version == 1


def test_open_readings_are_saved_not_amended(cast, paper):
    with pytest.raises(NotLocked):
        amend(cast.learner, save(cast.learner, paper))


def test_a_closed_session_is_not_amended(cast, locked):
    cast.session.readings_locked_at = cast.session.closed_at = NOW
    cast.session.save()
    with pytest.raises(SessionClosed):
        amend(cast.learner, locked)


@pytest.mark.parametrize("who", ["group_mate", "rival", "teacher"])
def test_nobody_else_amends(cast, locked, who):
    with pytest.raises(PermissionDenied):
        amend(getattr(cast, who), locked)


def test_a_lane_is_applied_by_one_learner_who_may_take_it_back(cast, paper):
    lane = paper.lanes.first()
    assert apply_lane(by=cast.learner, lane=lane, now=NOW).applied_by == cast.learner
    apply_lane(by=cast.learner, lane=lane, now=NOW)
    assert audited("apply_lane") == 1
    with pytest.raises(AppliedByAnother):
        apply_lane(by=cast.group_mate, lane=lane, now=NOW)
    with pytest.raises(AppliedByAnother):
        apply_lane(by=cast.group_mate, lane=lane, now=NOW, taken_back=True)
    assert apply_lane(by=cast.learner, lane=lane, now=NOW, taken_back=True).applied_by is None
    assert apply_lane(by=cast.group_mate, lane=lane, now=NOW).applied_by == cast.group_mate


@pytest.mark.parametrize("who", ["rival", "stranger", "teacher"])
def test_only_the_group_says_who_applied_a_lane(cast, paper, who):
    with pytest.raises(PermissionDenied):
        apply_lane(by=getattr(cast, who), lane=paper.lanes.first(), now=NOW)


def test_after_bench_work_nobody_says_who_applied_a_lane(cast, paper):
    cast.session.readings_locked_at = NOW
    cast.session.save()
    with pytest.raises(TooLateToApply):
        apply_lane(by=cast.learner, lane=cast.session.groups.first().papers.first().lanes.first(), now=NOW)


def test_program_help_is_recorded_once_for_each_thing_it_is_about(cast, paper):
    for _ in range(2):
        record_shown_help(
            learner=cast.learner, session=cast.session, paper=paper, about="a", text="Look again.", now=NOW
        )
    assert (HelpGiven.objects.get().by, audited("record_shown_help")) == (None, 1)
