import uuid
from datetime import timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied

from practicals.actions.mark_front import MOST_MARKS, mark_front
from practicals.actions.start_development import CannotFollow, start_development
from practicals.actions.take_out import take_out
from practicals.actions.withdraw_front_mark import withdraw_front_mark
from practicals.models import AuditEntry, Development, FrontMark, LessonHelper, Paper, Role
from tests.factories import NOW, make_user

MINUTE = timedelta(minutes=1)


@pytest.fixture
def paper(cast):
    """120 mm high, origin line at 15 mm; the practical's liquid is 8 mm deep."""
    return Paper.objects.get(group__session=cast.session, group__members__learner=cast.learner)


def put_in(cast, paper, **more):
    return start_development(
        **{"by": cast.learner, "paper": paper, "immersed_mm": Decimal(8), "now": NOW, **more}
    )


def read(cast, paper, height, minutes, **more):
    at = NOW + minutes * MINUTE
    return mark_front(**{"by": cast.learner, "paper": paper, "height_mm": Decimal(height), "now": at, **more})


def written(action):
    return AuditEntry.objects.filter(action=action).count()


def test_put_in_read_and_taken_out_each_once_in_the_trail(cast, paper):
    put_in(cast, paper)
    mark = read(cast, paper, "30.5", 10)
    out = take_out(by=cast.learner, paper=paper, now=NOW + 60 * MINUTE)
    assert (out.started_at, out.immersed_mm, out.taken_out_at) == (NOW, Decimal(8), NOW + 60 * MINUTE)
    assert (mark.height_mm, mark.at) == (Decimal("30.5"), NOW + 10 * MINUTE)
    assert [written(a) for a in ("start_development", "mark_front", "take_out")] == [1, 1, 1]


def test_twice_changes_nothing(cast, paper):
    for _ in range(2):
        put_in(cast, paper)
        mark = read(cast, paper, 30, 10)
    for _ in range(2):
        take_out(by=cast.learner, paper=paper, now=NOW + 60 * MINUTE)
    for _ in range(2):
        withdraw_front_mark(by=cast.group_mate, mark=mark, now=NOW + 61 * MINUTE)
    assert FrontMark.objects.count() == 1
    for action in ("start_development", "mark_front", "take_out", "withdraw_front_mark"):
        assert written(action) == 1, action


def test_a_time_to_the_minute_does_not_move_a_start_that_has_seconds(cast, paper):
    started = NOW + timedelta(seconds=42)
    put_in(cast, paper, now=started)
    kept = put_in(cast, paper, now=NOW + 5 * MINUTE, started_at=NOW)
    assert kept.started_at == started


@pytest.mark.parametrize("depth", ["0", "-1", "15", "40", "NaN", "Infinity"])
def test_a_depth_that_leaves_the_origin_line_dry_is_needed(cast, paper, depth):
    # The depth must stay below the origin line: WHO_TLC, PH_TLC in the practical's sources.
    with pytest.raises(CannotFollow):
        put_in(cast, paper, immersed_mm=Decimal(depth))
    assert not Development.objects.exists()


@pytest.mark.parametrize("minutes", [2, 60, -24 * 60 - 1])
def test_a_start_still_to_come_or_days_ago_is_refused(cast, paper, minutes):
    with pytest.raises(CannotFollow):
        put_in(cast, paper, started_at=NOW + minutes * MINUTE)


@pytest.mark.parametrize(("minutes", "now"), [(-1, 10), (0, 10), (12, 10)])
def test_a_height_before_the_start_or_still_to_come_is_refused(cast, paper, minutes, now):
    put_in(cast, paper)
    with pytest.raises(CannotFollow):
        read(cast, paper, 30, now, at=NOW + minutes * MINUTE)


@pytest.mark.parametrize("height", ["0", "-3", "112.01", "1000000000", "NaN"])
def test_a_height_is_above_the_liquid_and_on_the_paper(cast, paper, height):
    put_in(cast, paper)
    with pytest.raises(CannotFollow):
        read(cast, paper, height, 10)
    assert read(cast, paper, "112", 10).height_mm == 112


def test_no_height_before_the_paper_is_in(cast, paper):
    with pytest.raises(CannotFollow, match="put into the liquid"):
        read(cast, paper, 30, 10)
    with pytest.raises(CannotFollow, match="put into the liquid"):
        take_out(by=cast.learner, paper=paper, now=NOW)


