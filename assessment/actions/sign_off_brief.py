"""Sign off one edition of a brief, by someone other than its author."""

from collections.abc import Mapping
from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.actions.review_brief import review_brief
from assessment.models import Brief, BriefReview
from practicals import audit
from practicals.models import User


def sign_off_brief(
    *, by: User, brief: Brief, comment: str, now: datetime, points: Mapping[str, str] | None = None
) -> Brief:
    """Record that this edition was checked and is fit to be issued. Signing twice changes nothing.

    With `points` the round is kept in the same step, and `comment` is what it says. Without them the last
    round of this edition must be by the same person and have found it fit.
    """
    if not by.has_perm("assessment.sign_off_brief"):
        raise PermissionDenied
    if brief.author_id == by.pk:
        raise ValidationError("You wrote this brief. Someone else must check it before it is issued.")
    with transaction.atomic():
        brief = Brief.objects.select_for_update(of=("self",)).get(pk=brief.pk)
        if brief.signed_off_at:
            return brief
        if points is not None:
            fit = BriefReview.Verdict.FIT
            review_brief(by=by, brief=brief, points=points, comment=comment, verdict=fit, now=now)
        _check_found_fit(by, brief)
        brief.signed_off_by, brief.signed_off_at, brief.sign_off_comment = by, now, comment
        brief.save(update_fields=["signed_off_by", "signed_off_at", "sign_off_comment"])
        audit.record(by=by, action="sign_off_brief", subject=brief, sentence=f"Brief “{brief}” signed off.")
    return brief


def _check_found_fit(by: User, brief: Brief) -> None:
    last = brief.reviews.last()
    if last is None or last.reviewer_id != by.pk or last.verdict != BriefReview.Verdict.FIT:
        raise ValidationError(
            "Look at the points first: a brief is signed off by the person whose last look found it fit."
        )
