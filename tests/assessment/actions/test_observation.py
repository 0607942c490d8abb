"""Records and statements: who may write, sign, accept and withdraw, and what becomes of them as evidence."""

import json

import pytest
from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction

from assessment.access import (
    own_observations,
    readable_observations,
    readable_statements,
    statements_to_write,
)
from assessment.actions.accept_statement import accept_statement
from assessment.actions.ask_witness import ask_witness, possible_witnesses, role_in
from assessment.actions.countersign_observation import countersign_observation
from assessment.actions.gather_evidence import gather_evidence
from assessment.actions.withdraw_observation import withdraw_observation
from assessment.actions.withdraw_statement import withdraw_statement
from assessment.actions.write_observation import AlreadySigned, Observed, write_observation
from assessment.actions.write_statement import write_statement
from assessment.calculations.evidence_map import map_evidence
from assessment.calculations.unit_file import CriterionDefinition
from assessment.models import Criterion, Decision, ObservationRecord
from assessment.models.facts import facts_for
from assessment.models.frozen import frozen_evidence, integrity
from practicals.models import AuditEntry, BenchNote, LessonHelper, Role
from reagents.models import Stale
from tests.assessment.handed_in import hand_in, issued, work_of
from tests.assessment.observing import DID, ITEM, ask_to_observe, asked, observe, witnessed
from tests.factories import NOW, make_unit, make_user

pytestmark = pytest.mark.django_db


@pytest.fixture
def assignment(cast):
    found = issued(cast)
    ask_to_observe()
    return found


def note(cast, learner=None, text="P1: drew the origin in pencil"):
    return BenchNote.objects.create(
        session=cast.session, learner=learner or cast.learner, by=cast.teacher, at=NOW, text=text
    )


def write(cast, *, by=None, learner=None, sign=True, seen_version=0, **observed):
    observed.setdefault("did", DID)
    observed.setdefault("criteria", Criterion.objects.filter(code="P1")[:1])
    return write_observation(
        by=by or cast.teacher,
        session=cast.session,
        learner=learner or cast.learner,
        observed=Observed(**observed),
        seen_version=seen_version,
        sign=sign,
        now=NOW,
    )


def state_of_p1(facts):
    needs = tuple(Criterion.objects.get(code="P1").evidence_needs())
    (found,) = map_evidence([CriterionDefinition("P1", "pass", "text", needs)], facts)
    return found.items[0].state


def test_a_record_quotes_notes_and_ticks_and_is_signed_by_both(cast, assignment):
    record = write(cast, items=[("P1", ITEM)], notes=[note(cast)], criteria=[])
    assert [one.code for one in record.criteria.all()] == ["P1"]
    assert record.items == [{"code": "P1", "text": ITEM}]
    countersign_observation(by=cast.learner, record=record, comment=" I also labelled it. ", now=NOW)
    record.refresh_from_db()
    assert (record.learner_signed_at, record.learner_comment) == (NOW, "I also labelled it.")
    actions = list(AuditEntry.objects.order_by("pk").values_list("action", flat=True))
    assert actions[-2:] == ["write_observation", "countersign_observation"]


@pytest.mark.parametrize("did", ["", "   ", "What P1 asks", "P1", ITEM, f"P1: {ITEM}. What P1 asks"])
def test_ticks_alone_or_the_criterions_own_words_cannot_be_signed_public_guidance(cast, assignment, did):
    # What this learner did, in enough detail for another to judge: guidance on observation records, read.
    with pytest.raises(ValidationError, match="Ticks alone cannot be signed"):
        write(cast, did=did, items=[("P1", ITEM)])
    assert not ObservationRecord.objects.exists()
    assert write(cast, did=did, items=[("P1", ITEM)], sign=False).signed_at is None


def test_the_database_refuses_a_signed_record_without_words(cast, assignment):
    with pytest.raises(IntegrityError), transaction.atomic():
        ObservationRecord.objects.create(
            session=cast.session, learner=cast.learner, assessor=cast.teacher, written_at=NOW, signed_at=NOW
        )


def test_a_record_names_a_criterion(cast, assignment):
    with pytest.raises(ValidationError, match="at least one criterion"):
        write(cast, criteria=[])


def test_a_signed_record_is_never_edited_but_withdrawn_and_replaced(cast, assignment):
    first = write(cast)
    with pytest.raises(AlreadySigned):
        write(cast, did="Something quite different was seen here.", seen_version=first.version)
    with pytest.raises(ValidationError, match="Write why"):
        withdraw_observation(by=cast.teacher, record=first, reason=" ", now=NOW)
    withdraw_observation(by=cast.teacher, record=first, reason="Wrong learner", now=NOW)
    second = write(cast, did="Something quite different was seen here.")
    first.refresh_from_db()
    assert (second.replaces, first.did, first.withdrawn_reason) == (first, DID, "Wrong learner")
    with pytest.raises(ValidationError, match="before"):
        withdraw_observation(by=cast.teacher, record=first, reason="Again", now=NOW)


