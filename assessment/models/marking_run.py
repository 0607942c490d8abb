"""One criterion across a class: who is decided, who comes next, which comments repeat."""

from collections.abc import Sequence
from dataclasses import dataclass

from assessment.models.decision import Decision
from assessment.models.evidence import Submission, Work
from assessment.models.marking import newest_submission
from assessment.models.results import standing_decisions
from assessment.models.unit import Criterion

#: From so many learners on, the same words on one criterion are remarked. Common practice, no source:
#: verifiers complain most of identical text for many learners.
REPEATED_FROM = 3


@dataclass(frozen=True, slots=True)
class Place:
    """A submitted work in the run."""

    work: Work
    submission: Submission
    standing: Decision | None


@dataclass(frozen=True, slots=True)
class MarkingRun:
    """The submitted works that one assessor decides, in the class's order."""

    criterion: Criterion
    places: tuple[Place, ...]

    @property
    def decided(self) -> int:
        return sum(place.standing is not None for place in self.places)

    @property
    def complete(self) -> bool:
        return self.decided == len(self.places)

    def at(self, work: str) -> Place | None:
        """The place of a work by its UUID; without one the first that is undecided."""
        if work:
            return next((place for place in self.places if str(place.work.uuid) == work), None)
        return next((place for place in self.places if place.standing is None), None)

    def to_decide_after(self, work: Work) -> Place | None:
        """The next undecided learner; after the last it goes on with the first that was passed over."""
        before, after = self._around(work)
        return next((place for place in (*after, *before) if place.standing is None), None)

    def beside(self, work: Work) -> tuple[Place | None, Place | None]:
        """The learners before and after, decided or not."""
        before, after = self._around(work)
        return (before[-1] if before else None), (after[0] if after else None)

    def same_comment(self, comment: str, work: Work) -> list[Work]:
        """Other learners with the same words on this criterion; letters' case and spaces do not count."""
        words = _plain(comment)
        return [
            place.work
            for place in self.places
            if place.work.pk != work.pk and place.standing and _plain(place.standing.comment) == words
        ]

    def _around(self, work: Work) -> tuple[tuple[Place, ...], tuple[Place, ...]]:
        keys = [place.work.pk for place in self.places]
        here = keys.index(work.pk)
        return self.places[:here], self.places[here + 1 :]


def marking_run(criterion: Criterion, works: Sequence[Work]) -> MarkingRun:
    """Of works fetched for marking; no query of its own."""
    places = []
    for work in works:
        submission = newest_submission(work)
        if submission:
            places.append(Place(work, submission, standing_decisions(submission).get(criterion.pk)))
    return MarkingRun(criterion, tuple(places))


def _plain(text: str) -> str:
    return " ".join(text.casefold().split())
