"""A class's results as rows for a table or another system: what counts, and only what is released."""

from dataclasses import dataclass
from datetime import datetime

from assessment.models.attempt_state import first_deadline, standing_result
from assessment.models.brief import Assignment
from assessment.models.evidence import Work, WorkQuerySet
from assessment.models.results import standing_decisions
from practicals.models import User

NOT_RELEASED, NOT_HANDED_IN = "not released", "not submitted"


@dataclass(frozen=True, slots=True)
class ResultRow:
    """One learner. `level` is None before a release; `outcomes` are those of the attempt that counts."""

    work: Work
    learner: User
    level: str | None
    attempt: int | None
    handed_in_at: datetime | None
    due_at: datetime
    late: bool
    released_at: datetime | None
    outcomes: dict[str, str]


def result_rows(works: WorkQuerySet, assignment: Assignment) -> list[ResultRow]:
    """In the class's order, in a fixed number of queries."""
    found = works.filter(assignment=assignment).for_page().select_related("learner__roster_identity")
    return [_row(work) for work in found]


def _row(work: Work) -> ResultRow:
    submissions = sorted(work.submissions.all(), key=lambda one: one.attempt)
    standing = standing_result(work)
    counting = next((one for one in submissions if standing and one.attempt == standing.number), None)
    shown = counting or (submissions[-1] if submissions else None)
    decided = standing_decisions(counting) if counting else {}
    return ResultRow(
        work=work,
        learner=work.learner,
        level=standing.level if standing else None,
        attempt=standing.number if standing else None,
        handed_in_at=shown.submitted_at if shown else None,
        due_at=(shown.due_at if shown else None) or first_deadline(work),
        late=bool(shown and shown.late),
        released_at=counting.feedback.released_at if counting else None,
        outcomes={decision.criterion.code: decision.outcome for decision in decided.values()},
    )
