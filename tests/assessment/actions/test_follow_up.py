"""After a disagreement: actions, answers, third opinions, widening, sign-off and what is held back."""

from datetime import date, timedelta

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, connection, transaction

from assessment.actions.answer_action import answer_action
from assessment.actions.close_action import close_action
from assessment.actions.decide import decide
from assessment.actions.draw_sample import draw_sample
from assessment.actions.give_third_opinion import give_third_opinion
from assessment.actions.give_verdict import give_verdict
from assessment.actions.open_record import open_record
from assessment.actions.raise_action import ActionWanted, raise_action
from assessment.actions.save_policy import PolicySettings, save_policy
from assessment.actions.sign_off_sample import sign_off_sample
from assessment.actions.sign_record import Qualities, sign_record
from assessment.actions.widen_sample import rest_of, widen_sample
from assessment.calculations.sample_size import SizeWanted
from assessment.calculations.sampling import SamplingError
from assessment.models import (
    Assignment,
    BriefReview,
    Decision,
    SampledPortfolio,
    SamplingPlan,
    ThirdOpinion,
    VerificationAction,
    VerificationRecord,
)
from assessment.models.follow_up_state import actions_to_answer, still_differ
from assessment.models.holding import held, held_submissions
from assessment.models.sample_chain import plans_of, seen_and_all, unfinished
from assessment.models.samples import drawn_keys, redraw
from practicals.models import AuditEntry, Role
from reagents.models import Stale
from tests.assessment.handed_in import LATER, decided_class
from tests.factories import make_user

DUE = LATER.date() + timedelta(days=7)


@pytest.fixture
def submissions(cast):
    return decided_class(5, verifier=cast.verifier, teacher=cast.teacher)


@pytest.fixture
def plan(cast, submissions):
    unit = submissions[0].work.assignment.brief.unit
    return draw_sample(by=cast.verifier, unit=unit, size=2, seed=7, stage="interim", now=LATER)


def look(by, sampled, *, disagree=True):
    """A record with a verdict on every decision; the first one is questioned."""
    record = open_record(by=by, sampled=sampled, now=LATER)
    for number, decision in enumerate(sampled.submission.decisions.filter(is_current=True)):
        questioned = disagree and number == 0
        give_verdict(
            by=by,
            record=record,
            decision=decision,
            verdict="disagree" if questioned else "agree",
            comment="The front was not read." if questioned else "",
            now=LATER,
        )
    return record


def wanted(record, **more):
    verdict = record.verdicts.filter(verdict="disagree").first()
    return ActionWanted(**{"what": "Look at the front again.", "due_on": DUE, "verdict": verdict, **more})


def sign(by, record, **more):
    actions = [wanted(record, **more)] if record.verdicts.filter(verdict="disagree").exists() else []
    return sign_record(by=by, record=record, feedback_comment="Clear.", actions=actions, now=LATER)


@pytest.fixture
def action(cast, plan):
    record = sign(cast.verifier, look(cast.verifier, plan.portfolios.first()))
    return record.actions.get()


def decide_anew(by, action):
    old = action.verdict.decision
    return decide(
        by=by,
        submission=old.submission,
        criterion=old.criterion,
        outcome="not yet met" if old.outcome == "met" else "met",
        comment="Looked again.",
        valid=True,
        sufficient=True,
        reason="verification",
        seen_decision=old.uuid,
        now=LATER,
    )


def answer(by, action, text="Done.", **more):
    return answer_action(by=by, action=action, answer=text, seen_version=action.version, now=LATER, **more)


def close(by, action, note="Seen."):
    return close_action(by=by, action=action, note=note, seen_version=action.version, now=LATER)


def opinion(by, action, outcome="met", reason="As I read it."):
    return give_third_opinion(by=by, verdict=action.verdict, outcome=outcome, reason=reason, now=LATER)


