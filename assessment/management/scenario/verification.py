"""The verifier's first looks in the demo."""

from datetime import datetime

from assessment.actions.give_verdict import give_verdict
from assessment.actions.open_record import open_record
from assessment.actions.sign_record import sign_record
from assessment.models import SampledPortfolio, SamplingPlan
from practicals.models import User


def look_at_first_two(plan: SamplingPlan, *, verifier: User, now: datetime) -> None:
    """The first portfolio is agreed and signed; in the second one decision is questioned."""
    first, second = plan.portfolios.order_by("order")[:2]
    _agree(first, verifier, now, disagree_with_last=False)
    _agree(second, verifier, now, disagree_with_last=True)


def _agree(sampled: SampledPortfolio, verifier: User, now: datetime, *, disagree_with_last: bool) -> None:
    record = open_record(by=verifier, sampled=sampled, now=now)
    decisions = list(sampled.submission.decisions.filter(is_current=True).order_by("criterion__order"))
    for decision in decisions:
        questioned = disagree_with_last and decision is decisions[-1]
        give_verdict(
            by=verifier,
            record=record,
            decision=decision,
            verdict="disagree" if questioned else "agree",
            comment="The evaluation names no size for the effect of the slanting front."
            if questioned
            else "",
            now=now,
        )
    if not disagree_with_last:
        comment = "Comments say where the evidence is. Records are complete."
        sign_record(by=verifier, record=record, feedback_comment=comment, now=now)
