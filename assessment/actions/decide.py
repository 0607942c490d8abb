"""Decide on one criterion of one submission."""

from datetime import datetime
from typing import Any
from uuid import UUID

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction

from assessment.access import decidable_works
from assessment.models import Criterion, Decision, Feedback, Submission
from practicals import audit
from practicals.models import User

LONGEST_REASON = 300
UNCONFIRMED = (
    "Before “met”, confirm that the evidence is valid (it bears on this criterion) and sufficient (it covers "
    "all of it). If it is not, the criterion is not yet met."
)


class DecidedMeanwhile(ValidationError):
    """Somebody decided on this criterion after the page was shown."""

    def __init__(self, standing: Decision | None) -> None:
        self.standing = standing
        super().__init__(
            "This criterion was decided after you opened the page. Your text is kept; read the decision that "
            "stands now, then save yours with a reason if you still differ."
        )


def decide(
    *,
    by: User,
    submission: Submission,
    criterion: Criterion,
    outcome: str,
    comment: str,
    now: datetime,
    valid: bool | None = None,
    sufficient: bool | None = None,
    reason: str = "",
    seen_decision: UUID | None = None,
) -> Decision:
    """Keep a decision: met or not yet met, with a comment that says where and why.

    “Met” needs the assessor's word that the evidence bears on this criterion and covers all of it.

    A criterion already decided takes a new decision that supersedes the old one; once the result was
    released this needs a reason. `seen_decision` is the decision that the page showed, so that of two
    assessors who decide at once one is told and nothing is lost.
    """
    if not by.has_perm("assessment.decide") or not decidable_works(by).filter(pk=submission.work_id).exists():
        raise PermissionDenied
    _check(submission, criterion, outcome, comment)
    if outcome == Decision.Outcome.MET and not (valid and sufficient):
        raise ValidationError(UNCONFIRMED, code="unconfirmed")
    if len(reason) > LONGEST_REASON:
        raise ValidationError(f"A reason holds at most {LONGEST_REASON} characters. Shorten it.")
    with transaction.atomic():
        # The submission's row is the lock: the first decision on a criterion has no row to lock yet.
        Submission.objects.select_for_update().get(pk=submission.pk)
        standing = submission.decisions.filter(criterion=criterion, is_current=True).first()
        if (standing.uuid if standing else None) != seen_decision:
            raise DecidedMeanwhile(standing)
        chosen = {"outcome": outcome, "comment": comment, "valid": valid, "sufficient": sufficient}
        if standing and all(getattr(standing, name) == value for name, value in chosen.items()):
            return standing
        decision = _supersede(by, submission, criterion, chosen, standing, reason, now)
        audit.record(
            by=by,
            action="decide",
            subject=decision,
            sentence=f"{criterion} decided: {outcome}.",
            detail={"supersedes": str(standing.uuid)} if standing else {},
        )
    return decision


def _check(submission: Submission, criterion: Criterion, outcome: str, comment: str) -> None:
    if outcome not in Decision.Outcome.values:
        raise ValidationError("Choose “met” or “not yet met”.")
    if not comment.strip():
        raise ValidationError("Write a comment that says where the evidence is and why it is enough or not.")
    if not submission.work.assignment.brief.criteria.filter(pk=criterion.pk).exists():
        raise ValidationError("This criterion is not in the assignment's brief.")
    if submission.work.submissions.filter(attempt__gt=submission.attempt).exists():
        raise ValidationError("A later attempt was submitted. Decide on that one.")


def _supersede(
    by: User,
    submission: Submission,
    criterion: Criterion,
    chosen: dict[str, Any],
    standing: Decision | None,
    reason: str,
    now: datetime,
) -> Decision:
    if standing:
        released = Feedback.objects.filter(submission=submission, released_at__isnull=False).exists()
        if released and not reason.strip():
            raise ValidationError(
                "The learner has seen this decision. Give the reason for changing it.", code="reason"
            )
        standing.is_current = False
        standing.save(update_fields=["is_current"])
    try:
        with transaction.atomic():
            return Decision.objects.create(
                submission=submission,
                criterion=criterion,
                assessor=by,
                decided_at=now,
                supersedes=standing,
                reason=reason.strip() or ("changed before release" if standing else ""),
                **chosen,
            )
    except IntegrityError as error:
        raise DecidedMeanwhile(None) from error
