"""Submitting freezes what is there, once."""

import hashlib
import json
from datetime import timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from assessment.actions.save_writing import AlreadySubmitted, save_writing
from assessment.actions.submit_work import ReadingsStillOpen, submit_work
from assessment.models import EvidencePart, Submission, Work
from assessment.models.frozen import frozen_evidence, integrity
from practicals.models import AuditEntry, BenchNote, GroupMember, HelpGiven, SpotReading
from reagents.models import NeverDeleted, Stale
from tests.assessment.handed_in import LATER, hand_in, issued, read_papers, work_of
from tests.factories import NOW, make_readings, make_session


@pytest.fixture
def work(cast):
    return work_of(issued(cast), cast.learner)


def submit(work, **more):
    return submit_work(**{"by": work.learner, "work": work, "declared": True, "now": LATER, **more})


def test_what_is_handed_in_is_frozen_under_a_manifest_that_anyone_can_recompute(work):
    submission = hand_in(work)
    named = json.loads(submission.manifest)
    assert set(named["parts"]) == {"writing", "help", "notes", "facts", "readings-1", "paper-1"}
    for part in submission.parts.all():
        # FIPS 180-4 by way of the standard library, not of our own function
        assert named["parts"][part.name]["sha256"] == hashlib.sha256(part.text.encode()).hexdigest()
    assert submission.manifest_sha256 == hashlib.sha256(submission.manifest.encode()).hexdigest()
    assert named["learner"] == str(work.learner.token)
    assert integrity(submission).sound


def test_the_frozen_evidence_names_nobody(cast, work):
    BenchNote.objects.create(
        session=cast.session, learner=work.learner, by=cast.teacher, at=NOW, text="Neat."
    )
    HelpGiven.objects.create(
        session=cast.session, learner=work.learner, by=cast.teacher, at=NOW, text="Shown."
    )
    submission = hand_in(work)
    kept = submission.manifest + "".join(part.text for part in submission.parts.all())
    for person in (work.learner, cast.teacher, cast.group_mate):
        assert person.name not in kept
        assert person.username not in kept


def test_a_second_submission_changes_nothing(work):
    first = hand_in(work)
    with pytest.raises(AlreadySubmitted):
        submit(work, now=LATER + timedelta(days=1))
    assert Submission.objects.get() == first
    assert EvidencePart.objects.filter(submission=first).count() == 6
    assert AuditEntry.objects.filter(action="submit_work").count() == 1


def test_readings_that_are_still_open_stop_it(work):
    read_papers(work, locked=False)
    with pytest.raises(ReadingsStillOpen, match="still open"):
        submit(work)
    assert not Submission.objects.exists()


def test_without_the_declaration_nothing_is_handed_in(work):
    with pytest.raises(ValidationError, match="Tick the declaration"):
        submit(work, declared=False)
    assert not Submission.objects.exists()


def test_nobody_else_hands_it_in(cast, work):
    for person in (cast.group_mate, cast.rival, cast.stranger, cast.teacher, cast.verifier):
        with pytest.raises(PermissionDenied):
            submit(work, by=person)


def test_equal_evidence_has_an_equal_hash_and_another_figure_another(cast, work):
    hand_in(work)
    again = work_of(issued(cast), cast.learner)  # the same session, readings and words in another assignment
    save_writing(
        by=work.learner,
        work=again,
        conclusion="The unknown is leucine.",
        evaluation="The front was uneven.",
        seen_version=1,
        now=LATER,
    )
    same = submit(again)
    first = Submission.objects.get(work=work)
    assert same.manifest_sha256 == first.manifest_sha256
    third = work_of(issued(cast), cast.learner)
    save_writing(
        by=work.learner,
        work=third,
        conclusion="The unknown is leucine.",
        evaluation="The front was uneven.",
        seen_version=1,
        now=LATER,
    )
    SpotReading.objects.filter(lane_reading__reading_set__learner=work.learner, centre_mm=35).update(
        centre_mm=36
    )
    assert submit(third).manifest_sha256 != first.manifest_sha256


