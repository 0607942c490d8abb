"""Write the feedback of one submission, kept private until it is released."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import decidable_works
from assessment.models import Feedback, Submission
from practicals import audit
from practicals.models import User
from reagents.models import claim_version


def give_feedback(
    *, by: User, submission: Submission, text: str, seen_version: int | None, now: datetime
) -> Feedback:
    """Save the draft. Raises `Stale` on a second tab; released feedback stays as it was read."""
    if not by.has_perm("assessment.decide") or not decidable_works(by).filter(pk=submission.work_id).exists():
        raise PermissionDenied
    if not text.strip():
        raise ValidationError("Write what was met, what was not and why.")
    with transaction.atomic():
        Submission.objects.select_for_update().get(pk=submission.pk)
        feedback = Feedback.objects.filter(submission=submission).first()
        if feedback is None:
            feedback = Feedback(submission=submission)
        elif feedback.released_at:
            raise ValidationError("This feedback was released and stays as the learner read it.")
        else:
            claim_version(feedback, seen_version or 0)
        feedback.text, feedback.by, feedback.written_at = text, by, now
        feedback.save()
        audit.record(by=by, action="give_feedback", subject=feedback, sentence="Feedback written.")
    return feedback
