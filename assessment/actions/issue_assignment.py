"""Hand an assignment out to its class."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import readable_assignments
from assessment.actions.save_policy import standing_policy
from assessment.models import Assignment, Work
from practicals import audit
from practicals.models import User


def issue_assignment(*, by: User, assignment: Assignment, now: datetime) -> Assignment:
    """Let the learners see it, those too who joined the class since it was made.

    The brief must be signed off; issuing twice changes nothing.
    """
    may = by.has_perm("assessment.make_assignment")
    if not may or not readable_assignments(by).filter(pk=assignment.pk).exists():
        raise PermissionDenied
    if assignment.brief.signed_off_at is None:
        raise ValidationError(
            "The brief is not signed off yet. An internal verifier who did not write it must check it first."
        )
    with transaction.atomic():
        assignment = Assignment.objects.select_for_update(of=("self",)).get(pk=assignment.pk)
        if assignment.issued_at:
            return assignment
        assignment.issued_at, assignment.issued_by = now, by
        assignment.policy = standing_policy(now=now)
        assignment.hold_until_verified = assignment.policy.hold_until_verified
        assignment.save(update_fields=["issued_at", "issued_by", "policy", "hold_until_verified"])
        joined = assignment.teaching_class.learners().exclude(works__assignment=assignment)
        Work.objects.bulk_create(
            Work(assignment=assignment, learner=learner, assessor=assignment.assessor) for learner in joined
        )
        # From now on the deadline is one that was given: it stands with each learner's work.
        assignment.works.filter(due_at=None).update(due_at=assignment.due_at)
        audit.record(by=by, action="issue_assignment", subject=assignment, sentence="Assignment issued.")
    return assignment
