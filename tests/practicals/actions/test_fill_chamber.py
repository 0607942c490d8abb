from datetime import timedelta
from decimal import Decimal

import pytest
from django.core.exceptions import PermissionDenied

from practicals.actions.fill_chamber import CannotFill, fill_chamber, fill_chambers
from practicals.models import AuditEntry, Chamber, LessonHelper, Role
from practicals.models.filling import batch_choices
from reagents.models import Batch, Requisition, RequisitionLine
from tests.factories import NOW, make_recipe, make_user

LATER = NOW + timedelta(hours=1)


def requisition_for(cast, session=None):
    session = session or cast.session
    requisition = Requisition.objects.create(
        title="No names", room="Lab 2", needed_at=NOW, asked_by=cast.teacher, asked_at=NOW
    )
    session.requisition = requisition
    session.save()
    return RequisitionLine.objects.create(
        requisition=requisition, order=1, recipe=session.practical.mobile_phase, total_ml=Decimal(100)
    )


def make_batch(cast, code="B1", *, line=None, recipe=None, **more):
    return Batch.objects.create(
        code=code,
        recipe=recipe or cast.session.practical.mobile_phase,
        line=line,
        made_at=NOW - timedelta(hours=2),
        made_by=cast.technician,
        initials="TT",
        total_ml=Decimal(100),
        **more,
    )


def chambers_of(cast):
    return list(Chamber.objects.filter(group__session=cast.session))


def test_a_technician_fills_a_chamber_from_the_batch_of_the_requisition(cast):
    batch = make_batch(cast, line=requisition_for(cast))
    chamber = fill_chamber(by=cast.technician, chamber=chambers_of(cast)[0], batch=batch, now=NOW)
    chamber.refresh_from_db()
    assert (chamber.batch, chamber.filled_at, chamber.filled_by) == (batch, NOW, cast.technician)
    assert AuditEntry.objects.get(action="fill_chamber").detail["batch"] == str(batch.uuid)


def test_all_are_filled_together_and_the_same_batch_again_changes_nothing(cast):
    batch = make_batch(cast, line=requisition_for(cast))
    for now in (NOW, LATER):
        fill_chambers(by=cast.teacher, chambers=chambers_of(cast), batch=batch, now=now)
    assert [(c.batch, c.filled_at) for c in chambers_of(cast)] == [(batch, NOW)] * 2
    assert AuditEntry.objects.filter(action="fill_chamber").count() == 2


@pytest.mark.parametrize(
    ("more", "sentence"),
    [
        ({"recalled_at": NOW, "recall_reason": "Wrong acid"}, "was recalled: Wrong acid"),
        ({"use_by": NOW - timedelta(minutes=1)}, "past its use-by"),
        ({"line": None}, "not made for this session"),
    ],
)
def test_a_batch_that_is_not_proposed_needs_a_reason(cast, more, sentence):
    line = requisition_for(cast)
    batch = make_batch(cast, **{"line": line, **more})
    chamber = chambers_of(cast)[0]
    with pytest.raises(CannotFill, match=sentence):
        fill_chamber(by=cast.technician, chamber=chamber, batch=batch, now=NOW)
    fill_chamber(by=cast.technician, chamber=chamber, batch=batch, reason="Already poured", now=NOW)
    chamber.refresh_from_db()
    assert (chamber.batch, chamber.reason) == (batch, "Already poured")


def test_a_correction_needs_a_reason_and_the_trail_keeps_both_batches(cast):
    line = requisition_for(cast)
    first, second = make_batch(cast, "B1", line=line), make_batch(cast, "B2", line=line)
    chamber = chambers_of(cast)[0]
    fill_chamber(by=cast.technician, chamber=chamber, batch=first, now=NOW)
    with pytest.raises(CannotFill, match="filled already"):
        fill_chamber(by=cast.technician, chamber=chamber, batch=second, now=NOW)
    fill_chamber(by=cast.technician, chamber=chamber, batch=second, reason="Wrong bottle noted", now=NOW)
    entry = AuditEntry.objects.filter(action="fill_chamber").first()
    assert (entry.detail["before"], entry.detail["batch"]) == (str(first.uuid), str(second.uuid))
    assert entry.detail["reason"] == "Wrong bottle noted"


def test_a_batch_of_another_liquid_is_refused_whatever_the_reason(cast):
    batch = make_batch(cast, recipe=make_recipe("Another mixture"))
    with pytest.raises(CannotFill, match="Another mixture"):
        fill_chamber(by=cast.teacher, chamber=chambers_of(cast)[0], batch=batch, reason="It is", now=NOW)


def test_all_or_none_and_no_name_in_a_reason(cast):
    line = requisition_for(cast)
    first, second = make_batch(cast, "B1", line=line), make_batch(cast, "B2", line=line)
    one, _ = chambers_of(cast)
    fill_chamber(by=cast.teacher, chamber=one, batch=first, now=NOW)
    with pytest.raises(CannotFill):
        fill_chambers(by=cast.teacher, chambers=chambers_of(cast), batch=second, now=NOW)
    with pytest.raises(CannotFill, match="the prep room needs no names"):
        fill_chamber(
            by=cast.teacher, chamber=one, batch=second, reason=f"{cast.learner.name} spilt it", now=NOW
        )
    with pytest.raises(CannotFill, match="yours has 201"):
        fill_chamber(by=cast.teacher, chamber=one, batch=second, reason="x" * 201, now=NOW)
    assert [c.batch for c in chambers_of(cast)] == [first, None]


def test_a_closed_session_keeps_its_batches(cast):
    batch = make_batch(cast, line=requisition_for(cast))
    cast.session.readings_locked_at = cast.session.closed_at = NOW
    cast.session.save()
    with pytest.raises(CannotFill, match="closed"):
        fill_chamber(by=cast.teacher, chamber=chambers_of(cast)[0], batch=batch, now=NOW)


def test_only_technicians_and_teachers_of_the_session_fill(cast):
    batch = make_batch(cast, line=requisition_for(cast))
    helper = make_user("Hal Helper", Role.LESSON_ONLY)
    LessonHelper.objects.create(lesson=cast.session.lessons.get(), user=helper, part="cover leader")
    for person in (helper, cast.other_teacher, cast.learner, cast.administrator, cast.verifier):
        with pytest.raises(PermissionDenied):
            fill_chamber(by=person, chamber=chambers_of(cast)[0], batch=batch, now=NOW)


def test_proposed_batches_come_first_and_others_say_why_not(cast):
    line = requisition_for(cast)
    make_batch(cast, "OLD", line=line, use_by=NOW - timedelta(minutes=1))
    make_batch(cast, "BAD", line=line, recalled_at=NOW, recall_reason="Wrong acid")
    make_batch(cast, "GOOD", line=line)
    make_batch(cast, "OTHER", recipe=make_recipe("Another mixture"))
    choices = batch_choices(cast.session, NOW)
    assert [choice.batch.code for choice in choices if choice.proposed] == ["GOOD"]
    assert choices[0].batch.code == "GOOD"
    assert {choice.batch.code for choice in choices} == {"OLD", "BAD", "GOOD"}
