"""One assessor's blind judgement of the whole piece."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.models import BlindJudgement, Criterion, Decision, Standardisation
from assessment.models.standardising import criteria_of
from practicals import audit
from practicals.models import User

LONGEST = 5_000


@dataclass(frozen=True, slots=True)
class Judged:
    criterion: Criterion
    outcome: str
    comment: str


def judge_blind(
    *, by: User, standardisation: Standardisation, judged: Sequence[Judged], now: datetime
) -> list[BlindJudgement]:
    """Keep it whole, or nothing. It may be changed until all are revealed, and by its author alone."""
    may = by.has_perm("assessment.judge_blind") and standardisation.assessors.filter(pk=by.pk).exists()
    if not may:
        raise PermissionDenied
    with transaction.atomic():
        held = Standardisation.objects.select_for_update().get(pk=standardisation.pk)
        if held.revealed_at:
            raise ValidationError("The judgements are revealed, so none can be given or changed any more.")
        _check(held, judged)
        kept = [_keep(held, by, one, now) for one in judged]
        audit.record(by=by, action="judge_blind", subject=held, sentence="Judged blind.")
    return kept


def _check(standardisation: Standardisation, judged: Sequence[Judged]) -> None:
    asked = criteria_of(standardisation)
    missing = {criterion.pk for criterion in asked} - {one.criterion.pk for one in judged}
    if missing or len(judged) != len(asked):
        raise ValidationError("Judge every criterion of the piece, each once.")
    for one in judged:
        if one.outcome not in Decision.Outcome.values:
            raise ValidationError(f"{one.criterion}: choose “met” or “not yet met”.")
        if not one.comment.strip():
            raise ValidationError(f"{one.criterion}: write where the evidence is, and why it is enough.")
        if len(one.comment) > LONGEST:
            raise ValidationError(f"{one.criterion}: a comment holds at most {LONGEST:,} characters.")


def _keep(standardisation: Standardisation, by: User, one: Judged, now: datetime) -> BlindJudgement:
    kept, _ = BlindJudgement.objects.update_or_create(
        standardisation=standardisation,
        assessor=by,
        criterion=one.criterion,
        defaults={"outcome": one.outcome, "comment": one.comment.strip(), "judged_at": now},
    )
    return kept
