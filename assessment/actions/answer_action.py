"""The assessor answers an action: what was done, and the new decision if there is one."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import own_actions
from assessment.actions.raise_action import LONGEST
from assessment.models import Decision, VerificationAction
from assessment.models.follow_up_state import new_decision_on
from practicals import audit
from practicals.models import User
from reagents.models import claim_version


def answer_action(
    *,
    by: User,
    action: VerificationAction,
    answer: str,
    seen_version: int,
    now: datetime,
    new_decision: Decision | None = None,
) -> VerificationAction:
    """Keep the answer; it can be changed until the action is closed. Raises `Stale`.

    `new_decision` is the one that supersedes the decision the verifier disagreed with.
    """
    if not by.has_perm("assessment.answer_action") or not own_actions(by).filter(pk=action.pk).exists():
        raise PermissionDenied
    answer = answer.strip()
    if not answer:
        raise ValidationError("Write what you did, or why the decision stays as it is.")
    if len(answer) > LONGEST:
        raise ValidationError(f"An answer holds at most {LONGEST:,} characters. Shorten it.")
    with transaction.atomic():
        held = VerificationAction.objects.select_for_update(of=("self",)).get(pk=action.pk)
        if held.closed_at:
            raise ValidationError("This action is closed and stays as it is.")
        if new_decision is not None and new_decision != new_decision_on(held):
            raise ValidationError("That is not the decision which stands now in place of the questioned one.")
        claim_version(held, seen_version)
        held.answer, held.answered_at, held.new_decision = answer, now, new_decision
        held.save()
        audit.record(
            by=by,
            action="answer_action",
            subject=held,
            sentence="Action answered." if new_decision is None else "Action answered by a new decision.",
        )
    return held
