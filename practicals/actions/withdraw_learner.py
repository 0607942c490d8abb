"""Take a learner out of a class. What they did stays."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Q

from practicals.access import readable_classes
from practicals.audit import record
from practicals.models import BenchCode, Enrolment, TeachingClass, User


class CannotWithdraw(ValueError):
    """The learner cannot be withdrawn; the message says why."""


def withdraw_learner(
    *, by: User, teaching_class: TeachingClass, learner: User, reason: str, now: datetime
) -> Enrolment:
    """End the enrolment and the bench codes of the class's open sessions; keep evidence and groups."""
    if not by.has_perm("practicals.import_class"):
        raise PermissionDenied
    if not readable_classes(by).filter(pk=teaching_class.pk).exists():
        raise PermissionDenied
    if not reason.strip():
        raise CannotWithdraw("Say why the learner leaves the class, such as: moved to class 2B.")
    with transaction.atomic():
        enrolment = (
            Enrolment.objects.select_for_update()
            .filter(teaching_class=teaching_class, learner=learner, left_at=None)
            .first()
        )
        if enrolment is None:
            raise CannotWithdraw("This learner is not in the class any more.")
        enrolment.left_at, enrolment.left_reason = now, reason.strip()[:120]
        enrolment.save(update_fields=["left_at", "left_reason"])
        _end_bench_codes(teaching_class, learner)
        record(
            by=by,
            action="withdraw_learner",
            subject=teaching_class,
            sentence="A learner was withdrawn from the class. What they did is kept.",
            detail={"learner": str(learner.token), "reason": enrolment.left_reason},
        )
    return enrolment


def _end_bench_codes(teaching_class: TeachingClass, learner: User) -> None:
    """Those of the class's sessions, and of sessions where the learner catches one of them up."""
    caught_up = learner.memberships.filter(home_session__teaching_class=teaching_class)
    of_class = Q(session__teaching_class=teaching_class) | Q(session__in=caught_up.values("session"))
    BenchCode.objects.filter(of_class, learner=learner, session__closed_at=None).delete()