def test_two_tabs_at_once_lose_nothing(cast, assignment):
    draft = write(cast, sign=False)
    with pytest.raises(Stale):
        write(cast, did="The other tab's words about this learner.", sign=False)
    write(cast, did="Words written knowing the first.", sign=False, seen_version=draft.version)
    with pytest.raises(Stale):
        write(cast, did="Old tab again", sign=False, seen_version=draft.version)


def test_only_who_assesses_the_work_writes_and_only_of_their_own_learners(cast, assignment):
    for by, learner in [
        (cast.other_teacher, cast.learner),
        (cast.technician, cast.learner),
        (cast.learner, cast.learner),
        (cast.verifier, cast.learner),
        (cast.teacher, cast.stranger),
    ]:
        with pytest.raises(PermissionDenied):
            write(cast, by=by, learner=learner)


def test_another_learners_note_and_another_units_criterion_are_refused(cast, assignment):
    with pytest.raises(PermissionDenied):
        write(cast, notes=[note(cast, learner=cast.rival)])

    foreign = make_unit().criteria.get(code="P1")
    with pytest.raises(PermissionDenied):
        write(cast, criteria=[foreign])
    mine = assignment.brief.criteria.get(code="P1")
    with pytest.raises(ValidationError, match="no longer asked for"):
        write(cast, criteria=[mine], items=[("P1", "never listed")])


def test_a_learner_signs_their_own_signed_record_once(cast, assignment):
    draft = write(cast, sign=False)
    with pytest.raises(PermissionDenied):
        countersign_observation(by=cast.learner, record=draft, comment="", now=NOW)
    record = write(cast, seen_version=draft.version)
    for by in (cast.rival, cast.teacher, cast.technician):
        with pytest.raises(PermissionDenied):
            countersign_observation(by=by, record=record, comment="", now=NOW)
    countersign_observation(by=cast.learner, record=record, comment="", now=NOW)
    with pytest.raises(ValidationError, match="signed this record before"):
        countersign_observation(by=cast.learner, record=record, comment="Now I say more", now=NOW)


def test_at_the_bench_a_learner_has_the_records_of_that_session_alone(cast, assignment):
    record = write(cast)
    cast.learner.bench_session = cast.session.uuid
    assert list(own_observations(cast.learner)) == [record]
    cast.learner.bench_session = make_user().uuid
    assert not own_observations(cast.learner).exists()


def test_who_may_be_a_witness(cast, assignment):
    support = make_user("Sue Support", Role.LESSON_ONLY)
    gone = make_user("Gone", Role.TECHNICIAN, is_active=False)
    LessonHelper.objects.create(lesson=cast.session.lessons.get(), user=support, part="support assistant")
    able = set(possible_witnesses(cast.teacher))
    assert {cast.technician, support, cast.other_teacher} <= able
    assert not able & {cast.teacher, cast.learner, cast.rival, gone}
    assert role_in(cast.session, support) == "support assistant"
    assert role_in(cast.session, cast.technician) == "technician"
    for nobody in (cast.teacher, cast.learner, cast.rival, gone):
        with pytest.raises(ValidationError, match="A witness is somebody else"):
            asked(cast.session, cast.learner, nobody)


def test_a_witness_opens_just_that_statement(cast, assignment):
    statement = asked(cast.session, cast.learner, cast.technician)
    other = asked(cast.session, cast.rival, cast.other_teacher)
    write(cast)
    assert list(statements_to_write(cast.technician)) == [statement]
    assert list(readable_statements(cast.technician)) == [statement]
    assert not readable_observations(cast.technician).exists()
    with pytest.raises(PermissionDenied):
        write_statement(
            by=cast.technician, statement=other, saw=DID, witness_role="x", sign=True, seen_version=1, now=NOW
        )
    with pytest.raises(ValidationError, match="has been asked"):
        asked(cast.session, cast.learner, cast.technician)


def test_who_does_not_assess_asks_nobody(cast, assignment):
    for by in (cast.other_teacher, cast.technician, cast.verifier):
        with pytest.raises(PermissionDenied):
            ask_witness(
                by=by,
                session=cast.session,
                learner=cast.learner,
                witness=cast.administrator,
                asked_for="",
                criteria=[Criterion.objects.get(code="P1")],
                now=NOW,
            )


@pytest.mark.parametrize(
    ("saw", "role", "words"),
    [
        ("", "technician", "sentence of your own"),
        ("What P1 asks", "technician", "sentence of your own"),
        (DID, " ", "which role"),
        (DID, "x" * 81, "which role"),
        ("x" * 4001, "technician", "4000 characters"),
    ],
)
def test_what_a_witness_cannot_sign(cast, assignment, saw, role, words):
    statement = asked(cast.session, cast.learner, cast.technician)
    with pytest.raises(ValidationError, match=words):
        write_statement(
            by=cast.technician,
            statement=statement,
            saw=saw,
            witness_role=role,
            sign=True,
            seen_version=1,
            now=NOW,
        )


