"""Close an action: by somebody other than its owner, with a note on what closed it."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import closable_actions
from assessment.actions.raise_action import LONGEST
from assessment.models import VerificationAction
from assessment.models.follow_up_state import against_third_opinion
from practicals import audit
from practicals.models import Role, User
from reagents.models import claim_version


def close_action(
    *, by: User, action: VerificationAction, note: str, seen_version: int, now: datetime
) -> VerificationAction:
    """Close it once it is answered; a lead verifier may close one that nobody can answer any more.

    Where a third person gave an opinion, the decision must follow it first. Raises `Stale`.
    """
    if not by.has_perm("assessment.verify") or not closable_actions(by).filter(pk=action.pk).exists():
        raise PermissionDenied
    note = note.strip()
    if not note:
        raise ValidationError("Write what you saw that closes this action.")
    if len(note) > LONGEST:
        raise ValidationError(f"A note holds at most {LONGEST:,} characters. Shorten it.")
    with transaction.atomic():
        held = VerificationAction.objects.select_for_update(of=("self",)).get(pk=action.pk)
        if held.closed_at:
            raise ValidationError("This action is closed already.")
        if held.answered_at is None and not by.holds(Role.LEAD_VERIFIER):
            raise ValidationError("The assessor has not answered yet. Wait, or ask the lead verifier.")
        if opinion := against_third_opinion(held):
            raise ValidationError(
                f"The third person found “{opinion.outcome}”. The assessor takes that decision first."
            )
        claim_version(held, seen_version)
        held.closed_by, held.closed_at, held.closing_note = by, now, note
        held.save()
        audit.record(by=by, action="close_action", subject=held, sentence="Action closed.")
    return held
