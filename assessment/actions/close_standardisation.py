"""Record how each criterion is to be read from now on, and end the standardisation."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.models import AgreedReading, Criterion, Decision, Standardisation
from assessment.models.standardising import criteria_of
from practicals import audit
from practicals.models import User

LONGEST = 5_000


@dataclass(frozen=True, slots=True)
class Reading:
    criterion: Criterion
    outcome: str
    reading: str


def close_standardisation(
    *, by: User, standardisation: Standardisation, readings: Sequence[Reading], outcome: str, now: datetime
) -> Standardisation:
    """After revealing. No decision on the piece is touched; what is recorded stays."""
    if not by.has_perm("assessment.standardise"):
        raise PermissionDenied
    with transaction.atomic():
        held = Standardisation.objects.select_for_update().get(pk=standardisation.pk)
        if held.revealed_at is None:
            raise ValidationError("Reveal the judgements first; what is agreed comes of comparing them.")
        if held.closed_at:
            raise ValidationError("The agreed reading is recorded already and stays.")
        _check(held, readings, outcome)
        AgreedReading.objects.bulk_create(
            AgreedReading(
                standardisation=held,
                criterion=one.criterion,
                outcome=one.outcome,
                reading=one.reading.strip(),
            )
            for one in readings
        )
        held.outcome, held.closed_at = outcome.strip(), now
        held.save(update_fields=["outcome", "closed_at"])
        audit.record(by=by, action="close_standardisation", subject=held, sentence="Agreed reading recorded.")
    return held


def _check(standardisation: Standardisation, readings: Sequence[Reading], outcome: str) -> None:
    asked = {criterion.pk for criterion in criteria_of(standardisation)}
    if {one.criterion.pk for one in readings} != asked or len(readings) != len(asked):
        raise ValidationError("Record a reading of every criterion, each once.")
    for one in readings:
        if one.outcome not in Decision.Outcome.values:
            raise ValidationError(f"{one.criterion}: choose “met” or “not yet met”.")
        if not one.reading.strip():
            raise ValidationError(f"{one.criterion}: write how it is to be read.")
    if not outcome.strip():
        raise ValidationError("Write in a few words what was agreed.")
    if max(len(outcome), *(len(one.reading) for one in readings)) > LONGEST:
        raise ValidationError(f"A text holds at most {LONGEST:,} characters. Shorten it.")
