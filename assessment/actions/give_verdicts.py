"""Save the verdicts of one page together: all of them, or none."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import ValidationError
from django.db import transaction

from assessment.actions.give_verdict import give_verdict
from assessment.actions.open_record import open_record
from assessment.models import Decision, SampledPortfolio, VerificationRecord
from practicals.models import User


@dataclass(frozen=True, slots=True)
class VerdictEntry:
    """What was typed about one decision, and what the page showed of it."""

    decision: Decision
    verdict: str
    comment: str
    seen_at: datetime | None = None


class VerdictsRefused(ValidationError):
    """One or more verdicts cannot be kept; `by_decision` says why, by the decision's key."""

    def __init__(self, by_decision: dict[int, str]) -> None:
        self.by_decision = by_decision
        super().__init__(list(by_decision.values()))


def give_verdicts(
    *, by: User, sampled: SampledPortfolio, entries: Iterable[VerdictEntry], now: datetime
) -> VerificationRecord:
    """Begin the record if need be and save every entry that is not left empty. Raises `VerdictsRefused`."""
    refused: dict[int, str] = {}
    with transaction.atomic():
        record = open_record(by=by, sampled=sampled, now=now)
        for entry in entries:
            if not entry.verdict and not entry.comment.strip():
                continue
            try:
                give_verdict(
                    by=by,
                    record=record,
                    decision=entry.decision,
                    verdict=entry.verdict,
                    comment=entry.comment,
                    seen_at=entry.seen_at,
                    now=now,
                )
            except ValidationError as error:
                refused[entry.decision.pk] = error.messages[0]
        if refused:
            raise VerdictsRefused(refused)
    return record
