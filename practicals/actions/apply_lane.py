"""Who applied the spot of a lane: skill is personal, the paper is shared."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.audit import record
from practicals.models import Lane, User


class AppliedByAnother(ValueError):
    """Somebody else of the group has said that the lane is theirs."""

    def __init__(self, lane: Lane) -> None:
        self.lane = lane
        super().__init__(
            f"Someone else in your group has said that they applied lane {lane.number}. If that is wrong, ask"
            " them to take it back."
        )


class TooLateToApply(ValueError):
    """Bench work has ended."""

    def __init__(self) -> None:
        super().__init__("Bench work has ended, so who applied a lane can no longer be changed.")


def apply_lane(*, by: User, lane: Lane, now: datetime, taken_back: bool = False) -> Lane:
    """Say that one applied a lane of one's own group's paper, or take a wrong tap back."""
    group = lane.paper.group
    if not by.has_perm("practicals.enter_readings") or not group.members.filter(learner=by).exists():
        raise PermissionDenied
    if by.bench_session not in {None, group.session.uuid} or group.session.started_at is None:
        raise PermissionDenied
    with transaction.atomic():
        current = Lane.objects.select_for_update().get(pk=lane.pk)
        if group.session.readings_locked_at:
            raise TooLateToApply
        if current.applied_by_id not in {None, by.pk}:
            raise AppliedByAnother(current)
        wanted = None if taken_back else by.pk
        if current.applied_by_id == wanted:
            return current
        current.applied_by_id = wanted
        current.save(update_fields=["applied_by"])
        said = "A learner took back having applied" if taken_back else "A learner said to have applied"
        record(
            by=by,
            action="apply_lane",
            subject=lane.paper,
            sentence=f"{said} lane {lane.number}.",
            detail={"lane": lane.number, "at": now.isoformat(), "taken_back": taken_back},
        )
    return current
