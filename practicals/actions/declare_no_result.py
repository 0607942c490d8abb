"""A paper gives no result. Whoever was to measure it can then be given another."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import led_papers
from practicals.audit import record
from practicals.models import NoResult, Paper, User


class CannotDeclare(ValueError):
    """The paper's result is not changed; the message says why."""


def declare_no_result(*, by: User, paper: Paper, reason: str, now: datetime) -> Paper:
    """Declare it with a reason from `NoResult`; an empty reason takes a wrong declaration back."""
    if not by.has_perm("practicals.run_lesson") or not led_papers(by).filter(pk=paper.pk).exists():
        raise PermissionDenied
    if reason and reason not in NoResult.values:
        raise CannotDeclare("Choose one of the reasons why the paper gives no result.")
    with transaction.atomic():
        paper = Paper.objects.select_for_update().get(pk=paper.pk)
        if paper.group.session.closed_at is not None:
            raise CannotDeclare("The session is closed, so its papers no longer change.")
        if paper.no_result == reason:
            return paper
        before, paper.no_result = paper.no_result, reason
        paper.no_result_by = by if reason else None
        paper.no_result_at = now if reason else None
        paper.save(update_fields=["no_result", "no_result_by", "no_result_at"])
        said = f"gives no result: {NoResult(reason).label}" if reason else "gives a result after all"
        record(
            by=by,
            action="declare_no_result",
            subject=paper,
            sentence=f"It was declared that paper {paper.letter} of group {paper.group.number} {said}.",
            detail={"before": before, "after": reason},
        )
    return paper
