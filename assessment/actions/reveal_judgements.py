"""Reveal the blind judgements to everybody who takes part, all at once."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.models import Standardisation
from assessment.models.standardising import have_judged
from practicals import audit
from practicals.models import User


def reveal_judgements(*, by: User, standardisation: Standardisation, now: datetime) -> Standardisation:
    """From two judgements on. Whoever has not judged by then is left out. Twice changes nothing."""
    if not by.has_perm("assessment.standardise"):
        raise PermissionDenied
    with transaction.atomic():
        held = Standardisation.objects.select_for_update().get(pk=standardisation.pk)
        if held.revealed_at:
            return held
        if standardisation.assessors.filter(pk=by.pk).exists() and by.pk not in have_judged(held):
            raise ValidationError("You were asked to judge this piece: judge it before you see the others.")
        if len(have_judged(held)) < 2:
            raise ValidationError("Fewer than two have judged, so there is nothing to compare yet.")
        held.revealed_at = now
        held.save(update_fields=["revealed_at"])
        audit.record(by=by, action="reveal_judgements", subject=held, sentence="Judgements revealed.")
    return held