def test_a_disagreement_cannot_be_signed_without_an_action_on_its_assessor(cast, plan):
    record = look(cast.verifier, plan.portfolios.first())
    with pytest.raises(ValidationError, match="by when the assessor"):
        sign_record(by=cast.verifier, record=record, feedback_comment="", now=LATER)
    before = list(Decision.objects.order_by("pk").values())
    signed = sign(cast.verifier, record)
    made = signed.actions.get()
    assert (made.owner, made.raised_by, made.due_on) == (cast.teacher, cast.verifier, DUE)
    assert list(Decision.objects.order_by("pk").values()) == before
    assert list(actions_to_answer(cast.teacher)) == [made]


def test_quality_that_is_not_sound_needs_words(cast, plan):
    record = look(cast.verifier, plan.portfolios.first(), disagree=False)
    weak = Qualities(feedback="weak")
    with pytest.raises(ValidationError, match="what is not sound"):
        sign_record(by=cast.verifier, record=record, feedback_comment=" ", qualities=weak, now=LATER)
    with pytest.raises(ValidationError, match="how good"):
        sign_record(
            by=cast.verifier, record=record, feedback_comment="x", qualities=Qualities("fine"), now=LATER
        )
    signed = sign_record(
        by=cast.verifier, record=record, feedback_comment="Names no page.", qualities=weak, now=LATER
    )
    assert (signed.evidence_quality, signed.feedback_quality, signed.records_quality) == (
        "sound",
        "weak",
        "sound",
    )


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"what": "  "}, "what the assessor is to do"),
        ({"what": "x" * 6000}, "at most"),
        ({"due_on": date(2020, 1, 1)}, "has passed"),
        ({"due_on": date(9999, 1, 1)}, "Check the year"),
    ],
)
def test_an_action_that_cannot_be_is_a_sentence(cast, plan, more, said):
    record = look(cast.verifier, plan.portfolios.first())
    with pytest.raises(ValidationError, match=said):
        raise_action(by=cast.verifier, record=record, wanted=wanted(record, **more), now=LATER)
    assert not VerificationAction.objects.exists()


def test_only_the_record_s_verifier_raises_an_action(cast, plan):
    record = look(cast.verifier, plan.portfolios.first())
    for person in (cast.teacher, cast.lead_verifier, cast.learner):
        with pytest.raises(PermissionDenied):
            raise_action(by=person, record=record, wanted=wanted(record), now=LATER)


def test_the_owner_answers_by_the_decision_that_stands_now(cast, action):
    old = action.verdict.decision
    with pytest.raises(ValidationError, match="not the decision which stands"):
        answer(cast.teacher, action, new_decision=old)
    new = decide_anew(cast.teacher, action)
    answered = answer(cast.teacher, action, new_decision=new)
    assert answered.new_decision == new
    assert not still_differ(answered)
    old.refresh_from_db()
    assert not old.is_current


def test_only_the_owner_answers_and_an_answer_needs_words(cast, action):
    for person in (cast.other_teacher, cast.verifier, cast.learner):
        with pytest.raises(PermissionDenied):
            answer(person, action)
    with pytest.raises(ValidationError, match="what you did"):
        answer(cast.teacher, action, "  ")


def test_of_two_tabs_the_second_answer_is_told(cast, action):
    answer(cast.teacher, action)
    with pytest.raises(Stale):
        answer(cast.teacher, action, "Other.")


def test_an_action_is_closed_by_somebody_else_with_a_note(cast, action):
    with pytest.raises(ValidationError, match="has not answered"):
        close(cast.verifier, action)
    answered = answer(cast.teacher, action)
    with pytest.raises(ValidationError, match="what you saw"):
        close(cast.verifier, answered, " ")
    with pytest.raises(PermissionDenied):
        close(cast.teacher, answered)
    closed = close(cast.verifier, answered)
    assert (closed.closed_by, closed.closing_note) == (cast.verifier, "Seen.")
    with pytest.raises(ValidationError, match="closed"):
        close(cast.verifier, closed)
    with pytest.raises(ValidationError, match="closed"):
        answer(cast.teacher, closed, "More.")


