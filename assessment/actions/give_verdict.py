"""Agree or disagree with one decision, as part of a verification record."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import verifiable_portfolios
from assessment.models import CriterionVerdict, Decision, VerificationRecord
from practicals import audit
from practicals.models import User

LONGEST_COMMENT = 5_000


class VerdictMeanwhile(ValidationError):
    """The same verifier saved another verdict after this page was opened."""

    def __init__(self, standing: CriterionVerdict) -> None:
        self.standing = standing
        words = f"“{standing.verdict}”" + (f", “{standing.comment}”" if standing.comment else "")
        super().__init__(
            f"You saved another verdict on this after you opened the page: {words}. What you typed now is "
            "kept; save again if it is to stand instead."
        )


class DecisionSuperseded(ValidationError):
    """The assessor took a new decision after the page was opened."""

    def __init__(self) -> None:
        super().__init__(
            "The assessor has taken a new decision on this. What you typed is kept; read the decision that "
            "stands now, then save again."
        )


def give_verdict(
    *,
    by: User,
    record: VerificationRecord,
    decision: Decision,
    verdict: str,
    comment: str,
    now: datetime,
    seen_at: datetime | None = None,
) -> CriterionVerdict:
    """Keep a verdict. It never touches the decision: a disagreement is the assessor's to answer.

    `seen_at` is the time of the verdict that the page showed, None if it showed none. Raises
    `VerdictMeanwhile` or `DecisionSuperseded` when something else stands by now.
    """
    with transaction.atomic():
        record = own_open_record(by, record)
        standing = _standing(record, decision)
        if standing.assessor_id == by.pk:
            raise PermissionDenied("Nobody verifies their own decision.")
        comment = comment.strip()
        _check(standing, verdict, comment)
        found = CriterionVerdict.objects.filter(record=record, decision=standing).first()
        given = found or CriterionVerdict(record=record, decision=standing)
        if (given.verdict, given.comment) == (verdict, comment):
            return given
        if found and found.at != seen_at:
            raise VerdictMeanwhile(found)
        given.verdict, given.comment, given.at = verdict, comment, now
        given.save()
        audit.record(
            by=by, action="give_verdict", subject=given, sentence=f"{standing.criterion}: {verdict}."
        )
    return given


def own_open_record(by: User, record: VerificationRecord) -> VerificationRecord:
    """The record's row, held until the end of the transaction, if `by` may write in it."""
    may = by.has_perm("assessment.verify") and verifiable_portfolios(by).filter(pk=record.sampled_id).exists()
    if not may or record.verifier_id != by.pk:
        raise PermissionDenied
    held: VerificationRecord = VerificationRecord.objects.select_for_update().get(pk=record.pk)
    if held.signed_at:
        raise ValidationError("This record is signed and stays as it is.")
    return held


def _standing(record: VerificationRecord, decision: Decision) -> Decision:
    now_standing = Decision.objects.select_related("criterion").filter(
        pk=decision.pk, submission=record.sampled.submission_id, is_current=True
    )
    found = now_standing.first()
    if found is None:
        raise DecisionSuperseded
    return found


def _check(decision: Decision, verdict: str, comment: str) -> None:
    if verdict not in CriterionVerdict.Verdict.values:
        raise ValidationError("Choose agree, disagree or cannot tell.")
    if verdict != CriterionVerdict.Verdict.AGREE and not comment:
        why = "disagree" if verdict == CriterionVerdict.Verdict.DISAGREE else "cannot tell"
        raise ValidationError(f"{decision.criterion}: write why you {why}; the assessor answers it.")
    if len(comment) > LONGEST_COMMENT:
        raise ValidationError(f"A comment holds at most {LONGEST_COMMENT:,} characters. Shorten it.")
