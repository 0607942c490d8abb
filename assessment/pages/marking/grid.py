"""One class at a glance: a row for each learner, a cell for each criterion."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from assessment.calculations.evidence_counts import in_short
from assessment.calculations.evidence_map import CriterionEvidence, EvidenceFacts, map_evidence
from assessment.models import Criterion, Decision, Submission, Work
from assessment.models.class_evidence import Asked
from assessment.models.facts import facts_for_many, frozen_facts
from assessment.models.marking import newest_submission
from assessment.models.results import grade_of, standing_decisions
from practicals.models import User

DECIDED = "decided, not released"


@dataclass(frozen=True)
class WorkState:
    word: str
    shape: str
    at: datetime | None = None


@dataclass(frozen=True)
class Cell:
    """`outcome` when it is decided, else in short what evidence there is."""

    code: str
    outcome: str
    evidence: str


@dataclass(frozen=True)
class Row:
    work: Work
    state: WorkState
    cells: tuple[Cell, ...]
    grade: str
    mine: bool


def rows_of(works: Sequence[Work], criteria: Sequence[Criterion], viewer: User) -> list[Row]:
    """The whole grid in a fixed number of queries, given works fetched for marking."""
    newest = {work.pk: newest_submission(work) for work in works}
    frozen = frozen_facts([submission for submission in newest.values() if submission])
    live = facts_for_many([work for work in works if newest[work.pk] is None])
    asked = [Asked.by(criterion) for criterion in criteria]
    rows = []
    for work in works:
        submission = newest[work.pk]
        facts = frozen.get(submission.pk, EvidenceFacts()) if submission else live[work.pk]
        rows.append(
            Row(
                work=work,
                state=state_of(work, submission),
                cells=_cells(criteria, map_evidence(asked, facts), submission),
                grade=grade_of(submission).sentence if submission else "",
                mine=work.assessor_id == viewer.pk,
            )
        )
    return rows


def state_of(work: Work, submission: Submission | None) -> WorkState:
    if submission is None:
        return (
            WorkState("being written", "waiting", work.saved_at)
            if work.saved_at
            else WorkState("not submitted yet", "not-yet")
        )
    feedback = getattr(submission, "feedback", None)
    if feedback and feedback.released_at:
        return WorkState("released", "done", feedback.released_at)
    if len(standing_decisions(submission)) == len(submission.work.assignment.brief.criteria.all()):
        return WorkState(DECIDED, "waiting", submission.submitted_at)
    return WorkState("submitted late" if submission.late else "submitted", "open", submission.submitted_at)


def _cells(
    criteria: Sequence[Criterion], evidence: Sequence[CriterionEvidence], submission: Submission | None
) -> tuple[Cell, ...]:
    standing: dict[int, Decision] = standing_decisions(submission) if submission else {}
    return tuple(
        Cell(
            criterion.code,
            standing[criterion.pk].outcome if criterion.pk in standing else "",
            in_short(found),
        )
        for criterion, found in zip(criteria, evidence, strict=True)
    )
