"""Several assessors judge one piece blind; then they compare and record what was agreed."""

import pytest
from django.core.exceptions import PermissionDenied, ValidationError

from assessment.access import readable_standardisations
from assessment.actions.close_standardisation import Reading, close_standardisation
from assessment.actions.judge_blind import Judged, judge_blind
from assessment.actions.open_standardisation import open_standardisation
from assessment.actions.reveal_judgements import reveal_judgements
from assessment.models import BlindJudgement, Decision, Standardisation
from assessment.models.standardising import compared, criteria_of, without_name
from practicals.models import AuditEntry, Role
from tests.assessment.handed_in import LATER, decided_class
from tests.factories import make_user


@pytest.fixture
def piece(cast):
    return decided_class(1, verifier=cast.verifier, teacher=cast.teacher)[0]


@pytest.fixture
def assessors(cast):
    return [cast.other_teacher, make_user("Cy Third", Role.TEACHER), make_user("Di Fourth", Role.TEACHER)]


def opened(cast, piece, assessors, title="Piece 1"):
    return open_standardisation(by=cast.verifier, title=title, piece=piece, assessors=assessors, now=LATER)


@pytest.fixture
def standardisation(cast, piece, assessors):
    return opened(cast, piece, assessors)


def judge(by, standardisation, *, first="met", comment="Seen.", leave_out=0):
    criteria = criteria_of(standardisation)
    outcomes = [first, *["met"] * (len(criteria) - 1)]
    judged = [Judged(c, outcome, comment) for c, outcome in zip(criteria, outcomes, strict=True)]
    return judge_blind(by=by, standardisation=standardisation, judged=judged[leave_out:], now=LATER)


def close(by, standardisation, outcome="Agreed.", reading="A table is needed."):
    readings = [Reading(c, "met", reading) for c in criteria_of(standardisation)]
    return close_standardisation(
        by=by, standardisation=standardisation, readings=readings, outcome=outcome, now=LATER
    )


def test_whoever_decided_on_the_piece_cannot_judge_it_blind(cast, piece, assessors):
    with pytest.raises(ValidationError, match="cannot judge it blind"):
        opened(cast, piece, [cast.teacher, *assessors])
    assert not Standardisation.objects.exists()


@pytest.mark.parametrize("title", ["", "   ", "x" * 200])
def test_it_needs_a_title(cast, piece, assessors, title):
    with pytest.raises(ValidationError, match="title"):
        opened(cast, piece, assessors, title)


def test_it_needs_two_assessors_who_may_judge(cast, piece, assessors):
    with pytest.raises(ValidationError, match="at least 2"):
        opened(cast, piece, assessors[:1])
    with pytest.raises(ValidationError, match="neither a teacher nor a verifier"):
        opened(cast, piece, [*assessors, cast.technician])


def test_only_verifiers_open_reveal_and_close(cast, piece, assessors, standardisation):
    with pytest.raises(PermissionDenied):
        open_standardisation(by=cast.teacher, title="x", piece=piece, assessors=assessors, now=LATER)
    with pytest.raises(PermissionDenied):
        reveal_judgements(by=assessors[0], standardisation=standardisation, now=LATER)
    with pytest.raises(PermissionDenied):
        close(assessors[0], standardisation)


def test_only_who_was_asked_judges_and_sees_it(cast, assessors, standardisation):
    for person in (cast.teacher, cast.verifier, cast.learner):
        with pytest.raises(PermissionDenied):
            judge(person, standardisation)
    assert not readable_standardisations(cast.teacher).exists()
    assert readable_standardisations(assessors[0]).get() == standardisation
    assert not readable_standardisations(cast.learner).exists()


def test_a_judgement_is_kept_whole_or_not_at_all(assessors, standardisation):
    with pytest.raises(ValidationError, match="every criterion"):
        judge(assessors[0], standardisation, leave_out=1)
    with pytest.raises(ValidationError, match="where the evidence is"):
        judge(assessors[0], standardisation, comment=" ")
    with pytest.raises(ValidationError, match="choose"):
        judge(assessors[0], standardisation, first="perhaps")
    assert not BlindJudgement.objects.exists()


def test_a_judgement_may_be_changed_until_all_are_revealed(cast, assessors, standardisation):
    judge(assessors[0], standardisation)
    judge(assessors[0], standardisation, first="not yet met")
    assert BlindJudgement.objects.count() == len(criteria_of(standardisation))
    with pytest.raises(ValidationError, match="Fewer than two"):
        reveal_judgements(by=cast.verifier, standardisation=standardisation, now=LATER)
    judge(assessors[1], standardisation)
    reveal_judgements(by=cast.verifier, standardisation=standardisation, now=LATER)
    for person in assessors:
        with pytest.raises(ValidationError, match="revealed"):
            judge(person, standardisation)


def test_a_verifier_who_judges_too_judges_before_seeing(cast, piece, assessors):
    made = opened(cast, piece, [*assessors, cast.lead_verifier])
    for person in assessors:
        judge(person, made)
    with pytest.raises(ValidationError, match="judge it before"):
        reveal_judgements(by=cast.lead_verifier, standardisation=made, now=LATER)


def test_agreement_is_that_of_those_who_judged(cast, assessors, standardisation):
    judge(assessors[0], standardisation, first="not yet met")
    judge(assessors[1], standardisation)
    reveal_judgements(by=cast.verifier, standardisation=standardisation, now=LATER)
    found = compared(Standardisation.objects.get())
    # By hand: 3 of 4 criteria alike; rows 3/4 and 1 met: p_o = 3/4, p_e = 3/4, so kappa = 0 (Cohen 1960).
    assert (found.agreement.unanimous, found.agreement.pieces, found.agreement.kappa) == (3, 4, 0)
    assert found.left_out == (assessors[2],)
    assert [one.unanimous for one in found.criteria] == [False, True, True, True]


def test_the_agreed_reading_comes_after_the_reveal_and_touches_no_decision(cast, assessors, standardisation):
    before = list(Decision.objects.order_by("pk").values())
    with pytest.raises(ValidationError, match="Reveal the judgements first"):
        close(cast.verifier, standardisation)
    for person in assessors:
        judge(person, standardisation)
    reveal_judgements(by=cast.verifier, standardisation=standardisation, now=LATER)
    with pytest.raises(ValidationError, match="how it is to be read"):
        close(cast.verifier, standardisation, reading=" ")
    with pytest.raises(ValidationError, match="what was agreed"):
        close(cast.verifier, standardisation, outcome=" ")
    closed = close(cast.verifier, standardisation)
    assert closed.agreed.count() == 4
    with pytest.raises(ValidationError, match="already"):
        close(cast.verifier, standardisation)
    assert list(Decision.objects.order_by("pk").values()) == before
    rows = set(AuditEntry.objects.values_list("action", flat=True))
    assert {"open_standardisation", "judge_blind", "reveal_judgements", "close_standardisation"} <= rows


@pytest.mark.django_db
def test_the_learner_s_name_is_blanked_out_of_what_was_written():
    learner = make_user("Amina Woldale")
    text = "By Amina Woldale. I, amina, measured; Woldale's paper. Aminal stays."
    assert without_name(text, learner) == (
        "By [the learner]. I, [the learner], measured; [the learner]'s paper. Aminal stays."
    )
