"""Which batches a session's chambers may be filled from, and what ran in a batch. No learner is read here."""

from dataclasses import dataclass
from datetime import datetime
from itertools import groupby

from django.db.models import Count, Q, QuerySet

from practicals.models.session import Chamber, Session
from reagents.models import Batch


@dataclass(frozen=True, slots=True)
class BatchChoice:
    """A batch, and why it is not proposed; empty if it is."""

    batch: Batch
    why_not: str

    @property
    def proposed(self) -> bool:
        return not self.why_not


def why_not_proposed(session: Session, batch: Batch, now: datetime) -> str:
    """Empty for a batch made for this session's requisition that is neither recalled nor too old."""
    if batch.recalled_at is not None:
        return f"Batch {batch.code} was recalled: {batch.recall_reason.rstrip('.')}."
    if batch.use_by is not None and batch.use_by < now:
        return f"Batch {batch.code} is past its use-by time."
    if session.requisition_id is None or batch.line is None:
        return f"Batch {batch.code} was not made for this session."
    if batch.line.requisition_id != session.requisition_id:
        return f"Batch {batch.code} was made for another session."
    return ""


def batch_choices(session: Session, now: datetime) -> list[BatchChoice]:
    """The batches of the session's mobile phase, the proposed ones first, then the newest first."""
    slug = session.practical.mobile_phase.slug
    batches = Batch.objects.filter(recipe__slug=slug).select_related("recipe", "line")
    found = [BatchChoice(batch, why_not_proposed(session, batch, now)) for batch in batches[:100]]
    return sorted(found, key=lambda choice: not choice.proposed)


def chambers_of(session: Session) -> "QuerySet[Chamber]":
    """The session's chambers with what they were filled from and the papers in them."""
    mine = Chamber.objects.filter(group__session=session).order_by("group__number", "number")
    return mine.select_related("group", "batch", "filled_by").prefetch_related("papers")


@dataclass(frozen=True, slots=True)
class Run:
    """A session in which a batch was used."""

    session: Session
    title: str
    chambers: tuple[Chamber, ...]


def runs_in(batch: Batch, sessions: "QuerySet[Session]") -> list[Run]:
    """Every chamber that a batch went into, with the papers that ran in it, session by session."""
    filled = Chamber.objects.filter(batch=batch, group__session__in=sessions)
    filled = filled.select_related("group__session__practical")
    filled = filled.prefetch_related("papers", "group__session__lessons")
    rows = list(filled.order_by("-group__session__planned_at", "group__session", "group__number", "number"))
    by_session = groupby(rows, key=lambda chamber: chamber.group.session)
    return [Run(session, nameless_title(session), tuple(found)) for session, found in by_session]


def sessions_to_fill(batch: Batch) -> "QuerySet[Session]":
    """Sessions in the batch's mobile phase that still have an empty chamber."""
    empty = Count("groups__chambers", filter=Q(groups__chambers__batch=None), distinct=True)
    running = Session.objects.filter(
        closed_at=None, withdrawn_at=None, practical__mobile_phase__slug=batch.recipe.slug
    )
    counted = running.annotate(empty_chambers=empty, chambers=Count("groups__chambers", distinct=True))
    return counted.filter(empty_chambers__gt=0).select_related("practical").prefetch_related("lessons")


def nameless_title(session: Session) -> str:
    """Practical, rooms: what the prep room may read. A session's own title may hold a name."""
    rooms = dict.fromkeys(lesson.room for lesson in session.lessons.all())
    return ", ".join([session.practical.title, *rooms])
