"""A learner whose own paper gave nothing measures another one; the source stands in the evidence."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Q

from practicals.access import led_learners, led_papers
from practicals.actions.note_at_bench import LONGEST_NOTE
from practicals.audit import record
from practicals.models import BenchNote, Paper, ReadingSet, Session, User

#: Sources that a teacher can give; one's own group's paper needs no giving.
GIVEN = (ReadingSet.Source.OTHER, ReadingSet.Source.PHOTO, ReadingSet.Source.SUPPLIED)


class CannotGive(ValueError):
    """The paper is not given; the message says why."""


def give_paper(
    *, by: User, learner: User, paper: Paper, source: str, reason: str = "", now: datetime
) -> ReadingSet:
    """Open a set of readings on another paper of the session, a photo or supplied data.

    It takes a cause: a paper or a set of readings of the learner's that ended as no result, or a reason
    in words. The reason stands as a note at the bench.
    """
    session = paper.group.session
    if not by.has_perm("practicals.change_conditions") or not led_papers(by).filter(pk=paper.pk).exists():
        raise PermissionDenied
    if not led_learners(session).filter(pk=learner.pk).exists():
        raise PermissionDenied
    with transaction.atomic():
        session = Session.objects.select_for_update().get(pk=session.pk)
        paper = Paper.objects.select_related("group").get(pk=paper.pk)  # as it is now, not as a page saw it
        _check(session, learner, paper, source, reason := reason.strip())
        readings: ReadingSet = ReadingSet.objects.create(
            session=session, paper=paper, learner=learner, source=source, saved_at=now
        )
        why = f" Reason: {reason}" if reason else ""
        text = f"Given paper {paper.letter} of group {paper.group.number} to measure ({source}).{why}"
        BenchNote.objects.create(session=session, learner=learner, by=by, at=now, text=text)
        record(
            by=by,
            action="give_paper",
            subject=readings,
            sentence=f"A learner was given paper {paper.letter} of group {paper.group.number}: {source}.",
            detail={"learner": str(learner.token), "source": source},
        )
    return readings


def ended_without_result(session: Session, learner: User) -> bool:
    """A paper of the learner's group, or a set of theirs, ended as no result."""
    own_paper = Q(group__members__learner=learner) & ~Q(no_result="")
    own_set = Q(reading_sets__in=ReadingSet.objects.filter(learner=learner).exclude(no_result=""))
    return bool(Paper.objects.filter(own_paper | own_set, group__session=session).exists())


def _check(session: Session, learner: User, paper: Paper, source: str, reason: str) -> None:
    if session.started_at is None:
        raise CannotGive("Start the session first; before that nobody has a paper.")
    if session.readings_locked_at is not None:
        raise CannotGive(
            "Bench work in this session has ended, so no new readings can be entered. Let the learner catch "
            "up in another session."
        )
    if source not in GIVEN:
        raise CannotGive("Say whether it is another group's paper, a photo of a paper or supplied data.")
    own = paper.group.members.filter(learner=learner).exists()
    if own and source == ReadingSet.Source.OTHER:
        raise CannotGive("This is the learner's own group's paper. Choose a paper of another group.")
    if paper.no_result and source == ReadingSet.Source.OTHER:
        raise CannotGive("That paper gives no result either. Choose another one.")
    if ReadingSet.objects.filter(paper=paper, learner=learner).exists():
        raise CannotGive("The learner has readings on this paper already. Choose another paper.")
    if not reason and not ended_without_result(session, learner):
        raise CannotGive(
            "None of the learner's papers ended without a result. Say why they measure another one."
        )
    if len(reason) > LONGEST_NOTE - 120:
        raise CannotGive(f"Keep the reason under {LONGEST_NOTE - 120} characters.")
