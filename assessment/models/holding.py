"""Whether results wait for the verifier before learners see them."""

from django.db.models import Exists, OuterRef, Q, QuerySet

from assessment.models.evidence import Submission
from assessment.models.follow_up import VerificationAction
from assessment.models.verification import SampledPortfolio


def held_submissions() -> QuerySet[Submission]:
    """What may not be released yet, of assignments that hold results until the sample is verified.

    Until a sample is drawn from the assignment all of it waits, since anything may be drawn; from then on
    what was drawn, until its record is signed and its actions are closed: so a correction reaches each
    learner once.
    """
    holding = Submission.objects.filter(work__assignment__hold_until_verified=True)
    of_assignment = SampledPortfolio.objects.filter(submission__work__assignment=OuterRef("work__assignment"))
    return holding.filter(~Exists(of_assignment) | _in_verification())


def held(submission: Submission) -> bool:
    """Whether this result may not be released yet."""
    if not submission.work.assignment.hold_until_verified:
        return False
    return held_submissions().filter(pk=submission.pk).exists()


def _in_verification() -> Q:
    sampled = SampledPortfolio.objects.filter(submission=OuterRef("pk"))
    unsigned = sampled.filter(Q(record=None) | Q(record__signed_at=None))
    waiting = VerificationAction.objects.filter(record__sampled__submission=OuterRef("pk"), closed_at=None)
    return Q(Exists(unsigned)) | Q(Exists(waiting))
