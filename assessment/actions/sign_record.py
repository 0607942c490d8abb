"""Sign a verification record."""

from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction

from assessment.actions.give_verdict import LONGEST_COMMENT, own_open_record
from assessment.models import VerificationRecord
from practicals import audit
from practicals.models import User


def sign_record(
    *, by: User, record: VerificationRecord, feedback_comment: str, now: datetime
) -> VerificationRecord:
    """Sign, when every standing decision has a verdict. What is signed stays; signing twice is refused."""
    if len(feedback_comment) > LONGEST_COMMENT:
        raise ValidationError(f"A comment holds at most {LONGEST_COMMENT:,} characters. Shorten it.")
    with transaction.atomic():
        record = own_open_record(by, record)
        decisions = record.sampled.submission.decisions.filter(is_current=True)
        without = decisions.exclude(verdicts__record=record)
        codes = ", ".join(without.values_list("criterion__code", flat=True))
        if codes:
            raise ValidationError(f"No verdict yet on {codes}. Give one before you sign.")
        if not decisions.exists():
            raise ValidationError("No decision stands in this portfolio, so there is nothing to sign.")
        record.feedback_comment, record.signed_at = feedback_comment.strip(), now
        record.save(update_fields=["feedback_comment", "signed_at"])
        audit.record(by=by, action="sign_record", subject=record, sentence="Verification record signed.")
    return record
