"""The verifier's first looks in the demo: one is signed with an action that was answered and closed."""

from datetime import datetime, timedelta

from assessment.actions.answer_action import answer_action
from assessment.actions.close_action import close_action
from assessment.actions.decide import decide
from assessment.actions.give_verdict import give_verdict
from assessment.actions.open_record import open_record
from assessment.actions.raise_action import ActionWanted
from assessment.actions.sign_record import Qualities, disagreements, sign_record
from assessment.models import Decision, SampledPortfolio, SamplingPlan, VerificationAction, VerificationRecord
from practicals.models import User

DOUBT = "The comment points to the table, but I do not find what this criterion asks for in the text."
TO_DO = "Look again at what the text itself says, and take the decision that the evidence bears."
ANSWER = "Looked again: the figures are in the table, but the text does not use them. I decided anew."
DECIDED_ANEW = "The table holds the figures; the conclusion and the evaluation do not argue from them."
CLOSED = "The new decision and its comment fit the evidence."
QUALITY = "Feedback says what was met and what was not. One comment named a place where it is not."


def look_at_first_two(plan: SamplingPlan, *, verifier: User, now: datetime) -> None:
    """The first portfolio is signed and its action seen to the end; in the second a verdict waits."""
    first, second = plan.portfolios.order_by("order")[:2]
    record = _look(first, verifier, now)
    _sign_and_follow_up(record, verifier, now)
    _look(second, verifier, now)


def _look(sampled: SampledPortfolio, verifier: User, now: datetime) -> VerificationRecord:
    """Everything is agreed but the highest criterion that was held to be met."""
    record = open_record(by=verifier, sampled=sampled, now=now)
    decisions = list(sampled.submission.decisions.filter(is_current=True).order_by("criterion__order"))
    met = [decision for decision in decisions if decision.outcome == Decision.Outcome.MET]
    for decision in decisions:
        questioned = decision == met[-1] if met else False
        give_verdict(
            by=verifier,
            record=record,
            decision=decision,
            verdict="disagree" if questioned else "agree",
            comment=DOUBT if questioned else "",
            now=now,
        )
    return record


def _sign_and_follow_up(record: VerificationRecord, verifier: User, now: datetime) -> None:
    wanted = [ActionWanted(TO_DO, (now + timedelta(days=5)).date(), one) for one in disagreements(record)]
    sign_record(
        by=verifier,
        record=record,
        feedback_comment=QUALITY,
        qualities=Qualities(feedback="mixed" if wanted else "sound"),
        actions=wanted,
        now=now,
    )
    for action in record.actions.select_related("owner", "verdict__decision__criterion"):
        _answer(action, now + timedelta(hours=3))
        action.refresh_from_db()
        close_action(
            by=verifier,
            action=action,
            note=CLOSED,
            seen_version=action.version,
            now=now + timedelta(hours=6),
        )


def _answer(action: VerificationAction, now: datetime) -> None:
    assert action.verdict is not None  # noqa: S101 - every action here comes of a disagreement
    old = action.verdict.decision
    new = decide(
        by=action.owner,
        submission=old.submission,
        criterion=old.criterion,
        outcome="not yet met",
        comment=DECIDED_ANEW,
        reason="the verifier did not find it in the text",
        seen_decision=old.uuid,
        now=now,
    )
    answer_action(
        by=action.owner,
        action=action,
        answer=ANSWER,
        new_decision=new,
        seen_version=action.version,
        now=now + timedelta(minutes=10),
    )
