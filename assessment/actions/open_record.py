"""Begin, or go on with, the verification of one sampled portfolio."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import verifiable_portfolios
from assessment.models import SampledPortfolio, VerificationRecord
from practicals import audit
from practicals.models import User


class AnotherVerifier(ValidationError):
    """Somebody else looks at this portfolio already."""

    def __init__(self) -> None:
        super().__init__("Another verifier has begun this portfolio. Choose one that is free.")


def open_record(*, by: User, sampled: SampledPortfolio, now: datetime) -> VerificationRecord:
    """The portfolio's record, which has one verifier: whoever begins it. Raises `AnotherVerifier`."""
    may = by.has_perm("assessment.verify") and verifiable_portfolios(by).filter(pk=sampled.pk).exists()
    if not may:
        raise PermissionDenied
    with transaction.atomic():
        SampledPortfolio.objects.select_for_update().get(pk=sampled.pk)
        record = VerificationRecord.objects.filter(sampled=sampled).first()
        if record is None:
            record = VerificationRecord.objects.create(sampled=sampled, verifier=by, opened_at=now)
            audit.record(by=by, action="open_record", subject=record, sentence="Verification begun.")
        if record.verifier_id != by.pk:
            raise AnotherVerifier
    return record
