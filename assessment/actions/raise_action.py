"""Ask something of an assessor after verification."""

from dataclasses import dataclass
from datetime import date, datetime, timedelta

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import verifiable_portfolios
from assessment.models import CriterionVerdict, VerificationAction, VerificationRecord
from assessment.models.sample_chain import sign_off_of
from practicals import audit
from practicals.models import User

LONGEST = 5_000
FURTHEST = timedelta(days=366)


@dataclass(frozen=True, slots=True)
class ActionWanted:
    """What, by when, and whether the error may stand in the same assessor's other work too.

    Without a verdict it is about the record as a whole, and falls to the assessor of the work.
    """

    what: str
    due_on: date
    verdict: CriterionVerdict | None = None
    of_principle: bool = False


def raise_action(
    *, by: User, record: VerificationRecord, wanted: ActionWanted, now: datetime
) -> VerificationAction:
    """Open an action. It never touches the decision: only its assessor takes a new one."""
    may = by.has_perm("assessment.verify") and verifiable_portfolios(by).filter(pk=record.sampled_id).exists()
    if not may or record.verifier_id != by.pk:
        raise PermissionDenied
    with transaction.atomic():
        return keep_action(by=by, record=record, wanted=wanted, now=now)


def keep_action(
    *, by: User, record: VerificationRecord, wanted: ActionWanted, now: datetime
) -> VerificationAction:
    """The part that signing shares; whoever calls it has asked who may."""
    what, verdict = wanted.what.strip(), wanted.verdict
    _check(what, wanted.due_on, now)
    if verdict is not None and verdict.record_id != record.pk:
        raise ValidationError("That verdict belongs to another record.")
    if sign_off_of(record.sampled.plan):
        raise ValidationError("This sample is signed off, so no action can be opened in it any more.")
    owner = verdict.assessor if verdict else record.sampled.submission.work.assessor
    made = VerificationAction.objects.create(
        record=record,
        verdict=verdict,
        owner=owner,
        what=what,
        of_principle=wanted.of_principle,
        due_on=wanted.due_on,
        raised_by=by,
        raised_at=now,
    )
    audit.record(by=by, action="raise_action", subject=made, sentence="Action opened after verification.")
    return made


def _check(what: str, due_on: date, now: datetime) -> None:
    if not what:
        raise ValidationError("Write what the assessor is to do.")
    if len(what) > LONGEST:
        raise ValidationError(f"An action holds at most {LONGEST:,} characters. Shorten it.")
    if due_on < now.date():
        raise ValidationError("The day by which it is to be done has passed. Give a later one.")
    if due_on > now.date() + FURTHEST:
        raise ValidationError("That day is more than a year away. Check the year.")
