"""Open a standardisation: one piece of work, without its learner's name, for several assessors to judge."""

from collections.abc import Collection
from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import verifiable_submissions
from assessment.models import Standardisation, Submission
from practicals import audit
from practicals.models import User

FEWEST_ASSESSORS = 2
LONGEST_TITLE = 160


def open_standardisation(
    *, by: User, title: str, piece: Submission, assessors: Collection[User], now: datetime
) -> Standardisation:
    """Nobody who decided on the piece judges it: they would not be blind."""
    if not by.has_perm("assessment.standardise"):
        raise PermissionDenied
    if not verifiable_submissions(by).filter(pk=piece.pk).exists():
        raise PermissionDenied
    title = title.strip()
    if not title or len(title) > LONGEST_TITLE:
        raise ValidationError(f"Give it a title of 1 to {LONGEST_TITLE} characters that names no learner.")
    if len({person.pk for person in assessors}) < FEWEST_ASSESSORS:
        raise ValidationError(f"Choose at least {FEWEST_ASSESSORS} assessors; one agrees with nobody.")
    _check(piece, assessors)
    with transaction.atomic():
        made = Standardisation.objects.create(
            unit=piece.work.assignment.brief.unit, title=title, piece=piece, opened_by=by, opened_at=now
        )
        made.assessors.set(assessors)
        audit.record(
            by=by,
            action="open_standardisation",
            subject=made,
            sentence=f"Standardisation opened for {len(assessors)} assessors.",
        )
    return made


def _check(piece: Submission, assessors: Collection[User]) -> None:
    decided = set(piece.decisions.values_list("assessor", flat=True)) | {piece.work.assessor_id}
    for person in assessors:
        if person.pk in decided:
            raise ValidationError(f"{person} decided on this piece and cannot judge it blind.")
        if not person.has_perm("assessment.judge_blind"):
            raise ValidationError(f"{person} is neither a teacher nor a verifier.")
