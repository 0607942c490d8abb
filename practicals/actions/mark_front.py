"""A height of the solvent front and when it was read, through the closed chamber."""

from datetime import datetime
from decimal import Decimal

from django.db import transaction

from practicals.actions.start_development import CannotFollow, hour, may_follow, may_still_change, short
from practicals.audit import record
from practicals.calculations.clock_time import CLOCKS_DIFFER
from practicals.models import Development, FrontMark, Paper, User

#: Of one paper, those withdrawn left out.
MOST_MARKS = 60


def mark_front(
    *, by: User, paper: Paper, height_mm: Decimal, now: datetime, at: datetime | None = None
) -> FrontMark:
    """Keep a height above the liquid's surface. The same height at the same time is kept once."""
    may_follow(by, paper)
    at = at or now
    with transaction.atomic():
        may_still_change(by, paper)
        marks = FrontMark.objects.filter(paper=paper, withdrawn_at=None)
        same = marks.filter(at=at).first()
        if same is not None and same.height_mm == height_mm:
            return same
        _check_time(paper, at, now)
        _check_height(paper, height_mm)
        if same is not None:
            raise CannotFollow(
                f"A height of {short(same.height_mm)} mm stands for {hour(at)} already. Withdraw it first,"
                " if it is wrong."
            )
        if marks.count() >= MOST_MARKS:
            raise CannotFollow(f"{MOST_MARKS} heights are kept for this paper, and no more. Withdraw some.")
        mark = FrontMark.objects.create(paper=paper, height_mm=height_mm, at=at, by=by)
        record(
            by=by,
            action="mark_front",
            subject=mark,
            sentence=f"A height of the front of paper {paper.letter} of group {paper.group.number} was kept.",
            detail={"height_mm": str(height_mm), "at": at.isoformat()},
        )
    return mark


def _check_time(paper: Paper, at: datetime, now: datetime) -> None:
    development = Development.objects.filter(paper=paper).first()
    if development is None:
        raise CannotFollow("Enter first when the paper was put into the liquid.")
    if at > now + CLOCKS_DIFFER:
        raise CannotFollow("That time is still to come. Enter when you read the height.")
    if at <= development.started_at:
        raise CannotFollow(
            f"The paper was put in at {hour(development.started_at)}. Enter a later time, or correct when it"
            " was put in."
        )
    if development.taken_out_at is not None and at > development.taken_out_at:
        raise CannotFollow(
            f"The paper was taken out at {hour(development.taken_out_at)}. Enter an earlier time."
        )


def _check_height(paper: Paper, height_mm: Decimal) -> None:
    if not height_mm.is_finite() or height_mm <= 0:
        raise CannotFollow("Enter a height above the liquid's surface, in millimetres.")
    development = Development.objects.get(paper=paper)
    top = paper.height_mm - development.immersed_mm
    if height_mm > top:
        raise CannotFollow(
            f"{short(height_mm)} mm above the liquid is beyond the paper, which ends {short(top)} mm above"
            " it. Measure again, in millimetres."
        )