def test_a_lead_verifier_closes_what_nobody_answers_any_more(cast, action):
    assert close(cast.lead_verifier, action, "The assessor has left.").closed_at == LATER


def test_the_owner_does_not_close_even_as_a_verifier_nor_past_the_actions(cast, action):
    answered = answer(cast.teacher, action)
    cast.teacher.roles = [*cast.teacher.roles, Role.VERIFIER]
    cast.teacher.save()
    with pytest.raises(PermissionDenied):
        close(cast.teacher, answered)
    with pytest.raises(IntegrityError, match="closed_by_another"), transaction.atomic():
        VerificationAction.objects.filter(pk=action.pk).update(
            closed_by=cast.teacher, closed_at=LATER, closing_note="x"
        )


def test_where_two_differ_a_third_person_settles_it_before_it_closes(cast, action):
    with pytest.raises(PermissionDenied):
        opinion(cast.lead_verifier, action)
    answered = answer(cast.teacher, action, "It stays.")
    assert still_differ(answered)
    for person in (cast.teacher, cast.verifier):
        with pytest.raises(PermissionDenied):
            opinion(person, answered)
    other = "met" if answered.verdict.decision.outcome == "not yet met" else "not yet met"
    with pytest.raises(ValidationError, match="how you read"):
        opinion(cast.lead_verifier, answered, other, "")
    given = opinion(cast.lead_verifier, answered, other)
    assert (given.assessor, given.verifier) == (cast.teacher, cast.verifier)
    with pytest.raises(ValidationError, match="third person found"):
        close(cast.verifier, answered)
    again = answer(cast.teacher, answered, "Taken anew.", new_decision=decide_anew(cast.teacher, answered))
    assert close(cast.verifier, again).closed_at


def test_the_third_person_cannot_be_one_of_the_two_even_past_the_actions(cast, action):
    for person in (cast.teacher, cast.verifier):
        with pytest.raises(IntegrityError, match="third_person_is_a_third"), transaction.atomic():
            ThirdOpinion.objects.create(
                verdict=action.verdict, person=person, outcome="met", reason="x", given_at=LATER
            )


def test_the_people_copied_into_a_third_opinion_cannot_be_given_otherwise(cast, action):
    given = ThirdOpinion(
        verdict=action.verdict, person=cast.lead_verifier, outcome="met", reason="x", given_at=LATER
    )
    given.assessor, given.verifier = cast.other_teacher, cast.lead_verifier
    given.save()
    given.refresh_from_db()
    assert (given.assessor, given.verifier) == (action.verdict.assessor, action.verdict.verifier)
    with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute("UPDATE assessment_thirdopinion SET person_id = assessor_id WHERE id = %s", [given.pk])


def test_the_author_copied_into_a_brief_review_cannot_be_given_otherwise(cast, submissions):
    brief = submissions[0].work.assignment.brief
    review = BriefReview(
        brief=brief, reviewer=cast.verifier, comment="Clear.", verdict="fit", reviewed_at=LATER
    )
    review.author = cast.other_teacher
    review.save()
    review.refresh_from_db()
    assert review.author == brief.author
    with pytest.raises(IntegrityError, match="nobody_reviews_own_brief"), transaction.atomic():
        BriefReview.objects.create(
            brief=brief, reviewer=brief.author, comment="Mine.", verdict="fit", reviewed_at=LATER
        )


