"""Hand a work in: the learner declares it their own, and its evidence is frozen."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import IntegrityError, transaction

from assessment.access import own_works
from assessment.actions.gather_evidence import gather_evidence
from assessment.actions.save_writing import AlreadySubmitted
from assessment.calculations.manifest import digest, freeze
from assessment.models import EvidencePart, Submission, Work
from assessment.models.attempt_state import OpenAttempt, open_attempt
from assessment.models.facts import evidence_of
from practicals import audit
from practicals.models import ReadingSet, User

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
            "“Save, and finish measuring”."
        )


class ResubmissionOver(ValidationError):
    """The time given for a resubmission has passed."""

    def __init__(self) -> None:
        super().__init__(
            "The time for this resubmission has passed, so it can no longer be handed in. "
            "Your text is kept; speak to your teacher."
        )


def submit_work(*, by: User, work: Work, declared: bool, now: datetime) -> Submission:
    """Freeze the work as the attempt that is open: the first, or a resubmission that was authorised.

    Raises `AlreadySubmitted` when no attempt is open; nothing is changed then. A resubmission after its
    deadline is refused: its date was given in working days and cannot be extended.
    """
    if not by.has_perm("assessment.do_work") or not own_works(by).filter(pk=work.pk).exists():
        raise PermissionDenied
    with transaction.atomic():
        work = Work.objects.select_for_update(of=("self",)).select_related("assignment").get(pk=work.pk)
        attempt = open_attempt(work)
        if attempt is None:
            raise AlreadySubmitted
        if attempt.grant is not None and now > attempt.due_at:
            raise ResubmissionOver
        if not declared:
            raise ValidationError("Tick the declaration: without it the work cannot be accepted.")
        _hold_readings(work)
        try:
            with transaction.atomic():
                submission = _freeze(work, attempt, now)
        except IntegrityError as error:
            raise AlreadySubmitted from error
        audit.record(
            by=by,
            action="submit_work",
            subject=submission,
            sentence=f"Attempt {submission.attempt} submitted.",
            detail={"manifest_sha256": submission.manifest_sha256},
        )
    return submission


def _hold_readings(work: Work) -> None:
    """Keep the sets as they are while they are frozen: an amendment waits until it is done."""
    mine = [readings.pk for readings in evidence_of(work).readings]
    held = ReadingSet.objects.select_for_update().filter(pk__in=mine).order_by("pk")
    if any(readings.locked_at is None for readings in held):
        raise ReadingsStillOpen


def _freeze(work: Work, attempt: OpenAttempt, now: datetime) -> Submission:
    late = now > attempt.due_at
    parts = {name: text.encode() for name, text in gather_evidence(work, declared=True, late=late).items()}
    manifest = freeze(SCHEMA_VERSION, str(work.learner.token), parts)
    submission = Submission.objects.create(
        work=work,
        attempt=attempt.number,
        kind=attempt.kind,
        due_at=attempt.due_at,
        submitted_at=now,
        late=late,
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
