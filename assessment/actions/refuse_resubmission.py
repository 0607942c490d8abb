"""The lead verifier refuses one more attempt, with the reason."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction

from assessment.actions.authorise_resubmission import answerable
from assessment.models import ResubmissionGrant
from practicals import audit
from practicals.models import User


def refuse_resubmission(
    *, by: User, grant: ResubmissionGrant, reason: str, now: datetime
) -> ResubmissionGrant:
    """Refuse, with the reason that the assessor reads. Refusing twice changes nothing."""
    grant = answerable(by, grant)
    if not reason.strip():
        raise ValidationError("Write why it is refused; the assessor reads it.")
    with transaction.atomic():
        grant = ResubmissionGrant.objects.select_for_update(of=("self",)).get(pk=grant.pk)
        if grant.refused_at:
            return grant
        if grant.authorised_at:
            raise ValidationError("It was authorised before; a deadline that a learner was given stays.")
        grant.refused_at, grant.refused_reason = now, reason.strip()
        grant.save(update_fields=["refused_at", "refused_reason"])
        audit.record(by=by, action="refuse_resubmission", subject=grant, sentence="Resubmission refused.")
    return grant
