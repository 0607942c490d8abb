"""Keep a portfolio that goes out, so that anyone can ask later whether it is ours and unaltered."""

from datetime import datetime
from typing import Any

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Q, QuerySet

from assessment.access import own_works, readable_works, verifiable_submissions
from assessment.models import IssuedDocument, Submission
from practicals import audit
from practicals.actions.keep_file import keep_file
from practicals.models import User

PORTFOLIO, LEARNERS_PORTFOLIO = "portfolio", "learner's portfolio"


def submissions_to_print(user: Any) -> QuerySet[Submission]:
    """What somebody may have as a portfolio: what they may read as teacher, learner or verifier."""
    return Submission.objects.filter(
        Q(work__in=readable_works(user).values("pk"))
        | Q(work__in=own_works(user).values("pk"))
        | Q(pk__in=verifiable_submissions(user).values("pk"))
    )


def check_may_print(by: User, submission: Submission) -> None:
    if not submissions_to_print(by).filter(pk=submission.pk).exists():
        raise PermissionDenied


def keep_portfolio(
    *, by: User, submission: Submission, content: bytes, title: str, for_learner: bool, now: datetime
) -> IssuedDocument:
    """The row of this file. The same bytes again give the same row and change nothing."""
    check_may_print(by, submission)
    file = keep_file(content=content, media_type="application/pdf", now=now)
    with transaction.atomic():
        # The submission's row is the lock: of two people who print at once only one makes the row.
        Submission.objects.select_for_update().get(pk=submission.pk)
        issued = IssuedDocument.objects.filter(submission=submission, file=file).first()
        if issued is None:
            issued = IssuedDocument.objects.create(
                kind=LEARNERS_PORTFOLIO if for_learner else PORTFOLIO,
                submission=submission,
                title=title[:200],
                file=file,
                evidence_sha256=submission.manifest_sha256,
                made_at=now,
                made_for=submission.work.learner if for_learner else None,
            )
            audit.record(
                by=by,
                action="keep_portfolio",
                subject=issued,
                sentence="Portfolio issued.",
                detail={"sha256": file.sha256, "evidence_sha256": submission.manifest_sha256},
            )
    return issued
