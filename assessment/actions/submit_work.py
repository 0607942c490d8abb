"""Hand a work in: the learner declares it their own, and its evidence is frozen."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import own_works
from assessment.actions.gather_evidence import gather_evidence, readings_of
from assessment.actions.save_writing import AlreadySubmitted
from assessment.calculations.manifest import digest, freeze
from assessment.models import EvidencePart, Submission, Work
from practicals import audit
from practicals.models import User

SCHEMA_VERSION = 1
DECLARATION = (
    "This work is my own. The readings are those I took myself unless it says otherwise, and I have named "
    "the help I was given."
)


class ReadingsStillOpen(ValidationError):
    """A set of readings can still be changed, so it cannot be frozen."""

    def __init__(self) -> None:
        super().__init__(
            "Some of your readings are still open. Finish measuring first: open them and choose "
            "“I have finished measuring”."
        )


def submit_work(*, by: User, work: Work, declared: bool, now: datetime) -> Submission:
    """Freeze the work as attempt 1.

    Raises `AlreadySubmitted` when the attempt was handed in before; nothing is changed then.
    """
    if not by.has_perm("assessment.do_work") or not own_works(by).filter(pk=work.pk).exists():
        raise PermissionDenied
    if not declared:
        raise ValidationError("Tick the declaration: without it the work cannot be accepted.")
    with transaction.atomic():
        work = Work.objects.select_for_update(of=("self",)).get(pk=work.pk)
        if work.submissions.exists():
            raise AlreadySubmitted
        if any(readings.locked_at is None for readings in readings_of(work)):
            raise ReadingsStillOpen
        submission = _freeze(work, now)
        audit.record(
            by=by,
            action="submit_work",
            subject=submission,
            sentence=f"Attempt {submission.attempt} submitted.",
            detail={"manifest_sha256": submission.manifest_sha256},
        )
    return submission


def _freeze(work: Work, now: datetime) -> Submission:
    parts = {name: text.encode() for name, text in gather_evidence(work).items()}
    manifest = freeze(SCHEMA_VERSION, str(work.learner.token), parts)
    submission = Submission.objects.create(
        work=work,
        attempt=1,
        submitted_at=now,
        late=now > work.assignment.due_at,
        declaration=DECLARATION,
        manifest=manifest.text,
        manifest_sha256=manifest.sha256,
    )
    EvidencePart.objects.bulk_create(
        EvidencePart(
            submission=submission,
            name=name,
            media_type="application/json",
            text=content.decode(),
            sha256=digest(content),
        )
        for name, content in parts.items()
    )
    return submission
