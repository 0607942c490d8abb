"""Let the learner see the decisions and the feedback of one attempt."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import decidable_works
from assessment.models import AssessorDeclaration, Feedback, Submission
from assessment.models.holding import held
from practicals import audit
from practicals.models import User


def release(*, by: User, submission: Submission, now: datetime) -> Feedback:
    """Release them together, when every criterion is decided. Releasing twice changes nothing."""
    if not by.has_perm("assessment.decide") or not decidable_works(by).filter(pk=submission.work_id).exists():
        raise PermissionDenied
    with transaction.atomic():
        # As when feedback is written or a criterion decided: a draft saved at this moment must not take
        # the release back, nor a new decision slip in under it.
        Submission.objects.select_for_update().get(pk=submission.pk)
        _refuse_undecided(submission)
        feedback = Feedback.objects.select_for_update().filter(submission=submission).first()
        if feedback is None:
            raise ValidationError("Write the feedback first; it is released together with the decisions.")
        if feedback.released_at:
            return feedback
        _refuse_undeclared(submission)
        if held(submission):
            raise ValidationError(
                "This assignment's results wait for the sample to be verified. Release them after that."
            )
        feedback.released_at = now
        feedback.save(update_fields=["released_at"])
        audit.record(by=by, action="release", subject=feedback, sentence="Result released.")
    return feedback


def _refuse_undeclared(submission: Submission) -> None:
    if not AssessorDeclaration.objects.filter(submission=submission).exists():
        raise ValidationError(
            "Declare first that the work is authentic and current; this is asked once per submission."
        )


def _refuse_undecided(submission: Submission) -> None:
    decided = submission.decisions.filter(is_current=True).values("criterion")
    undecided = submission.work.assignment.brief.criteria.exclude(pk__in=decided)
    codes = ", ".join(undecided.values_list("code", flat=True))
    if codes:
        raise ValidationError(f"Still to decide: {codes}. The learner sees all decisions together.")