def test_a_statement_is_accepted_once_by_who_asked_after_it_is_signed(cast, assignment):
    statement = asked(cast.session, cast.learner, cast.technician)
    with pytest.raises(ValidationError, match="not signed yet"):
        accept_statement(by=cast.teacher, statement=statement, worth="Bears out P1.", now=NOW)
    write_statement(
        by=cast.technician,
        statement=statement,
        saw=DID,
        witness_role="technician",
        sign=True,
        seen_version=1,
        now=NOW,
    )
    for by in (cast.technician, cast.other_teacher, cast.learner):
        with pytest.raises(PermissionDenied):
            accept_statement(by=by, statement=statement, worth="Bears out P1.", now=NOW)
    with pytest.raises(ValidationError, match="Say what"):
        accept_statement(by=cast.teacher, statement=statement, worth=" ", now=NOW)
    accept_statement(by=cast.teacher, statement=statement, worth="Bears out P1.", now=NOW)
    with pytest.raises(ValidationError, match="before"):
        accept_statement(by=cast.teacher, statement=statement, worth="More", now=NOW)
    with pytest.raises(ValidationError, match="stays as you signed"):
        write_statement(
            by=cast.technician,
            statement=statement,
            saw="Changed my mind about all this.",
            witness_role="technician",
            sign=True,
            seen_version=3,
            now=NOW,
        )


def test_a_withdrawn_statement_is_gone_for_its_witness(cast, assignment):
    statement = asked(cast.session, cast.learner, cast.technician)
    with pytest.raises(PermissionDenied):
        withdraw_statement(by=cast.technician, statement=statement, reason="no", now=NOW)
    withdraw_statement(by=cast.teacher, statement=statement, reason="Was not there", now=NOW)
    assert not statements_to_write(cast.technician).exists()


def test_neither_sets_a_criterion_public_guidance(cast, assignment):
    # The newer rule: a record is evidence only, the decision is taken separately; read.
    observe(cast.session, cast.learner, both=True)
    statement = witnessed(cast.session, cast.learner, cast.technician)
    accept_statement(by=cast.teacher, statement=statement, worth="Bears out P1.", now=NOW)
    submission = hand_in(work_of(assignment, cast.learner))
    assert not Decision.objects.exists()
    assert not submission.decisions.exists()


def test_what_the_evidence_map_says_of_it(cast, assignment):
    work = work_of(assignment, cast.learner)
    assert state_of_p1(facts_for(work)) == "missing"
    witnessed(cast.session, cast.learner, cast.technician)
    assert state_of_p1(facts_for(work)) == "doubtful"
    record = observe(cast.session, cast.learner, sign=False)
    assert "P1" not in facts_for(work).half_signed
    record = write(cast, seen_version=record.version)
    assert state_of_p1(facts_for(work)) == "doubtful"
    assert "P1" in facts_for(work).half_signed
    countersign_observation(by=cast.learner, record=record, comment="", now=NOW)
    assert state_of_p1(facts_for(work)) == "present"
    assert state_of_p1(facts_for(work_of(assignment, cast.rival))) == "missing"
    withdraw_observation(by=cast.teacher, record=record, reason="Mixed up", now=NOW)
    assert state_of_p1(facts_for(work)) == "doubtful"


def test_both_are_frozen_by_token_and_come_back(cast, assignment):
    observe(cast.session, cast.learner, both=True, items=[("P1", ITEM)], notes=[note(cast)])
    statement = witnessed(cast.session, cast.learner, cast.technician)
    accept_statement(by=cast.teacher, statement=statement, worth="Bears out P1.", now=NOW)
    submission = hand_in(work_of(assignment, cast.learner))
    texts = {part.name: part.text for part in submission.parts.all()}
    for name in ("observation", "witness"):
        for person in (cast.teacher, cast.technician, cast.learner):
            assert person.name not in texts[name]
    assert json.loads(texts["observation"])[0]["assessor"] == str(cast.teacher.token)
    withdraw_observation(by=cast.teacher, record=ObservationRecord.objects.get(), reason="Later", now=NOW)
    found = frozen_evidence(submission)
    assert found.observations[0].did == DID
    assert found.observations[0].learner_comment == "It was so."
    assert found.observations[0].notes[0].text == "P1: drew the origin in pencil"
    assert found.statements[0].worth == "Bears out P1."
    assert found.facts.observed == {"P1"}
    assert integrity(submission).sound


def test_work_without_them_keeps_the_parts_it_had(cast, assignment):
    observe(cast.session, cast.learner, sign=False)
    asked(cast.session, cast.learner, cast.technician)
    parts = gather_evidence(work_of(assignment, cast.learner), declared=True, late=False)
    assert not {"observation", "witness"} & set(parts)
    assert "half_signed" not in parts["facts"]
