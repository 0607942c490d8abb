"""When a paper came out of its chamber."""

from datetime import datetime

from django.db import transaction

from practicals.actions.start_development import CannotFollow, hour, may_follow, may_still_change
from practicals.audit import record
from practicals.calculations.clock_time import CLOCKS_DIFFER
from practicals.models import Development, FrontMark, Paper, User


def take_out(
    *, by: User, paper: Paper, now: datetime, at: datetime | None = None, taken_back: bool = False
) -> Development:
    """Say that a paper was taken out, or take a wrong tap back. The same again changes nothing."""
    may_follow(by, paper)
    with transaction.atomic():
        may_still_change(by, paper)
        development = Development.objects.select_for_update().filter(paper=paper).first()
        if development is None:
            raise CannotFollow("Enter first when the paper was put into the liquid.")
        if (development.taken_out_at is None) == taken_back:
            return development
        if not taken_back:
            _check(development, at or now, now)
        development.taken_out_at = None if taken_back else at or now
        development.save(update_fields=["taken_out_at"])
        said = "is in its chamber after all" if taken_back else "was taken out"
        record(
            by=by,
            action="take_out",
            subject=paper,
            sentence=f"Paper {paper.letter} of group {paper.group.number} {said}.",
            detail={"at": (at or now).isoformat(), "taken_back": taken_back},
        )
    return development


def _check(development: Development, at: datetime, now: datetime) -> None:
    if at > now + CLOCKS_DIFFER:
        raise CannotFollow("That time is still to come. Enter when the paper was taken out.")
    if at < development.started_at:
        raise CannotFollow(
            f"The paper was put in at {hour(development.started_at)}, so it came out later than that."
        )
    last = FrontMark.objects.filter(paper_id=development.paper_id, withdrawn_at=None).last()
    if last is not None and at < last.at:
        raise CannotFollow(
            f"A height was read at {hour(last.at)}, so the paper was still in then."
            " Enter a later time, or withdraw that height."
        )
