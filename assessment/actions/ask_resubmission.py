"""The assessor asks the lead verifier for one more attempt."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import decidable_works
from assessment.calculations.attempts import why_no_resubmission
from assessment.models import ResubmissionGrant, Submission
from assessment.models.attempt_state import facts_of_attempt, rules_of
from practicals import audit
from practicals.models import User


def ask_resubmission(*, by: User, submission: Submission, because: str, now: datetime) -> ResubmissionGrant:
    """Ask, saying why the learner can do better unaided. Refused with a sentence where policy says no."""
    if not by.has_perm("assessment.decide") or not decidable_works(by).filter(pk=submission.work_id).exists():
        raise PermissionDenied
    if not because.strip():
        raise ValidationError("Write why you think that the learner can do better without further guidance.")
    with transaction.atomic():
        submission = Submission.objects.select_for_update(of=("self",)).get(pk=submission.pk)
        if submission.work.submissions.filter(attempt__gt=submission.attempt).exists():
            raise ValidationError("A later attempt is handed in already.")
        obstacles = why_no_resubmission(facts_of_attempt(submission), rules_of(submission.work.assignment))
        if obstacles:
            raise ValidationError(" ".join(obstacles))
        asked: ResubmissionGrant = ResubmissionGrant.objects.create(
            submission=submission, asked_by=by, asked_at=now, asked_because=because.strip()
        )
        audit.record(by=by, action="ask_resubmission", subject=asked, sentence="Resubmission asked for.")
    return asked
