"""Drawing, agreeing and signing: what the actions and the database hold."""

import re
from datetime import timedelta
from pathlib import Path

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, connection, transaction

from assessment.access import verifiable_portfolios
from assessment.actions.decide import decide
from assessment.actions.draw_sample import candidates_for, draw_sample
from assessment.actions.give_verdict import DecisionSuperseded, VerdictMeanwhile, give_verdict
from assessment.actions.give_verdicts import VerdictEntry, VerdictsRefused, give_verdicts
from assessment.actions.open_record import AnotherVerifier, open_record
from assessment.actions.raise_action import ActionWanted
from assessment.actions.sign_record import disagreements, sign_record
from assessment.calculations.sampling import SamplingError
from assessment.models import CriterionVerdict, Decision, EvidencePart, SamplingPlan, VerificationRecord
from assessment.models.samples import drawn_keys, redraw, sample_agreement
from practicals.models import AuditEntry, Role
from tests.assessment.handed_in import LATER, decided_class
from tests.factories import make_user

PROJECT = Path(__file__).resolve().parents[3]


@pytest.fixture
def submissions(cast):
    return decided_class(6, verifier=cast.verifier, teacher=cast.teacher)


def draw(by, submissions, **more):
    unit = submissions[0].work.assignment.brief.unit
    return draw_sample(
        **{"by": by, "unit": unit, "size": 3, "seed": 7, "stage": "interim", "now": LATER, **more}
    )


@pytest.fixture
def sampled(cast, submissions):
    return draw(cast.verifier, submissions).portfolios.first()


@pytest.fixture
def record(cast, sampled):
    return open_record(by=cast.verifier, sampled=sampled, now=LATER)


def decisions_of(record):
    return list(record.sampled.submission.decisions.filter(is_current=True))


def agree(by, record, decision, verdict="agree", comment="", **more):
    return give_verdict(
        by=by, record=record, decision=decision, verdict=verdict, comment=comment, now=LATER, **more
    )


def test_a_draw_is_repeated_by_anyone_from_what_the_plan_keeps(cast, submissions):
    plan = SamplingPlan.objects.get(pk=draw(cast.verifier, submissions).pk)
    assert sorted(choice.key for choice in redraw(plan).chosen) == sorted(drawn_keys(plan))
    assert plan.seed == 7
    assert [row["key"] for row in plan.candidates] == sorted(str(found.uuid) for found in submissions)


def test_every_chosen_portfolio_carries_its_reason_and_no_name(cast, submissions):
    for portfolio in draw(cast.verifier, submissions).portfolios.all():
        assert portfolio.reason
        assert cast.teacher.name not in portfolio.reason


@pytest.mark.parametrize("size", [0, -1, 7, 10**9])
def test_an_impossible_size_is_a_sentence_and_leaves_no_plan(cast, submissions, size):
    with pytest.raises(SamplingError, match="sample"):
        draw(cast.verifier, submissions, size=size)
    assert not SamplingPlan.objects.exists()


def test_a_stage_or_a_seed_that_cannot_be_kept_is_refused(cast, submissions):
    with pytest.raises(ValidationError, match="interim or final"):
        draw(cast.verifier, submissions, stage="whenever")
    with pytest.raises(ValidationError, match="whole number"):
        draw(cast.verifier, submissions, seed=2**63)


def test_only_verifiers_draw(cast, submissions):
    for person in (cast.teacher, cast.technician, cast.learner, cast.administrator):
        with pytest.raises(PermissionDenied):
            draw(person, submissions)


def test_a_verifier_who_also_teaches_draws_nothing_that_they_decided(cast):
    both = make_user("Bo Both", Role.TEACHER, Role.VERIFIER)
    own = decided_class(2, verifier=cast.verifier, teacher=both)
    unit = own[0].work.assignment.brief.unit
    assert candidates_for(both, unit) == []
    assert len(candidates_for(cast.verifier, unit)) == 2
    portfolio = draw(cast.verifier, own, size=1).portfolios.first()
    assert not verifiable_portfolios(both).filter(pk=portfolio.pk).exists()
    with pytest.raises(PermissionDenied):
        open_record(by=both, sampled=portfolio, now=LATER)


def test_the_assessor_of_one_superseded_decision_cannot_verify_the_rest(cast, submissions):
    both = make_user("Bo Both", Role.TEACHER, Role.VERIFIER)
    portfolio = draw(cast.verifier, submissions).portfolios.first()
    assert verifiable_portfolios(both).filter(pk=portfolio.pk).exists()
    first = portfolio.submission.decisions.first()
    Decision.objects.filter(pk=first.pk).update(is_current=False, assessor=both)
    assert not verifiable_portfolios(both).filter(pk=portfolio.pk).exists()


