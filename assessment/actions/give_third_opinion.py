"""Where assessor and verifier still differ, a third person says how the criterion is read."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction

from assessment.access import verdicts_for_a_third
from assessment.actions.raise_action import LONGEST
from assessment.models import CriterionVerdict, Decision, ThirdOpinion
from practicals import audit
from practicals.models import User


def give_third_opinion(
    *, by: User, verdict: CriterionVerdict, outcome: str, reason: str, now: datetime
) -> ThirdOpinion:
    """Keep the opinion. The decision stays the assessor's to take; the action cannot close against it."""
    if not by.has_perm("assessment.verify") or not verdicts_for_a_third(by).filter(pk=verdict.pk).exists():
        raise PermissionDenied
    if outcome not in Decision.Outcome.values:
        raise ValidationError("Choose “met” or “not yet met”.")
    if not reason.strip():
        raise ValidationError("Write how you read the criterion and where the evidence shows it.")
    if len(reason) > LONGEST:
        raise ValidationError(f"A reason holds at most {LONGEST:,} characters. Shorten it.")
    try:
        with transaction.atomic():
            given = ThirdOpinion.objects.create(
                verdict=verdict, person=by, outcome=outcome, reason=reason.strip(), given_at=now
            )
            audit.record(
                by=by, action="give_third_opinion", subject=given, sentence=f"Third opinion: {outcome}."
            )
    except IntegrityError as error:
        raise ValidationError("Somebody has given the third opinion already. It stays.") from error
    return given
