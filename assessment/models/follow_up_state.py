"""Where an action stands: what the assessor did, whether two still differ, what waits for whom."""

from django.db.models import QuerySet

from assessment.models.decision import Decision
from assessment.models.follow_up import ThirdOpinion, VerificationAction
from assessment.models.verification import CriterionVerdict
from practicals.models import User


def new_decision_on(action: VerificationAction) -> Decision | None:
    """The decision that stands in place of the one that was questioned; None while that one stands."""
    if action.verdict is None:
        return None
    questioned = action.verdict.decision
    standing = Decision.objects.filter(
        submission=questioned.submission_id, criterion=questioned.criterion_id, is_current=True
    ).first()
    return None if standing is None or standing.pk == questioned.pk else standing


def third_opinion_on(verdict: CriterionVerdict | None) -> ThirdOpinion | None:
    if verdict is None:
        return None
    return ThirdOpinion.objects.filter(verdict=verdict).select_related("person").first()


def still_differ(action: VerificationAction) -> bool:
    """Answered, and the outcome that the verifier disagreed with stands all the same."""
    if action.verdict is None or action.answered_at is None:
        return False
    if action.verdict.verdict != CriterionVerdict.Verdict.DISAGREE:
        return False
    standing = new_decision_on(action) or action.verdict.decision
    return standing.outcome == action.verdict.decision.outcome


def against_third_opinion(action: VerificationAction) -> ThirdOpinion | None:
    """The third person's opinion, if the decision that stands says otherwise."""
    opinion = third_opinion_on(action.verdict)
    if opinion is None or action.verdict is None:
        return None
    standing = new_decision_on(action) or action.verdict.decision
    return opinion if standing.outcome != opinion.outcome else None


def whole_actions(actions: QuerySet[VerificationAction]) -> QuerySet[VerificationAction]:
    """With all that a list or a page shows, in one query."""
    return actions.select_related(
        "owner",
        "raised_by",
        "closed_by",
        "new_decision__criterion",
        "verdict__decision__criterion",
        "verdict__third_opinion__person",
        "record__verifier",
        "record__sampled__plan__unit",
        "record__sampled__submission__work__learner",
        "record__sampled__submission__work__assignment__brief",
    )


def actions_to_answer(owner: User) -> QuerySet[VerificationAction]:
    """What waits for this assessor, the earliest first."""
    waiting = VerificationAction.objects.filter(owner=owner, answered_at=None, closed_at=None)
    return whole_actions(waiting).order_by("due_on", "pk")