def test_a_portfolio_has_one_verifier(cast, sampled, record):
    with pytest.raises(AnotherVerifier):
        open_record(by=cast.lead_verifier, sampled=sampled, now=LATER)
    assert open_record(by=cast.verifier, sampled=sampled, now=LATER) == record
    with pytest.raises(PermissionDenied):
        agree(cast.lead_verifier, record, decisions_of(record)[0])


def test_a_verdict_touches_neither_decision_nor_evidence(cast, record):
    def kept():
        return list(Decision.objects.order_by("pk").values()), list(
            EvidencePart.objects.order_by("pk").values()
        )

    before = kept()
    agree(cast.verifier, record, decisions_of(record)[0], "disagree", "The front was not read.")
    assert kept() == before


@pytest.mark.parametrize("verdict", ["disagree", "cannot tell"])
def test_anything_but_agreement_needs_its_reason(cast, record, verdict):
    with pytest.raises(ValidationError, match="write why"):
        agree(cast.verifier, record, decisions_of(record)[0], verdict, "   ")


@pytest.mark.parametrize("verdict", ["", "maybe", "AGREE"])
def test_a_verdict_is_one_of_three(cast, record, verdict):
    with pytest.raises(ValidationError, match="Choose agree"):
        agree(cast.verifier, record, decisions_of(record)[0], verdict, "x")


def test_the_same_verdict_twice_is_kept_once(cast, record):
    decision = decisions_of(record)[0]
    assert agree(cast.verifier, record, decision) == agree(cast.verifier, record, decision)
    assert AuditEntry.objects.filter(action="give_verdict").count() == 1


def test_a_second_tab_does_not_overwrite_the_first(cast, record):
    decision = decisions_of(record)[0]
    first = agree(cast.verifier, record, decision)
    with pytest.raises(VerdictMeanwhile, match="another verdict"):
        agree(cast.verifier, record, decision, "disagree", "No.", seen_at=LATER - timedelta(hours=1))
    changed = agree(cast.verifier, record, decision, "disagree", "No.", seen_at=first.at)
    assert changed.pk == first.pk


def test_a_decision_taken_anew_needs_a_look_of_its_own(cast, record):
    old = decisions_of(record)[0]
    decide(
        by=cast.teacher,
        submission=old.submission,
        criterion=old.criterion,
        outcome="not yet met" if old.outcome == "met" else "met",
        valid=True,
        sufficient=True,
        comment="Looked again.",
        reason="overlooked",
        seen_decision=old.uuid,
        now=LATER,
    )
    with pytest.raises(DecisionSuperseded):
        agree(cast.verifier, record, old)


def test_a_decision_of_another_portfolio_is_refused(cast, record, submissions):
    other = next(found for found in submissions if found.pk != record.sampled.submission_id)
    with pytest.raises(DecisionSuperseded):
        agree(cast.verifier, record, other.decisions.first())


def test_signing_waits_for_every_verdict_and_then_nothing_changes(cast, record):
    decisions = decisions_of(record)
    for decision in decisions[1:]:
        agree(cast.verifier, record, decision)
    with pytest.raises(ValidationError, match=f"No verdict yet on {decisions[0].criterion}"):
        sign_record(by=cast.verifier, record=record, feedback_comment="", now=LATER)
    agree(cast.verifier, record, decisions[0])
    signed = sign_record(by=cast.verifier, record=record, feedback_comment=" Clear. ", now=LATER)
    assert (signed.signed_at, signed.feedback_comment) == (LATER, "Clear.")
    with pytest.raises(ValidationError, match="stays as it is"):
        sign_record(by=cast.verifier, record=record, feedback_comment="Other.", now=LATER)
    with pytest.raises(ValidationError, match="stays as it is"):
        agree(cast.verifier, record, decisions[0], "disagree", "Late thought.")


def test_verdicts_of_one_page_are_saved_together_or_not_at_all(cast, sampled):
    one, two, *_ = sampled.submission.decisions.all()
    entries = [VerdictEntry(one, "agree", ""), VerdictEntry(two, "disagree", "")]
    with pytest.raises(VerdictsRefused) as refused:
        give_verdicts(by=cast.verifier, sampled=sampled, entries=entries, now=LATER)
    assert list(refused.value.by_decision) == [two.pk]
    assert not VerificationRecord.objects.exists()
    assert not CriterionVerdict.objects.exists()


