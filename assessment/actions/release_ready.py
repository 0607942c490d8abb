"""Release every result of an assignment that is ready, in one act."""

from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import decidable_works
from assessment.actions.release import release
from assessment.models import Assignment, Feedback, Work
from assessment.models.marking import newest_submission
from practicals import audit
from practicals.models import User


@dataclass(frozen=True)
class NotReady:
    """A submitted work whose result stayed back, and why."""

    work: Work
    why: str


@dataclass(frozen=True)
class Released:
    """What went out and what stayed back."""

    released: tuple[Feedback, ...]
    kept_back: tuple[NotReady, ...]


def release_ready(*, by: User, assignment: Assignment, now: datetime) -> Released:
    """Release what this assessor decided, declared and wrote feedback on; say why the rest stays back."""
    if not by.has_perm("assessment.decide"):
        raise PermissionDenied
    works = list(decidable_works(by).filter(assignment=assignment).for_marking())
    if not works:
        raise PermissionDenied
    released: list[Feedback] = []
    kept_back: list[NotReady] = []
    with transaction.atomic():
        for work in works:
            submission = newest_submission(work)
            if submission is None or _is_out(submission):
                continue
            try:
                released.append(release(by=by, submission=submission, now=now))
            except ValidationError as error:
                kept_back.append(NotReady(work, " ".join(error.messages)))
        audit.record(
            by=by,
            action="release_ready",
            subject=assignment,
            sentence=f"{len(released)} results released together; {len(kept_back)} stayed back.",
        )
    return Released(tuple(released), tuple(kept_back))


def _is_out(submission: object) -> bool:
    feedback = getattr(submission, "feedback", None)
    return bool(feedback and feedback.released_at)