def test_a_sample_is_widened_from_the_rest_and_keeps_what_was_drawn(cast, submissions, plan):
    before = drawn_keys(plan)
    wider = widen_sample(
        by=cast.verifier, plan=plan, size=1, seed=3, reason="An error of principle.", strata=[], now=LATER
    )
    assert (wider.widens, wider.widened_because) == (plan, "An error of principle.")
    assert set(drawn_keys(wider)).isdisjoint(before)
    plan.refresh_from_db()
    assert drawn_keys(SamplingPlan.objects.get(pk=plan.pk)) == before
    assert sorted(choice.key for choice in redraw(wider).chosen) == sorted(drawn_keys(wider))
    again = widen_sample(by=cast.verifier, plan=wider, size=2, seed=4, reason="Once more.", now=LATER)
    assert again.widens == plan
    assert list(plans_of(wider)) == [plan, wider, again]
    assert seen_and_all(wider) == (5, 5)
    with pytest.raises(ValidationError, match="Nothing is left"):
        widen_sample(by=cast.verifier, plan=plan, size=1, seed=5, reason="More.", now=LATER)


def test_widening_needs_a_reason_a_size_that_is_there_and_a_verifier(cast, submissions, plan):
    with pytest.raises(ValidationError, match="why"):
        widen_sample(by=cast.verifier, plan=plan, size=1, seed=3, reason=" ", now=LATER)
    with pytest.raises(SamplingError, match="cannot be drawn from 3"):
        widen_sample(by=cast.verifier, plan=plan, size=4, seed=3, reason="x", now=LATER)
    with pytest.raises(PermissionDenied):
        widen_sample(by=cast.teacher, plan=plan, size=1, seed=3, reason="x", now=LATER)
    with pytest.raises(IntegrityError, match="widened_with_reason"), transaction.atomic():
        SamplingPlan.objects.filter(pk=plan.pk).update(widens=plan)


def test_widening_can_look_at_one_assessor_s_work_only(cast, submissions, plan):
    assert rest_of(cast.verifier, plan, assessor=cast.other_teacher) == []
    assert len(rest_of(cast.verifier, plan, assessor=cast.teacher)) == 3


def test_no_sign_off_with_unsigned_records_or_open_actions(cast, plan, action):
    with pytest.raises(ValidationError, match=r"1 record is not signed yet\. 1 action is still open"):
        sign_off_sample(by=cast.verifier, plan=plan, comment="", now=LATER)
    sign(cast.verifier, look(cast.verifier, plan.portfolios.last(), disagree=False))
    with pytest.raises(ValidationError, match="1 action is still open"):
        sign_off_sample(by=cast.verifier, plan=plan, comment="", now=LATER)
    close(cast.verifier, answer(cast.teacher, action))
    done = sign_off_sample(by=cast.verifier, plan=plan, comment="Sound.", now=LATER)
    assert sign_off_sample(by=cast.lead_verifier, plan=plan, comment="Me too.", now=LATER) == done
    with pytest.raises(ValidationError, match="signed off"):
        widen_sample(by=cast.verifier, plan=plan, size=1, seed=3, reason="x", now=LATER)
    record = VerificationRecord.objects.get(sampled=plan.portfolios.last())
    with pytest.raises(ValidationError, match="signed off"):
        raise_action(by=cast.verifier, record=record, wanted=ActionWanted("Late.", DUE), now=LATER)


def test_a_widened_sample_is_signed_off_as_one(cast, plan):
    for portfolio in plan.portfolios.all():
        sign(cast.verifier, look(cast.verifier, portfolio, disagree=False))
    widen_sample(by=cast.verifier, plan=plan, size=1, seed=3, reason="x", strata=[], now=LATER)
    assert unfinished(plan).unsigned == 1
    with pytest.raises(ValidationError, match="1 record is not signed"):
        sign_off_sample(by=cast.verifier, plan=plan, comment="", now=LATER)