def test_a_later_change_of_the_records_leaves_the_frozen_evidence(work):
    submission = hand_in(work)
    SpotReading.objects.filter(lane_reading__reading_set__learner=work.learner).update(centre_mm=99)
    found = frozen_evidence(Submission.objects.get(pk=submission.pk))
    assert [float(spot.centre_mm) for spot in found.papers[0].review.spots] == [35, 45, 75, 74]


def test_the_frozen_facts_say_that_it_was_declared_and_late(work):
    submission = submit(work, now=work.assignment.due_at + timedelta(seconds=1))
    facts = frozen_evidence(submission).facts
    assert (facts.declared, facts.late, submission.late) == (True, True, True)


def test_an_altered_part_and_an_altered_manifest_are_noticed(work):
    submission = hand_in(work)
    part = submission.parts.get(name="writing")
    part.text = part.text.replace("leucine", "alanine")
    part.save()
    found = integrity(Submission.objects.get())
    assert [(check.part, check.state) for check in found.parts if check.state != "matches"] == [
        ("writing", "differs")
    ]
    assert not found.sound
    Submission.objects.update(manifest=submission.manifest.replace('"bytes"', '"Bytes"'))
    assert not integrity(Submission.objects.get()).manifest_intact


def test_an_erased_part_leaves_its_digest_and_the_rest_readable(work):
    submission = hand_in(work)
    part = submission.parts.get(name="readings-1")
    part.text, part.erased_at = "", LATER
    part.save()
    found = frozen_evidence(Submission.objects.get())
    assert (found.papers, found.erased) == ((), ("readings-1",))
    assert found.conclusion == "The unknown is leucine."
    assert integrity(Submission.objects.get()).sound


def test_a_part_that_is_no_json_is_named_and_not_shown(work):
    submission = hand_in(work)
    for name in ("paper-1", "notes", "facts", "writing"):
        submission.parts.filter(name=name).update(text='{"half')
    assert set(frozen_evidence(Submission.objects.get()).unreadable) == {
        "paper-1",
        "notes",
        "facts",
        "writing",
    }


def test_a_submission_cannot_be_deleted(work):
    with pytest.raises(NeverDeleted):
        hand_in(work).delete()


def test_catching_up_elsewhere_brings_the_readings_home(cast, work):
    there = make_session(teacher=cast.other_teacher, teaching_class=cast.teaching_class)
    there.members.filter(learner=work.learner).update(home_session=cast.session)
    member = GroupMember.objects.get(session=there, learner=work.learner)
    make_readings(member.group.papers.get(), work.learner, locked_at=NOW)
    work.learner.bench_session = there.uuid
    submission = submit(work)
    assert len(frozen_evidence(submission).papers) == 1


def test_another_session_of_the_learner_is_closed_at_the_bench(cast, work):
    elsewhere = make_session(teacher=cast.teacher, teaching_class=cast.teaching_class)
    work.learner.bench_session = elsewhere.uuid
    with pytest.raises(PermissionDenied):
        submit(work)


def test_writing_under_an_old_version_is_refused_and_the_saved_text_stays(work):
    saved = save_writing(
        by=work.learner, work=work, conclusion="first", evaluation="", seen_version=1, now=NOW
    )
    with pytest.raises(Stale) as stale:
        save_writing(by=work.learner, work=work, conclusion="second", evaluation="", seen_version=1, now=NOW)
    assert Work.objects.get(pk=stale.value.record.pk).conclusion == "first"
    work.refresh_from_db()
    assert (work.conclusion, work.version) == ("first", saved.version)


def test_the_same_text_twice_changes_nothing_and_line_ends_are_one_kind(work):
    for text in ("one\r\ntwo", "one\ntwo"):
        save_writing(by=work.learner, work=work, conclusion=text, evaluation="", seen_version=1, now=NOW)
    work.refresh_from_db()
    assert (work.conclusion, work.version) == ("one\ntwo", 2)
    assert AuditEntry.objects.filter(action="save_writing").count() == 1


def test_submitted_writing_and_too_much_writing_are_refused(work):
    with pytest.raises(ValidationError, match="at most"):
        save_writing(
            by=work.learner, work=work, conclusion="x" * 50_001, evaluation="", seen_version=1, now=NOW
        )
    hand_in(work)
    with pytest.raises(AlreadySubmitted):
        save_writing(by=work.learner, work=work, conclusion="x", evaluation="", seen_version=2, now=NOW)
