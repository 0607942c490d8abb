"""Write, as a witness, what was seen of one learner, and sign it."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import statements_to_write
from assessment.calculations.repeated_words import LEAST_WORDS, words_of_its_own
from assessment.models import WitnessStatement
from practicals import audit
from practicals.models import User
from reagents.models import claim_version

LONGEST_SAW, LONGEST_ROLE = 4000, 80


def write_statement(
    *,
    by: User,
    statement: WitnessStatement,
    saw: str,
    witness_role: str,
    sign: bool,
    seen_version: int,
    now: datetime,
) -> WitnessStatement:
    """Save the draft, and sign it if asked to. Raises `Stale` when another tab was first."""
    if not statements_to_write(by).filter(pk=statement.pk).exists():
        raise PermissionDenied
    saw, witness_role = saw.strip(), witness_role.strip()
    if not witness_role or len(witness_role) > LONGEST_ROLE:
        raise ValidationError(f"Say in which role you saw it, in at most {LONGEST_ROLE} characters.")
    if len(saw) > LONGEST_SAW:
        raise ValidationError(
            f"A statement holds {LONGEST_SAW} characters; yours has {len(saw)}. Shorten it."
        )
    with transaction.atomic():
        statement = WitnessStatement.objects.select_for_update().get(pk=statement.pk)
        if statement.withdrawn_at:
            raise ValidationError("The assessor needs this statement no more, so it cannot be written.")
        if statement.signed_at:
            raise ValidationError("You signed this statement; it stays as you signed it.")
        claim_version(statement, seen_version)
        copied = [text for one in statement.criteria.all() for text in (one.text, one.code)]
        if sign and words_of_its_own(saw, copied) < LEAST_WORDS:
            raise ValidationError("Write what you saw this learner do, in a sentence of your own.")
        statement.saw, statement.witness_role = saw, witness_role
        statement.signed_at = now if sign else None
        statement.save()
        audit.record(
            by=by,
            action="write_statement",
            subject=statement,
            sentence="Witness statement signed." if sign else "Witness statement drafted.",
        )
    return statement
