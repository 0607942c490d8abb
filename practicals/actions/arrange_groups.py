"""Changes groups by hand."""

from collections.abc import Mapping
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals import audit
from practicals.access import planned_sessions
from practicals.actions.plan_session import CannotPlan, check_stands, place_learners
from practicals.models import Enrolment, ReadingSet, Session, User
from reagents.models import claim_version


def arrange_groups(
    *,
    by: User,
    session: Session,
    places: Mapping[User, int | None],
    now: datetime,
    seen_version: int | None = None,
) -> Session:
    """Put each learner in the group of that number, or in none; numbers are closed up before the start.

    A learner who has readings stays in the group whose paper was measured.
    """
    if not by.has_perm("practicals.plan_session") or not planned_sessions(by).contains(session):
        raise PermissionDenied
    with transaction.atomic():
        session = Session.objects.select_for_update().get(pk=session.pk)
        check_stands(session)
        claim_version(session, session.version if seen_version is None else seen_version)
        if session.readings_locked_at is not None:
            raise CannotPlan("Bench work has ended, so the groups stay as they worked.")
        changed = _changed(session, places)
        _check(session, changed)
        leaving = [learner.pk for learner, number in changed.items() if number is None]
        session.members.filter(learner__in=leaving).delete()
        place_learners(session, {learner: number for learner, number in changed.items() if number})
        session.save(update_fields=["version"])
        audit.record(
            by=by,
            action="arrange_groups",
            subject=session,
            sentence=f"Changed groups by hand; {len(changed)} moved.",
            detail={str(learner.token): number for learner, number in changed.items()},
        )
    return session


def _changed(session: Session, places: Mapping[User, int | None]) -> dict[User, int | None]:
    now_in = dict(session.members.values_list("learner_id", "group__number"))
    return {learner: number for learner, number in places.items() if now_in.get(learner.pk) != number}


def _check(session: Session, changed: Mapping[User, int | None]) -> None:
    allowed = set(session.members.values_list("learner_id", flat=True)) | set(
        Enrolment.objects.filter(teaching_class=session.teaching_class, left_at=None).values_list(
            "learner_id", flat=True
        )
    )
    if any(learner.pk not in allowed for learner in changed):
        raise PermissionDenied
    # Once started, groups are not closed up, so a new one could leave a gap.
    largest = session.groups.count() + (0 if session.started_at else len(changed))
    if any(number is not None and not 1 <= number <= largest for number in changed.values()):
        raise CannotPlan(f"Group numbers run from 1 to {largest} here. Choose one of these.")
    measured = ReadingSet.objects.filter(session=session, learner__in=list(changed)).select_related("learner")
    for readings in measured:
        raise CannotPlan(f"{readings.learner} has entered readings of the group's paper and stays in it.")
