"""What a teacher found out about two sets of readings that agree beyond chance."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import endable_sessions
from practicals.audit import record
from practicals.models import Paper, ReadingSet, SameFiguresAnswer, User

LONGEST_ANSWER = 2000


class CannotAnswer(ValueError):
    """An answer that says nothing, or about people who did not both read the paper."""


class NotBoth(CannotAnswer):
    """At least one of the two has no readings of the paper."""

    def __init__(self) -> None:
        super().__init__("These two did not both read this paper. Open the paper’s page again.")


def answer_same_figures(
    *, by: User, paper: Paper, first: User, second: User, text: str, now: datetime
) -> SameFiguresAnswer:
    """Keep an answer. An earlier one stays: nothing that was said is taken back silently."""
    session = paper.group.session
    mine = endable_sessions(by).filter(pk=session.pk)
    if not by.has_perm("practicals.end_bench_work") or not mine.exists():
        raise PermissionDenied
    text = text.strip()
    if not text:
        raise CannotAnswer("Write what you found out, for example “I watched both measure for themselves”.")
    if len(text) > LONGEST_ANSWER:
        raise CannotAnswer(f"Keep the answer within {LONGEST_ANSWER} characters.")
    if first.pk == second.pk or _readers(paper, first, second) != 2:
        raise NotBoth
    first, second = sorted((first, second), key=lambda person: person.pk)
    with transaction.atomic():
        answer = SameFiguresAnswer.objects.create(
            paper=paper, first=first, second=second, text=text, by=by, at=now
        )
        record(
            by=by,
            action="answer_same_figures",
            subject=paper,
            sentence="The question why two sets of readings of this paper agree was answered.",
        )
    return answer


def _readers(paper: Paper, first: User, second: User) -> int:
    return ReadingSet.objects.filter(paper=paper, learner__in=(first, second)).count()
