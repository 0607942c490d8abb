"""Accept a witness statement and say what it is worth. It supports; it sets no criterion."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import asked_statements
from assessment.models import WitnessStatement
from practicals import audit
from practicals.models import User

LONGEST_WORTH = 300


def accept_statement(*, by: User, statement: WitnessStatement, worth: str, now: datetime) -> WitnessStatement:
    """Only who asked for it accepts it, once, after the witness has signed."""
    if not asked_statements(by).filter(pk=statement.pk).exists():
        raise PermissionDenied
    worth = worth.strip()
    if not worth or len(worth) > LONGEST_WORTH:
        raise ValidationError(f"Say what the statement shows, in at most {LONGEST_WORTH} characters.")
    with transaction.atomic():
        statement = WitnessStatement.objects.select_for_update().get(pk=statement.pk)
        if statement.withdrawn_at:
            raise ValidationError("This statement was withdrawn before.")
        if statement.signed_at is None:
            raise ValidationError("The witness has not signed yet.")
        if statement.accepted_at:
            raise ValidationError("You accepted this statement before; what you said of it stays.")
        statement.accepted_at, statement.accepted_by, statement.worth = now, by, worth
        statement.version += 1
        statement.save()
        audit.record(
            by=by, action="accept_statement", subject=statement, sentence="Witness statement accepted."
        )
    return statement
