"""Take back a witness statement that was asked for: not needed any more, or not to be relied on."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import asked_statements
from assessment.models import WitnessStatement
from practicals import audit
from practicals.models import User

LONGEST_REASON = 200


def withdraw_statement(
    *, by: User, statement: WitnessStatement, reason: str, now: datetime
) -> WitnessStatement:
    """It is kept; work that was handed in keeps it as it was frozen."""
    if not asked_statements(by).filter(pk=statement.pk).exists():
        raise PermissionDenied
    reason = reason.strip()
    if not reason or len(reason) > LONGEST_REASON:
        raise ValidationError(f"Write why it is withdrawn, in at most {LONGEST_REASON} characters.")
    with transaction.atomic():
        statement = WitnessStatement.objects.select_for_update().get(pk=statement.pk)
        if statement.withdrawn_at:
            raise ValidationError("This statement was withdrawn before.")
        statement.withdrawn_at, statement.withdrawn_reason = now, reason
        statement.version += 1
        statement.save()
        audit.record(
            by=by, action="withdraw_statement", subject=statement, sentence="Witness statement withdrawn."
        )
    return statement
