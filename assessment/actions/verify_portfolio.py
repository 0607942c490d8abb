"""Look at one sampled portfolio: open the record, give verdicts, sign."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction

from assessment.access import verifiable_portfolios
from assessment.models import CriterionVerdict, Decision, SampledPortfolio, VerificationRecord
from practicals import audit
from practicals.models import User


def open_record(*, by: User, sampled: SampledPortfolio, now: datetime) -> VerificationRecord:
    """Begin, or go on with, the record of a sampled portfolio. It has one verifier."""
    if not verifiable_portfolios(by).filter(pk=sampled.pk).exists():
        raise PermissionDenied
    with transaction.atomic():
        SampledPortfolio.objects.select_for_update().get(pk=sampled.pk)
        record = VerificationRecord.objects.filter(sampled=sampled).first()
        if record is None:
            record = VerificationRecord.objects.create(sampled=sampled, verifier=by, opened_at=now)
            audit.record(by=by, action="open_record", subject=record, sentence="Verification begun.")
        if record.verifier_id != by.pk:
            raise ValidationError("Another verifier has begun this portfolio. Choose one that is free.")
    return record


def give_verdict(
    *, by: User, record: VerificationRecord, decision: Decision, verdict: str, comment: str, now: datetime
) -> CriterionVerdict:
    """Agree or disagree with one decision. Never touches it: a disagreement is the assessor's to answer."""
    record = _own_open(by, record)
    if decision.submission_id != record.sampled.submission_id or not decision.is_current:
        raise ValidationError("This decision no longer stands. Open the portfolio again.")
    if decision.assessor_id == by.pk:
        raise PermissionDenied("Nobody verifies their own decision.")
    if verdict not in CriterionVerdict.Verdict.values:
        raise ValidationError("Choose agree, disagree or cannot tell.")
    if verdict != CriterionVerdict.Verdict.AGREE and not comment.strip():
        raise ValidationError(f"{decision.criterion}: say why you {verdict}; the assessor answers it.")
    with transaction.atomic():
        found = CriterionVerdict.objects.select_for_update().filter(record=record, decision=decision).first()
        given = found or CriterionVerdict(record=record, decision=decision)
        if (given.verdict, given.comment) == (verdict, comment):
            return given
        given.verdict, given.comment, given.at = verdict, comment, now
        try:
            given.save()
        except IntegrityError as error:
            raise ValidationError("This verdict was saved twice. Open the portfolio again.") from error
        audit.record(
            by=by, action="give_verdict", subject=given, sentence=f"{decision.criterion}: {verdict}."
        )
    return given


def sign_record(
    *, by: User, record: VerificationRecord, feedback_comment: str, now: datetime
) -> VerificationRecord:
    """Sign, when every standing decision has a verdict. What is signed stays."""
    record = _own_open(by, record)
    open_decisions = record.sampled.submission.decisions.filter(is_current=True).exclude(
        verdicts__record=record
    )
    codes = ", ".join(open_decisions.values_list("criterion__code", flat=True))
    if codes:
        raise ValidationError(f"No verdict yet on {codes}.")
    with transaction.atomic():
        record = VerificationRecord.objects.select_for_update().get(pk=record.pk)
        record.feedback_comment, record.signed_at = feedback_comment, now
        record.save(update_fields=["feedback_comment", "signed_at"])
        audit.record(by=by, action="sign_record", subject=record, sentence="Verification record signed.")
    return record


def _own_open(by: User, record: VerificationRecord) -> VerificationRecord:
    may = by.has_perm("assessment.verify") and verifiable_portfolios(by).filter(pk=record.sampled_id).exists()
    if not may or record.verifier_id != by.pk:
        raise PermissionDenied
    if record.signed_at:
        raise ValidationError("This record is signed and stays as it is.")
    return record
