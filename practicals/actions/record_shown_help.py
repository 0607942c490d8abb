"""Help that the program showed is part of the evidence."""

from collections.abc import Iterable
from datetime import datetime

from django.db import transaction

from practicals.audit import record
from practicals.calculations.shown_help import Shown
from practicals.models import HelpGiven, Paper, Session, User


def record_shown_help(
    *, learner: User, session: Session, paper: Paper | None, about: str, text: str, now: datetime
) -> HelpGiven:
    """Record one piece of help by the program, once per `about`."""
    with transaction.atomic():
        given, is_new = HelpGiven.objects.get_or_create(
            session=session,
            learner=learner,
            about=about,
            defaults={"paper": paper, "at": now, "text": text},
        )
        if is_new:
            _write(given)
    return given


def record_all_shown(
    *, learner: User, session: Session, paper: Paper, shown: Iterable[Shown], now: datetime
) -> list[HelpGiven]:
    """Record everything that a page shows; what was recorded before is left as it is."""
    by_about = {f"{paper.uuid.hex}:{one.about}": one for one in shown}
    if not by_about:
        return []
    before = HelpGiven.objects.filter(session=session, learner=learner, about__in=list(by_about))
    fresh = by_about.keys() - set(before.values_list("about", flat=True))
    if not fresh:
        return []
    with transaction.atomic():
        # Two tabs may show the same help at the same moment: the second finds it recorded.
        given = HelpGiven.objects.bulk_create(
            [
                HelpGiven(session=session, learner=learner, paper=paper, at=now, about=about, text=one.text)
                for about, one in by_about.items()
                if about in fresh
            ],
            ignore_conflicts=True,
        )
        _write(given[0])
    return given


def _write(given: HelpGiven) -> None:
    record(
        by=None,
        action="record_shown_help",
        subject=given,
        sentence="The program showed a learner help with their readings.",
        detail={"paper": str(given.paper.uuid) if given.paper else ""},
    )
