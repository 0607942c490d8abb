"""Sign a verification record: the verdicts, the quality of what was seen, and what follows."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction

from assessment.actions.give_verdict import LONGEST_COMMENT, own_open_record
from assessment.actions.raise_action import ActionWanted, keep_action
from assessment.models import CriterionVerdict, VerificationRecord
from practicals import audit
from practicals.models import User


@dataclass(frozen=True, slots=True)
class Qualities:
    """Of the evidence, the feedback and the records: sound, mixed or weak."""

    evidence: str = VerificationRecord.Quality.SOUND
    feedback: str = VerificationRecord.Quality.SOUND
    records: str = VerificationRecord.Quality.SOUND


def sign_record(
    *,
    by: User,
    record: VerificationRecord,
    feedback_comment: str,
    now: datetime,
    qualities: Qualities | None = None,
    actions: Sequence[ActionWanted] = (),
) -> VerificationRecord:
    """Sign, when every standing decision has a verdict and every disagreement an action on its assessor.

    What is signed stays; signing twice is refused. No decision is touched.
    """
    found, comment = qualities or Qualities(), feedback_comment.strip()
    _check(found, comment)
    with transaction.atomic():
        record = own_open_record(by, record)
        _refuse_unfinished(record)
        _refuse_unanswerable(record, actions)
        for wanted in actions:
            keep_action(by=by, record=record, wanted=wanted, now=now)
        record.evidence_quality, record.feedback_quality = found.evidence, found.feedback
        record.records_quality, record.feedback_comment = found.records, comment
        record.signed_at = now
        record.save()
        audit.record(by=by, action="sign_record", subject=record, sentence="Verification record signed.")
    return record


def _check(qualities: Qualities, comment: str) -> None:
    given = (qualities.evidence, qualities.feedback, qualities.records)
    if not set(given) <= set(VerificationRecord.Quality.values):
        raise ValidationError("Say of the evidence, the feedback and the records how good they are.")
    if set(given) != {VerificationRecord.Quality.SOUND} and not comment:
        raise ValidationError("Write what is not sound in the evidence, the feedback or the records.")
    if len(comment) > LONGEST_COMMENT:
        raise ValidationError(f"A comment holds at most {LONGEST_COMMENT:,} characters. Shorten it.")


def _refuse_unfinished(record: VerificationRecord) -> None:
    decisions = record.sampled.submission.decisions.filter(is_current=True)
    without = decisions.exclude(verdicts__record=record)
    codes = ", ".join(without.values_list("criterion__code", flat=True))
    if codes:
        raise ValidationError(f"No verdict yet on {codes}. Give one before you sign.")
    if not decisions.exists():
        raise ValidationError("No decision stands in this portfolio, so there is nothing to sign.")


def disagreements(record: VerificationRecord) -> list[CriterionVerdict]:
    """Verdicts on standing decisions that ask something of the assessor."""
    verdicts = record.verdicts.filter(verdict=CriterionVerdict.Verdict.DISAGREE, decision__is_current=True)
    return list(verdicts.select_related("decision__criterion", "decision__assessor"))


def _refuse_unanswerable(record: VerificationRecord, actions: Sequence[ActionWanted]) -> None:
    answered = {wanted.verdict.pk for wanted in actions if wanted.verdict}
    answered |= set(record.actions.exclude(verdict=None).values_list("verdict", flat=True))
    missing = [found for found in disagreements(record) if found.pk not in answered]
    if missing:
        codes = ", ".join(str(found.decision.criterion) for found in missing)
        raise ValidationError(
            f"You disagree on {codes}: say by when the assessor is to look at it again. The decision stays "
            "until they take a new one."
        )