def test_another_height_at_the_same_time_needs_the_first_withdrawn(cast, paper):
    put_in(cast, paper)
    first = read(cast, paper, 30, 10)
    with pytest.raises(CannotFollow, match="30 mm stands for 10:10"):
        read(cast, paper, 31, 10)
    withdraw_front_mark(by=cast.learner, mark=first, now=NOW + 11 * MINUTE)
    assert read(cast, paper, 31, 10).height_mm == 31


def test_heights_are_kept_to_a_number(cast, paper):
    put_in(cast, paper)
    FrontMark.objects.bulk_create(
        FrontMark(paper=paper, height_mm=10, at=NOW + (n + 1) * MINUTE, by=cast.learner)
        for n in range(MOST_MARKS)
    )
    with pytest.raises(CannotFollow, match="no more"):
        read(cast, paper, 30, 300)


def test_a_correction_respects_the_heights_that_stand(cast, paper):
    put_in(cast, paper)
    mark = read(cast, paper, 30, 10)
    later = NOW + 20 * MINUTE
    with pytest.raises(CannotFollow, match="before that"):
        put_in(cast, paper, now=later, started_at=NOW + 12 * MINUTE)
    with pytest.raises(CannotFollow, match="depth of 8 mm"):
        put_in(cast, paper, now=later, started_at=NOW, immersed_mm=Decimal(6))
    assert put_in(cast, paper, now=later, started_at=NOW - MINUTE).started_at == NOW - MINUTE
    withdraw_front_mark(by=cast.learner, mark=mark, now=later)
    assert put_in(cast, paper, now=later, immersed_mm=Decimal(6)).immersed_mm == 6


def test_out_not_before_the_latest_height_and_taken_back_if_wrong(cast, paper):
    put_in(cast, paper)
    read(cast, paper, 30, 10)
    later = NOW + 20 * MINUTE
    for wrong in (NOW + 5 * MINUTE, NOW - MINUTE, later + 2 * MINUTE):
        with pytest.raises(CannotFollow):
            take_out(by=cast.learner, paper=paper, at=wrong, now=later)
    take_out(by=cast.learner, paper=paper, now=later)
    with pytest.raises(CannotFollow, match="taken out"):
        put_in(cast, paper, now=later, started_at=NOW - MINUTE)
    with pytest.raises(CannotFollow, match="taken out"):
        read(cast, paper, 60, 40)
    for _ in range(2):
        back = take_out(by=cast.learner, paper=paper, now=later, taken_back=True)
        assert back.taken_out_at is None
    assert written("take_out") == 2


def everything(by, paper):
    """Each of the four actions, on records that stand."""
    mark = FrontMark.objects.filter(paper=paper).first()
    now = NOW + 30 * MINUTE
    return [
        lambda: start_development(by=by, paper=paper, immersed_mm=Decimal(8), now=now, started_at=NOW),
        lambda: mark_front(by=by, paper=paper, height_mm=Decimal(50), now=now),
        lambda: withdraw_front_mark(by=by, mark=mark, now=now),
        lambda: take_out(by=by, paper=paper, now=now),
    ]


@pytest.mark.parametrize(
    "who", ["rival", "stranger", "other_teacher", "technician", "verifier", "administrator"]
)
def test_only_the_group_and_who_leads_may(cast, paper, who):
    put_in(cast, paper)
    read(cast, paper, 30, 10)
    for act in everything(getattr(cast, who), paper):
        with pytest.raises(PermissionDenied):
            act()


def test_the_group_the_teacher_and_lesson_staff_may(cast, paper):
    put_in(cast, paper)
    read(cast, paper, 30, 10)
    staff = make_user("", Role.LESSON_ONLY)
    LessonHelper.objects.create(lesson=cast.session.lessons.get(), user=staff, part="support assistant")
    for who in (cast.group_mate, cast.teacher, staff):
        for act in everything(who, paper):
            act()


def test_a_code_of_another_session_opens_no_paper(cast, paper):
    cast.learner.bench_session = uuid.uuid4()
    with pytest.raises(PermissionDenied):
        put_in(cast, paper)


def test_ended_work_is_the_teachers_to_complete_and_a_closed_session_nobodys(cast, paper):
    put_in(cast, paper)
    session = cast.session
    session.readings_locked_at = NOW + 40 * MINUTE
    session.save()
    with pytest.raises(CannotFollow, match="ended"):
        read(cast, paper, 30, 10)
    read(cast, paper, 30, 10, by=cast.teacher)
    session.closed_at = NOW + 50 * MINUTE
    session.save()
    for act in everything(cast.teacher, paper):
        with pytest.raises(CannotFollow, match="closed"):
            act()