def test_nobody_signs_off_a_sample_that_holds_their_own_decision(cast, plan):
    both = make_user("Bo Both", Role.TEACHER, Role.VERIFIER)
    for portfolio in plan.portfolios.all():
        sign(cast.verifier, look(cast.verifier, portfolio, disagree=False))
    Decision.objects.filter(pk=plan.portfolios.first().submission.decisions.first().pk).update(assessor=both)
    with pytest.raises(ValidationError, match="your own decision"):
        sign_off_sample(by=both, plan=plan, comment="", now=LATER)
    with pytest.raises(PermissionDenied):
        sign_off_sample(by=cast.teacher, plan=plan, comment="", now=LATER)


def test_the_usual_size_is_the_policy_s(cast, submissions):
    unit = submissions[0].work.assignment.brief.unit
    settings = PolicySettings(sample_by="share", sample_figure=20, sample_at_least=2)
    save_policy(by=cast.lead_verifier, settings=settings, seen_edition=1, reason="New rules.", now=LATER)
    plan = draw_sample(by=cast.verifier, unit=unit, seed=1, stage="final", strata=[], now=LATER)
    assert (plan.size, plan.size_by, plan.size_figure) == (2, "share", 20)
    assert plan.method == "20 % of 5, rounded up, is 1. The policy asks for at least 2."


def test_a_wanted_chance_settles_the_size(cast, submissions):
    unit = submissions[0].work.assignment.brief.unit
    # Hypergeometric, by hand: of 5 with 1 wrong, n drawn meet it with chance n/5; 60 % asks for 3.
    size = SizeWanted("detection", 60, wrong=1)
    plan = draw_sample(by=cast.verifier, unit=unit, size=size, seed=1, stage="final", strata=[], now=LATER)
    assert plan.size == 3


def test_candidates_carry_class_unknown_and_what_is_new(cast, submissions, plan):
    row = plan.candidates[0]
    work = submissions[0].work
    assert row["group"] == work.assignment.teaching_class.name
    # By the shipped practical: the factory's papers hold unknowns X and Y for every group.
    assert row["unknown"]
    assert row["new_assessor"]
    assert row["new_brief"] == str(work.assignment.brief)
    sign(cast.verifier, look(cast.verifier, plan.portfolios.first(), disagree=False))
    later = draw_sample(by=cast.verifier, unit=plan.unit, size=1, seed=1, stage="final", now=LATER)
    assert not later.candidates[0]["new_assessor"]
    assert later.candidates[0]["new_brief"] == ""


def test_a_stratum_that_is_not_on_the_list_is_refused(cast, submissions):
    unit = submissions[0].work.assignment.brief.unit
    with pytest.raises(ValidationError, match="from the list"):
        draw_sample(by=cast.verifier, unit=unit, size=1, seed=1, stage="final", strata=["taste"], now=LATER)


def test_sampled_results_are_held_until_signed_and_without_open_actions(cast, submissions, plan):
    Assignment.objects.update(hold_until_verified=True)
    sampled = plan.portfolios.first()
    free = next(s for s in submissions if not SampledPortfolio.objects.filter(submission=s).exists())
    fresh = type(free).objects.get(pk=free.pk)
    submission = type(free).objects.get(pk=sampled.submission_id)
    assert held(submission)
    assert not held(fresh)
    action = sign(cast.verifier, look(cast.verifier, sampled)).actions.get()
    assert held(submission)
    close(cast.verifier, answer(cast.teacher, action))
    assert not held(submission)
    assert submission not in held_submissions()


def test_before_a_draw_everything_of_a_holding_assignment_waits(submissions):
    assert not held(submissions[0])
    Assignment.objects.update(hold_until_verified=True)
    assert held(type(submissions[0]).objects.get(pk=submissions[0].pk))


def test_every_step_is_in_the_audit_trail(cast, plan, action):
    close(cast.verifier, answer(cast.teacher, action))
    widen_sample(by=cast.verifier, plan=plan, size=1, seed=3, reason="x", now=LATER)
    rows = set(AuditEntry.objects.values_list("action", flat=True))
    assert {"raise_action", "answer_action", "close_action", "widen_sample"} <= rows
