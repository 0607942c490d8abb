"""The evidence of a class, learner by criterion, in a fixed number of queries."""

from collections.abc import Sequence
from dataclasses import dataclass

from assessment.calculations.evidence_grid import GridCell, grid_cell
from assessment.calculations.evidence_map import EvidenceFacts, map_evidence
from assessment.calculations.evidence_needs import EvidenceNeed
from assessment.models.evidence import Submission, Work
from assessment.models.facts import facts_for_many, frozen_facts
from assessment.models.marking import newest_submission
from assessment.models.results import grade_of, standing_decisions
from assessment.models.unit import Criterion


@dataclass(frozen=True)
class Asked:
    """A criterion with its needs read, as the evidence map takes it."""

    code: str
    needs: tuple[EvidenceNeed, ...]

    @classmethod
    def by(cls, criterion: Criterion) -> "Asked":
        return cls(criterion.code, tuple(criterion.evidence_needs()))


@dataclass(frozen=True, slots=True)
class Judged:
    """The evidence for a criterion beside what was decided on it, empty when nothing is."""

    evidence: GridCell
    outcome: str


@dataclass(frozen=True, slots=True)
class LearnerLine:
    """One learner: a cell for each criterion, in the order given; the grade if there is one."""

    work: Work
    submission: Submission | None
    cells: tuple[Judged, ...]
    grade: str
    remarks: tuple[str, ...]


def class_evidence(works: Sequence[Work], criteria: Sequence[Criterion]) -> list[LearnerLine]:
    """Frozen where it is submitted, as it stands now where it is not. Works as fetched for marking."""
    newest = {work.pk: newest_submission(work) for work in works}
    frozen = frozen_facts([found for found in newest.values() if found])
    live = facts_for_many([work for work in works if newest[work.pk] is None])
    asked = [Asked.by(criterion) for criterion in criteria]
    return [
        _line(
            work,
            newest[work.pk],
            frozen.get(found.pk, EvidenceFacts()) if (found := newest[work.pk]) else live[work.pk],
            asked,
            criteria,
        )
        for work in works
    ]


def _line(
    work: Work,
    submission: Submission | None,
    facts: EvidenceFacts,
    asked: Sequence[Asked],
    criteria: Sequence[Criterion],
) -> LearnerLine:
    standing = standing_decisions(submission) if submission else {}
    return LearnerLine(
        work=work,
        submission=submission,
        cells=tuple(
            Judged(grid_cell(found, facts), standing[one.pk].outcome if one.pk in standing else "")
            for one, found in zip(criteria, map_evidence(asked, facts), strict=True)
        ),
        grade=(grade_of(submission).grade or "") if submission else "",
        remarks=_remarks(facts, submission),
    )


def _remarks(facts: EvidenceFacts, submission: Submission | None) -> tuple[str, ...]:
    said = [] if submission else ["not submitted"]
    said += ["late"] if facts.late else []
    said += ["help shown"] if facts.help_shown else []
    said += ["same figures twice"] if facts.same_figures else []
    said += ["another source"] if facts.another_group_source else []
    return tuple(said)
