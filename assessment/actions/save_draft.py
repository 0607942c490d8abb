"""Write down what one thinks about a criterion without deciding; nobody else sees it."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import decidable_works
from assessment.models import Criterion, Decision, DecisionDraft, Submission
from practicals import audit
from practicals.models import User
from reagents.models import claim_version


def save_draft(
    *,
    by: User,
    submission: Submission,
    criterion: Criterion,
    outcome: str,
    comment: str,
    now: datetime,
    valid: bool | None = None,
    sufficient: bool | None = None,
    seen_version: int | None = None,
) -> DecisionDraft:
    """Keep the draft; raises `Stale` when it was saved in another tab since. A decision later uses it up."""
    if not by.has_perm("assessment.decide") or not decidable_works(by).filter(pk=submission.work_id).exists():
        raise PermissionDenied
    if outcome not in ("", *Decision.Outcome.values):
        raise ValidationError("Choose “met” or “not yet met”, or leave it open.")
    if not submission.work.assignment.brief.criteria.filter(pk=criterion.pk).exists():
        raise ValidationError("This criterion is not in the assignment's brief.")
    with transaction.atomic():
        Submission.objects.select_for_update().get(pk=submission.pk)
        draft = DecisionDraft.objects.filter(submission=submission, criterion=criterion, assessor=by).first()
        if draft is None:
            draft = DecisionDraft(submission=submission, criterion=criterion, assessor=by)
        else:
            claim_version(draft, seen_version or 0)
        draft.outcome, draft.comment, draft.saved_at = outcome, comment, now
        draft.valid, draft.sufficient = valid, sufficient
        draft.save()
        # What it says stays out of the audit: a draft is private.
        audit.record(by=by, action="save_draft", subject=draft, sentence=f"Draft on {criterion} saved.")
    return draft
