"""From an extension to a second attempt: who may, what is kept, what cannot be undone."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction

from assessment.actions.add_calendar_day import add_calendar_day
from assessment.actions.ask_resubmission import ask_resubmission
from assessment.actions.attach_file import LARGEST, attach_file
from assessment.actions.authorise_resubmission import authorise_resubmission
from assessment.actions.give_extension import give_extension
from assessment.actions.issue_assignment import issue_assignment
from assessment.actions.refuse_resubmission import refuse_resubmission
from assessment.actions.save_policy import PolicyOvertaken, PolicySettings, save_policy, standing_policy
from assessment.actions.save_writing import AlreadySubmitted, save_writing
from assessment.actions.submit_work import ResubmissionOver, submit_work
from assessment.actions.withdraw_attachment import withdraw_attachment
from assessment.actions.withdraw_calendar_day import withdraw_calendar_day
from assessment.calculations.attempts import CONDITIONS
from assessment.models import AssessorDeclaration, CalendarDay, Policy, ResubmissionGrant, Work
from assessment.models.attempt_state import open_attempt, standing_result
from assessment.models.frozen import frozen_evidence, integrity
from practicals.models import Role
from tests.assessment.handed_in import LATER, decide_all, hand_in, issued, let_out, work_of
from tests.factories import NOW, make_user


@pytest.fixture
def work(cast):
    return work_of(issued(cast), cast.learner)


@pytest.fixture
def released(cast, work):
    submission = hand_in(work)
    declare(submission, cast.teacher)
    decide_all(submission, cast.teacher, "not yet met")
    let_out(submission, cast.teacher)
    return submission


def declare(submission, by):
    AssessorDeclaration.objects.get_or_create(
        submission=submission,
        defaults={
            "assessor": by,
            "authentic": True,
            "current": True,
            "words": "It is this learner's own and of now.",
            "declared_at": LATER,
        },
    )


def asked(submission, by):
    return ask_resubmission(by=by, submission=submission, because="One slip runs through it.", now=LATER)


def authorised(grant, lead, **more):
    usual = {"ticked": list(CONDITIONS), "received_on": LATER.date(), "now": LATER}
    return authorise_resubmission(by=lead, grant=grant, **{**usual, **more})


def fresh(work):
    return Work.objects.get(pk=work.pk)


class TestExtension:
    def test_it_moves_the_first_deadline_later_and_what_comes_until_then_is_on_time(self, cast, work):
        due = work.assignment.due_at + timedelta(days=3)
        give_extension(by=cast.teacher, work=work, due_at=due, reason="Agreed adjustment", now=NOW)
        submission = hand_in_at(fresh(work), due - timedelta(minutes=1))
        assert (submission.late, submission.attempt, submission.due_at) == (False, 1, due)

    def test_without_one_the_same_moment_is_late(self, work):
        assert hand_in_at(work, work.assignment.due_at + timedelta(days=2)).late

    @pytest.mark.parametrize("days", [0, -1])
    def test_it_never_moves_a_deadline_earlier(self, cast, work, days):
        due = work.assignment.due_at + timedelta(days=days)
        with pytest.raises(ValidationError, match="later than the deadline"):
            give_extension(by=cast.teacher, work=work, due_at=due, reason="Why not", now=NOW)

    def test_the_database_refuses_it_too(self, cast, work):
        with pytest.raises(IntegrityError), transaction.atomic():
            work.extensions.create(
                due_before=LATER, due_at=NOW, reason="No", given_by=cast.teacher, given_at=NOW
            )

    def test_only_the_assessor_gives_it(self, cast, work):
        for person in (cast.learner, cast.other_teacher, cast.verifier, cast.lead_verifier):
            with pytest.raises(PermissionDenied):
                give_extension(by=person, work=work, due_at=LATER + timedelta(days=99), reason="Why", now=NOW)

    def test_after_handing_in_it_is_too_late(self, cast, work):
        hand_in(work)
        with pytest.raises(ValidationError, match="handed in already"):
            give_extension(
                by=cast.teacher, work=work, due_at=LATER + timedelta(days=99), reason="Why", now=LATER
            )


def hand_in_at(work, moment):
    from tests.assessment.handed_in import read_papers

    read_papers(work)
    return submit_work(by=work.learner, work=work, declared=True, now=moment)


class TestResubmission:
    def test_the_whole_way_opens_a_second_attempt_and_keeps_the_first(self, cast, released):
        grant = authorised(asked(released, cast.teacher), cast.lead_verifier)
        work = fresh(released.work)
        attempt = open_attempt(work)
        assert (attempt.number, attempt.kind, attempt.due_at) == (2, "resubmission", grant.due_at)
        save_writing(
            by=work.learner,
            work=work,
            conclusion="Better now.",
            evaluation="And why.",
            seen_version=work.version,
            now=LATER,
        )
        second = submit_work(by=work.learner, work=fresh(work), declared=True, now=LATER)
        assert (second.attempt, second.kind, second.late) == (2, "resubmission", False)
        released.refresh_from_db()
        assert integrity(released).sound
        assert frozen_evidence(released).conclusion == "The unknown is leucine."
        assert frozen_evidence(second).conclusion == "Better now."
        assert open_attempt(fresh(work)) is None

    def test_fifteen_working_days_from_receipt_are_stored_as_a_date(self, cast, released):
        grant = authorised(asked(released, cast.teacher), cast.lead_verifier)
        # 24 November 2026 is a Tuesday; three weeks on, no bank holiday between: Tuesday 15 December.
        assert grant.due_at.date() == date(2026, 12, 15)
        assert (grant.working_days, grant.received_on) == (15, LATER.date())
        CalendarDay.objects.create(
            day=date(2026, 12, 1), kind="closed", name="Snow", added_by=cast.administrator, added_at=LATER
        )
        grant.refresh_from_db()
        assert grant.due_at.date() == date(2026, 12, 15)

    def test_the_centres_closed_day_counts_when_the_deadline_is_given(self, cast, released):
        add_calendar_day(
            by=cast.administrator, first=date(2026, 12, 1), last=None, kind="closed", name="Training", now=NOW
        )
        grant = authorised(asked(released, cast.teacher), cast.lead_verifier)
        assert grant.due_at.date() == date(2026, 12, 16)

    @pytest.mark.parametrize("left_out", list(CONDITIONS))
    def test_each_of_the_five_conditions_must_be_ticked(self, cast, released, left_out):
        grant = asked(released, cast.teacher)
        ticked = [name for name in CONDITIONS if name != left_out]
        with pytest.raises(ValidationError, match="All five"):
            authorised(grant, cast.lead_verifier, ticked=ticked)
        with pytest.raises(IntegrityError), transaction.atomic():
            ResubmissionGrant.objects.filter(pk=grant.pk).update(
                authorised_by=cast.lead_verifier,
                authorised_at=LATER,
                due_at=LATER,
                received_on=LATER.date(),
                working_days=15,
                **dict.fromkeys(ticked, True),
            )

    def test_only_the_lead_verifier_and_never_the_one_who_asked(self, cast, released):
        grant = asked(released, cast.teacher)
        for person in (cast.teacher, cast.verifier, cast.learner, cast.administrator):
            with pytest.raises(PermissionDenied):
                authorised(grant, person)
        both = make_user("", Role.TEACHER, Role.LEAD_VERIFIER)
        released.work.assessor = both
        released.work.save()
        with pytest.raises(PermissionDenied):
            authorised(grant, both)

    def test_the_day_of_receipt_lies_between_release_and_today(self, cast, released):
        grant = asked(released, cast.teacher)
        for days, words in ((-1, "before it was released"), (1, "not in the future")):
            with pytest.raises(ValidationError, match=words):
                authorised(grant, cast.lead_verifier, received_on=LATER.date() + timedelta(days=days))

    def test_after_its_deadline_nothing_can_be_handed_in_and_the_text_stays(self, cast, released):
        grant = authorised(asked(released, cast.teacher), cast.lead_verifier)
        work = fresh(released.work)
        with pytest.raises(ResubmissionOver):
            submit_work(by=work.learner, work=work, declared=True, now=grant.due_at + timedelta(seconds=1))
        assert work.submissions.count() == 1

    def test_policy_and_state_stand_in_the_way(self, cast, work):
        submission = hand_in(work)
        decide_all(submission, cast.teacher)
        with pytest.raises(ValidationError, match="not released"):
            asked(submission, cast.teacher)

    def test_it_is_asked_for_once(self, cast, released):
        asked(released, cast.teacher)
        with pytest.raises(ValidationError, match="asked for already"):
            asked(released, cast.teacher)

    def test_a_refusal_keeps_the_work_closed(self, cast, released):
        grant = asked(released, cast.teacher)
        refuse_resubmission(by=cast.lead_verifier, grant=grant, reason="It was late.", now=LATER)
        with pytest.raises(ValidationError, match="refused before"):
            authorised(grant, cast.lead_verifier)
        assert open_attempt(fresh(released.work)) is None

    def test_the_better_result_counts(self, cast, released):
        authorised(asked(released, cast.teacher), cast.lead_verifier)
        work = fresh(released.work)
        second = submit_work(by=work.learner, work=work, declared=True, now=LATER)
        decide_all(second, cast.teacher, "met")
        let_out(second, cast.teacher)
        standing = standing_result(fresh(work))
        assert (standing.level, standing.number) == ("distinction", 2)
        assert "the better result counts" in standing.sentence


class TestPolicy:
    def test_an_issued_assignment_keeps_the_edition_it_was_issued_under(self, cast):
        assignment = issued(cast)
        assignment.issued_at = None
        assignment.save()
        issue_assignment(by=cast.teacher, assignment=assignment, now=NOW)
        assignment.refresh_from_db()
        first = assignment.policy
        save_policy(
            by=cast.lead_verifier,
            settings=PolicySettings(resubmission_working_days=10),
            seen_edition=first.edition,
            reason="New rules",
            now=NOW,
        )
        assignment.refresh_from_db()
        assert assignment.policy == first
        assert Policy.objects.current().resubmission_working_days == 10
        assert set(assignment.works.values_list("due_at", flat=True)) == {assignment.due_at}

    def test_who_sees_an_older_edition_is_told(self, cast):
        standing = standing_policy(now=NOW)
        change = {"by": cast.administrator, "seen_edition": standing.edition, "reason": "Rules", "now": NOW}
        save_policy(settings=PolicySettings(resubmissions_allowed=2), **change)
        with pytest.raises(PolicyOvertaken):
            save_policy(settings=PolicySettings(resubmissions_allowed=3), **change)

    def test_only_the_lead_verifier_and_the_administrator_change_it(self, cast):
        for person in (cast.teacher, cast.verifier, cast.learner, cast.technician):
            with pytest.raises(PermissionDenied):
                save_policy(by=person, settings=PolicySettings(), seen_edition=1, reason="Why", now=NOW)


class TestCalendar:
    def test_a_spell_is_kept_day_by_day_and_a_day_stands_once(self, cast):
        spell = {"by": cast.administrator, "kind": "vacation", "name": "Winter", "now": NOW}
        added = add_calendar_day(first=date(2026, 12, 21), last=date(2027, 1, 1), **spell)
        assert len(added) == 12
        with pytest.raises(ValidationError, match="stands in the calendar already"):
            add_calendar_day(first=date(2026, 12, 31), last=date(2027, 1, 2), **spell)
        assert CalendarDay.objects.count() == 12
        withdraw_calendar_day(by=cast.administrator, day=added[0], now=NOW)
        add_calendar_day(first=date(2026, 12, 21), last=None, **spell)

    @pytest.mark.parametrize(
        ("more", "words"),
        [
            ({"last": date(2026, 11, 30)}, "before the first"),
            ({"last": date(2028, 1, 1)}, "at most 120"),
            ({"name": " "}, "a name"),
            ({"kind": "bank holiday"}, "announced"),
        ],
    )
    def test_what_cannot_be_entered_is_a_sentence(self, cast, more, words):
        day = {"first": date(2026, 12, 1), "last": None, "kind": "closed", "name": "Training", **more}
        with pytest.raises(ValidationError, match=words):
            add_calendar_day(by=cast.administrator, **day, now=NOW)


class TestAttachments:
    def attach(self, work, content=b"%PDF-1.7 a report", title="Report"):
        return attach_file(by=work.learner, work=work, kind="report", title=title, content=content, now=NOW)

    def test_it_is_frozen_by_its_digest(self, work):
        attached = self.attach(work)
        submission = hand_in(fresh(work))
        (kept,) = frozen_evidence(submission).attachments
        assert (kept.sha256, kept.title) == (attached.file.sha256, "Report")
        assert integrity(submission).sound

    def test_without_one_the_manifest_has_no_such_part(self, work):
        assert "attachments" not in {part.name for part in hand_in(work).parts.all()}

    def test_withdrawn_it_is_not_handed_in(self, work):
        withdraw_attachment(by=work.learner, attachment=self.attach(work), now=NOW)
        assert frozen_evidence(hand_in(fresh(work))).attachments == ()

    def test_after_handing_in_nothing_is_added_or_taken_away(self, work):
        attached = self.attach(work)
        hand_in(fresh(work))
        with pytest.raises(AlreadySubmitted):
            self.attach(fresh(work), b"Another text")
        with pytest.raises(AlreadySubmitted):
            withdraw_attachment(by=work.learner, attachment=attached, now=LATER)

    @pytest.mark.parametrize(
        ("content", "words"),
        [
            (b"", "empty"),
            (b"MZ\x90\x00\x03 a renamed program", "Kept are PDF"),
            (b"PK\x03\x04 a zip or a word document", "Kept are PDF"),
            (b"%PDF-" + b"x" * LARGEST, "at most 20 MB"),
        ],
        ids=["empty", "program", "zip", "too large"],
    )
    def test_what_is_not_kept_is_a_sentence(self, work, content, words):
        with pytest.raises(ValidationError, match=words):
            self.attach(work, content)

    def test_nobody_else_attaches(self, cast, work):
        for person in (cast.group_mate, cast.teacher, cast.stranger):
            with pytest.raises(PermissionDenied):
                attach_file(by=person, work=work, kind="report", title="Mine", content=b"Some text", now=NOW)
