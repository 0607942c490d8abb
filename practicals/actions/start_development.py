"""When a paper was put into the liquid and how deep: the front tracker counts from here."""

from datetime import datetime, timedelta
from decimal import Decimal

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.utils import timezone

from practicals.access import followed_papers
from practicals.audit import record
from practicals.calculations.clock_time import CLOCKS_DIFFER
from practicals.models import Development, FrontMark, Paper, Session, User

#: A paper that has stood in its chamber for longer than a day is not entered at the bench.
LONGEST_AGO = timedelta(hours=24)


class CannotFollow(ValueError):
    """What was entered of a paper in its chamber is not kept; the message says why."""


def start_development(
    *, by: User, paper: Paper, immersed_mm: Decimal, now: datetime, started_at: datetime | None = None
) -> Development:
    """Say that a paper was put in, or correct when and how deep. The same again changes nothing."""
    may_follow(by, paper)
    started = started_at or now
    with transaction.atomic():
        may_still_change(by, paper)
        earlier = Development.objects.select_for_update().filter(paper=paper).first()
        if earlier is not None and _to_the_minute(earlier.started_at) == _to_the_minute(started):
            started = earlier.started_at  # a form shows no seconds, and would take them away
        if earlier is not None and (earlier.started_at, earlier.immersed_mm) == (started, immersed_mm):
            return earlier
        _check_depth(paper, immersed_mm)
        _check_start(started, now)
        if earlier is not None:
            _check_correction(earlier, started, immersed_mm)
        kept, _ = Development.objects.update_or_create(
            paper=paper, defaults={"started_at": started, "immersed_mm": immersed_mm, "by": by}
        )
        said = "was corrected" if earlier else "was recorded"
        record(
            by=by,
            action="start_development",
            subject=paper,
            sentence=f"When paper {paper.letter} of group {paper.group.number} was put in {said}.",
            detail={
                "started_at": started.isoformat(),
                "immersed_mm": str(immersed_mm),
                "before": _facts(earlier) if earlier else {},
            },
        )
    return kept


def may_follow(by: User, paper: Paper) -> None:
    """Learners of the paper's group at the bench, and who leads the lesson."""
    allowed = by.has_perm("practicals.enter_readings") or by.has_perm("practicals.run_lesson")
    if not allowed or not followed_papers(by).filter(pk=paper.pk).exists():
        raise PermissionDenied


def may_still_change(by: User, paper: Paper) -> Session:
    """The session, held for the transaction, while its papers may still be followed."""
    session = Session.objects.select_for_update().get(pk=paper.group.session_id)
    if session.started_at is None:
        raise CannotFollow("The session has not been started, so no paper is in its chamber yet.")
    if session.closed_at is not None:
        raise CannotFollow("The session is closed, so what was noted of its papers no longer changes.")
    if session.readings_locked_at is not None and not by.has_perm("practicals.run_lesson"):
        raise CannotFollow("Bench work has ended. Ask your teacher to enter what is missing.")
    return session


def hour(moment: datetime) -> str:
    """The time as the clock on the wall shows it."""
    return f"{timezone.localtime(moment):%H:%M}"


def short(length_mm: Decimal) -> str:
    """A length without trailing noughts."""
    text = f"{length_mm:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _check_depth(paper: Paper, immersed_mm: Decimal) -> None:
    if not immersed_mm.is_finite() or immersed_mm <= 0:
        raise CannotFollow("Enter how deep the paper's lower edge stands in the liquid, such as 8 mm.")
    if immersed_mm >= paper.origin_height_mm:
        raise CannotFollow(
            f"A depth of {short(immersed_mm)} mm puts the origin line, {short(paper.origin_height_mm)} mm"
            " above the lower edge, into the liquid, and the spots dissolve in it. Measure the depth again;"
            " if it is true, take the paper out and tell your teacher."
        )


def _check_start(started: datetime, now: datetime) -> None:
    if started > now + CLOCKS_DIFFER:
        raise CannotFollow("That time is still to come. Enter when the paper was put in.")
    if started < now - LONGEST_AGO:
        raise CannotFollow("That is more than a day ago. Enter when the paper was put in today.")


def _check_correction(earlier: Development, started: datetime, immersed_mm: Decimal) -> None:
    if earlier.taken_out_at is not None:
        raise CannotFollow("The paper has been taken out. Take that back first, if it is wrong.")
    marks = FrontMark.objects.filter(paper_id=earlier.paper_id, withdrawn_at=None)
    first = marks.first()
    if first is not None and first.at <= started:
        raise CannotFollow(
            f"A height was read at {hour(first.at)}, so the paper was put in before that."
            " Withdraw that height first, if its time is wrong."
        )
    if first is not None and immersed_mm != earlier.immersed_mm:
        raise CannotFollow(
            f"The heights stand for a depth of {short(earlier.immersed_mm)} mm. Withdraw them first, then"
            " correct the depth."
        )


def _facts(development: Development) -> dict[str, str]:
    return {
        "started_at": development.started_at.isoformat(),
        "immersed_mm": str(development.immersed_mm),
    }


def _to_the_minute(moment: datetime) -> datetime:
    return moment.replace(second=0, microsecond=0)