def test_the_database_refuses_an_own_verdict_even_past_the_actions(cast, sampled):
    own = VerificationRecord.objects.create(sampled=sampled, verifier=cast.teacher, opened_at=LATER)
    with pytest.raises(IntegrityError, match="nobody_verifies_own_decision"), transaction.atomic():
        CriterionVerdict.objects.create(
            record=own, decision=sampled.submission.decisions.first(), verdict="agree", at=LATER
        )


def test_the_database_itself_compares_the_two_people(cast, record):
    verdict = agree(cast.verifier, record, decisions_of(record)[0])
    with pytest.raises(IntegrityError), transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(
            "UPDATE assessment_criterionverdict SET assessor_id = verifier_id WHERE id = %s", [verdict.pk]
        )


def test_the_copied_people_cannot_be_given_otherwise(cast, record):
    decision = decisions_of(record)[0]
    verdict = CriterionVerdict(record=record, decision=decision, verdict="agree", at=LATER)
    verdict.assessor, verdict.verifier = cast.other_teacher, cast.lead_verifier
    verdict.save()
    verdict.comment, verdict.assessor = "Seen.", cast.other_teacher
    verdict.save(update_fields=["comment"])
    verdict.refresh_from_db()
    assert (verdict.assessor, verdict.verifier) == (decision.assessor, record.verifier)


def test_verdicts_are_not_written_past_save(cast, record):
    agree(cast.verifier, record, decisions_of(record)[0])
    with pytest.raises(TypeError, match="one by one"):
        CriterionVerdict.objects.update(assessor=cast.other_teacher)
    with pytest.raises(TypeError, match="one by one"):
        record.verdicts.all().update(assessor=cast.other_teacher)
    with pytest.raises(TypeError, match="one by one"):
        CriterionVerdict.objects.bulk_create([])
    with pytest.raises(TypeError, match="one by one"):
        CriterionVerdict.objects.bulk_update([], ["assessor"])


def test_no_code_writes_verdicts_in_bulk_or_in_sql():
    """What the query set refuses nobody tries, and nobody passes by it with the base manager or SQL."""
    sources = [
        path
        for package in ("practicals", "assessment", "reagents")
        for path in (PROJECT / package).rglob("*.py")
        if "migrations" not in path.parts
    ]
    bulk = re.compile(
        r"(CriterionVerdict\.(objects|_base_manager)|\bverdicts)\b[^\n]*\.(update|bulk_create|bulk_update)\("
    )
    assert len(sources) > 50
    assert bulk.search("CriterionVerdict.objects.filter(pk=1).update(assessor=x)")
    assert [path.name for path in sources if bulk.search(path.read_text())] == []
    assert [path.name for path in sources if "criterionverdict" in path.read_text()] == []


def test_each_act_leaves_its_row_in_the_audit_trail(cast, record):
    for decision in decisions_of(record):
        agree(cast.verifier, record, decision)
    sign_record(by=cast.verifier, record=record, feedback_comment="", now=LATER)
    rows = AuditEntry.objects.filter(actor=cast.verifier.token).values_list("action", flat=True)
    assert [*rows].count("give_verdict") == 4
    assert {"draw_sample", "open_record", "sign_record"} <= set(rows)


def test_agreement_counts_signed_records_and_leaves_out_what_could_not_be_told(cast, record):
    plan = record.sampled.plan
    one, two, three, four = decisions_of(record)
    agree(cast.verifier, record, one)
    agree(cast.verifier, record, two, "disagree", "No front.")
    agree(cast.verifier, record, three, "cannot tell", "Not legible.")
    agree(cast.verifier, record, four)
    assert sample_agreement(plan).overall.n == 0
    wanted = [ActionWanted("Read the front.", LATER.date(), one) for one in disagreements(record)]
    sign_record(by=cast.verifier, record=record, feedback_comment="", actions=wanted, now=LATER)
    found = sample_agreement(plan)
    assert (found.overall.n, found.overall.agreed, found.cannot_tell) == (3, 2, 1)
    # By hand: one assessor outcome throughout, p_o = 2/3, p_e = 2/3, so kappa = 0 (Cohen 1960).
    assert found.overall.kappa == 0
    assert [name for name, _ in found.by_assessor] == [cast.teacher.name]


def test_agreement_that_has_no_kappa_says_so(cast, record):
    for decision in decisions_of(record):
        agree(cast.verifier, record, decision)
    sign_record(by=cast.verifier, record=record, feedback_comment="", now=LATER)
    sentence = sample_agreement(record.sampled.plan).overall.sentence
    assert sentence.startswith("4 of 4 judgements agree (100 %)")
    assert "kappa is not defined" in sentence
