"""The class's values around a learner's own, for the portfolio: without names, once they are released."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import datetime

from django.db.models import Max

from assessment.models import Submission
from practicals.models import Session
from practicals.models.class_results import OwnResults, own_results


@dataclass(frozen=True, slots=True)
class ClassPart:
    """One session's values; they are not frozen, so the moment of their last change is said."""

    title: str
    results: OwnResults
    changed_at: datetime


def class_parts(submission: Submission) -> tuple[ClassPart, ...]:
    """The released sessions of the assignment in which the learner has locked readings."""
    sessions = (
        submission.work.assignment.sessions.filter(results_released_at__isnull=False)
        .select_related("practical__mobile_phase")
        .annotate(amended_at=Max("reading_sets__amendments__at"))
        .order_by("pk")
    )
    return tuple(_parts(submission, sessions))


def _parts(submission: Submission, sessions: "Iterable[Session]") -> Iterator[ClassPart]:
    for session in sessions:
        results = own_results(session, submission.work.learner)
        if results.analytes:
            moments = [session.results_released_at, session.amended_at]  # type: ignore[attr-defined]
            yield ClassPart(session.title, results, max(filter(None, moments)))
