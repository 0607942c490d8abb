"""What an assessor starts from at a criterion: what stands, their own draft, or an earlier attempt."""

from dataclasses import dataclass
from typing import Any

from assessment.models.decision import Decision, DecisionDraft
from assessment.models.evidence import Submission
from assessment.models.results import standing_decisions
from practicals.models import User


@dataclass(frozen=True, slots=True)
class DecisionStart:
    """At most one of `draft` and `carried` is there; a draft older than what stands is used up."""

    standing: Decision | None = None
    draft: DecisionDraft | None = None
    carried: Decision | None = None

    @property
    def initial(self) -> dict[str, Any]:
        shown: dict[str, Any] = {"outcome": "", "comment": "", "valid": False, "sufficient": False}
        source = self.draft or self.standing
        if source:
            shown |= {
                "outcome": source.outcome,
                "comment": source.comment,
                "valid": bool(source.valid),
                "sufficient": bool(source.sufficient),
            }
        elif self.carried:
            shown["comment"] = self.carried.comment
        return shown | {
            "seen": str(self.standing.uuid) if self.standing else "",
            "draft": self.draft.version if self.draft else None,
        }


def decision_starts(submission: Submission, assessor: User) -> dict[int, DecisionStart]:
    """By the criterion's key, for every criterion of the brief; one query for the drafts."""
    standing = standing_decisions(submission)
    drafts = {
        draft.criterion_id: draft
        for draft in DecisionDraft.objects.filter(submission=submission, assessor=assessor)
    }
    before = _attempt_before(submission)
    earlier = standing_decisions(before) if before else {}
    return {
        criterion.pk: _start(standing.get(criterion.pk), drafts.get(criterion.pk), earlier.get(criterion.pk))
        for criterion in submission.work.assignment.brief.criteria.all()
    }


def _start(standing: Decision | None, draft: DecisionDraft | None, earlier: Decision | None) -> DecisionStart:
    if draft and not (standing and standing.decided_at >= draft.saved_at):
        return DecisionStart(standing=standing, draft=draft)
    if standing is None and earlier:
        return DecisionStart(carried=earlier)
    return DecisionStart(standing=standing)


def _attempt_before(submission: Submission) -> Submission | None:
    earlier = [one for one in submission.work.submissions.all() if one.attempt < submission.attempt]
    return max(earlier, key=lambda one: one.attempt, default=None)
