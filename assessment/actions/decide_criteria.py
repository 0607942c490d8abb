"""Decide on several criteria of one submission at once: all are kept, or none."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from uuid import UUID

from django.core.exceptions import ValidationError
from django.db import transaction

from assessment.actions.decide import decide
from assessment.models import Criterion, Decision, Submission
from practicals.models import User


@dataclass(frozen=True)
class CriterionDecision:
    """What an assessor chose and wrote for one criterion, and the decision their page showed."""

    criterion: Criterion
    outcome: str
    comment: str
    reason: str = ""
    seen_decision: UUID | None = None
    valid: bool | None = None
    sufficient: bool | None = None


class SomeRefused(ValidationError):
    """At least one decision could not be kept, so none was; `errors` has why, by the criterion's key."""

    def __init__(self, errors: dict[int, ValidationError]) -> None:
        self.errors = errors
        super().__init__("None of the decisions was saved; see what is said at the criteria.")


def decide_criteria(
    *, by: User, submission: Submission, decisions: Sequence[CriterionDecision], now: datetime
) -> list[Decision]:
    """Keep them together, so that a person who is told of an error knows that nothing was saved."""
    kept: list[Decision] = []
    errors: dict[int, ValidationError] = {}
    with transaction.atomic():
        for chosen in decisions:
            try:
                kept.append(
                    decide(
                        by=by,
                        submission=submission,
                        criterion=chosen.criterion,
                        outcome=chosen.outcome,
                        comment=chosen.comment,
                        valid=chosen.valid,
                        sufficient=chosen.sufficient,
                        reason=chosen.reason,
                        seen_decision=chosen.seen_decision,
                        now=now,
                    )
                )
            except ValidationError as error:
                errors[chosen.criterion.pk] = error
        if errors:
            raise SomeRefused(errors)
    return kept
