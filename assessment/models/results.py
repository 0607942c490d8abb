"""The grade of a submission, computed by its unit's rule whenever it is asked for."""

from assessment.calculations.grades import CriterionState, GradeOutcome, grade, read_grade_rule
from assessment.models.decision import Decision
from assessment.models.evidence import Submission
from assessment.models.unit import Criterion


def standing_decisions(submission: Submission) -> dict[int, Decision]:
    """Decisions that stand, by criterion. Reads prefetched decisions without a query."""
    return {decision.criterion_id: decision for decision in submission.decisions.all() if decision.is_current}


def criterion_states(submission: Submission) -> list[CriterionState]:
    decided = standing_decisions(submission)
    return [_state(criterion, decided.get(criterion.pk)) for criterion in _criteria(submission)]


def grade_of(submission: Submission) -> GradeOutcome:
    rule = read_grade_rule(submission.work.assignment.brief.unit.grade_rule)
    return grade(rule, criterion_states(submission))


def _criteria(submission: Submission) -> list[Criterion]:
    return list(submission.work.assignment.brief.criteria.all())


def _state(criterion: Criterion, decision: Decision | None) -> CriterionState:
    outcome = None if decision is None else decision.outcome
    return CriterionState(code=criterion.code, level=criterion.level, outcome=outcome)  # type: ignore[arg-type]
