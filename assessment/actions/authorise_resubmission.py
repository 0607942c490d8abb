"""The lead verifier authorises one more attempt, and the days are counted once and for all."""

from collections.abc import Collection
from datetime import date, datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction
from django.utils import timezone

from assessment.access import answerable_grants
from assessment.calculations.attempts import CONDITIONS, Deadline, resubmission_deadline
from assessment.calculations.deadlines import DeadlineError
from assessment.models import CalendarDay, ResubmissionGrant
from assessment.models.attempt_state import rules_of
from practicals import audit
from practicals.models import Centre, User


def authorise_resubmission(
    *, by: User, grant: ResubmissionGrant, ticked: Collection[str], received_on: date, now: datetime
) -> ResubmissionGrant:
    """Open the next attempt until a stored date; authorising twice changes nothing.

    Every one of `attempts.CONDITIONS` must be ticked. `received_on` is the day on which the learner got
    the decision: not before it was released, not after today.
    """
    grant = answerable(by, grant)
    missing = [words for name, words in CONDITIONS.items() if name not in ticked]
    if missing:
        raise ValidationError("All five conditions must hold. Not ticked: " + " ".join(missing))
    with transaction.atomic():
        grant = ResubmissionGrant.objects.select_for_update(of=("self",)).get(pk=grant.pk)
        if grant.authorised_at:
            return grant
        if grant.refused_at:
            raise ValidationError("It was refused before, so it cannot be authorised.")
        _check_received(grant, received_on, now)
        due = deadline_for(grant, received_on)
        if due.moment <= now:
            raise ValidationError(
                f"Counted from {received_on}, the time would be over already. Check the day of receipt."
            )
        grant.authorised_by, grant.authorised_at = by, now
        for name in CONDITIONS:
            setattr(grant, name, True)
        grant.received_on, grant.due_at = received_on, due.moment
        grant.working_days = rules_of(grant.submission.work.assignment).working_days
        grant.counted_with = due.counted_with[:300]
        grant.save()
        audit.record(
            by=by,
            action="authorise_resubmission",
            subject=grant,
            sentence="Resubmission authorised; all five conditions ticked.",
            detail={"due_at": due.moment.isoformat()},
        )
    return grant


def deadline_for(grant: ResubmissionGrant, received_on: date) -> Deadline:
    """Count the deadline as it would be given now; raises `ValidationError` with the sentence."""
    centre = Centre.here()
    by_kind: dict[str, set[date]] = {}
    for row in CalendarDay.objects.standing().filter(region__in=["", centre.region]):
        by_kind.setdefault(row.kind, set()).add(row.day)
    kinds = CalendarDay.Kind
    try:
        return resubmission_deadline(
            received_on,
            rules_of(grant.submission.work.assignment),
            region=centre.region,
            tz=centre.time_zone,
            closed=by_kind.get(kinds.BANK_HOLIDAY, set()) | by_kind.get(kinds.CLOSED, set()),
            vacations=by_kind.get(kinds.VACATION, set()),
            opened=by_kind.get(kinds.OPEN, set()),
        )
    except DeadlineError as error:
        raise ValidationError(str(error)) from error


def answerable(by: User, grant: ResubmissionGrant) -> ResubmissionGrant:
    """The request itself, or no permission: it may be their own learner's."""
    if not by.has_perm("assessment.authorise_resubmission"):
        raise PermissionDenied
    if not answerable_grants(by).filter(pk=grant.pk).exists():
        raise PermissionDenied
    return grant


def _check_received(grant: ResubmissionGrant, received_on: date, now: datetime) -> None:
    released = grant.submission.feedback.released_at
    if released and received_on < timezone.localdate(released):
        raise ValidationError("The learner cannot have received it before it was released. Check the day.")
    if received_on > timezone.localdate(now):
        raise ValidationError("The day of receipt is not in the future. Check the day.")
