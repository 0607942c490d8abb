"""Keep one round of looking at a brief: point by point, with a comment and a verdict."""

from collections.abc import Mapping
from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.calculations.brief_points import round_problems
from assessment.models import Brief, BriefReview
from practicals import audit
from practicals.models import User


def review_brief(
    *, by: User, brief: Brief, points: Mapping[str, str], comment: str, verdict: str, now: datetime
) -> BriefReview:
    """Keep the round with the edition that was looked at. The author answers with the next edition."""
    if not by.has_perm("assessment.sign_off_brief"):
        raise PermissionDenied
    if brief.author_id == by.pk:
        raise ValidationError("You wrote this brief. Someone else must check it before it is issued.")
    problems = round_problems(points, verdict=verdict, comment=comment)
    if problems:
        raise ValidationError(list(problems))
    with transaction.atomic():
        # The brief's row is the lock: a round and a sign-off at the same moment come one after the other.
        brief = Brief.objects.select_for_update(of=("self",)).get(pk=brief.pk)
        if brief.signed_off_at:
            raise ValidationError("This edition was signed off meanwhile, so no further round is kept.")
        kept: BriefReview = BriefReview.objects.create(
            brief=brief,
            reviewer=by,
            points=dict(points),
            comment=comment.strip(),
            verdict=verdict,
            reviewed_at=now,
        )
        sentence = f"Brief “{brief}” looked at: {kept.get_verdict_display()}."
        audit.record(by=by, action="review_brief", subject=brief, sentence=sentence)
    return kept
