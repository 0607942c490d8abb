"""Keep what a learner writes until they submit it."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import own_works
from assessment.models import Work
from assessment.models.attempt_state import open_attempt
from practicals import audit
from practicals.models import User
from reagents.models import claim_version

LONGEST_TEXT = 50_000


class AlreadySubmitted(ValidationError):
    """The work was handed in; what was handed in stays as it was."""

    def __init__(self) -> None:
        super().__init__("This work has been submitted, so its text can no longer be changed.")


def save_writing(
    *, by: User, work: Work, conclusion: str, evaluation: str, seen_version: int, now: datetime
) -> Work:
    """Save conclusion and evaluation while an attempt is open.

    Raises `Stale` when other text was saved in between, `AlreadySubmitted` once it is handed in. Text
    that is saved already changes nothing.
    """
    if not by.has_perm("assessment.do_work") or not own_works(by).filter(pk=work.pk).exists():
        raise PermissionDenied
    conclusion, evaluation = _lines(conclusion), _lines(evaluation)
    if max(len(conclusion), len(evaluation)) > LONGEST_TEXT:
        raise ValidationError(f"A text holds at most {LONGEST_TEXT:,} characters. Shorten it.")
    with transaction.atomic():
        work = Work.objects.select_for_update().get(pk=work.pk)
        if open_attempt(work) is None:
            raise AlreadySubmitted
        if (work.conclusion, work.evaluation) == (conclusion, evaluation):
            return work
        claim_version(work, seen_version)
        work.conclusion, work.evaluation, work.saved_at = conclusion, evaluation, now
        work.save(update_fields=["conclusion", "evaluation", "saved_at", "version"])
        audit.record(by=by, action="save_writing", subject=work, sentence="Writing saved.")
    return work


def _lines(text: str) -> str:
    """Browsers end a line in two ways; one of them is kept, so that equal text has an equal hash."""
    return text.replace("\r\n", "\n").replace("\r", "\n")
