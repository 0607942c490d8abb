"""Draws a session's unknowns and codes afresh, or lets the teacher pick each group's."""

from collections.abc import Mapping, Sequence
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import QuerySet

from practicals import audit
from practicals.access import planned_sessions
from practicals.actions.plan_session import CannotPlan, check_stands, code_unknowns, put_on_lanes
from practicals.calculations.unknown_sets import check_sets
from practicals.models import Group, Lane, Paper, Session, User
from practicals.models.unknowns import Pool, codes_of, pool_of, sets_drawn
from reagents.models import claim_version


def draw_unknowns(
    *,
    by: User,
    session: Session,
    how: str,
    seed: int | None = None,
    seen_version: int | None = None,
    now: datetime,
) -> Session:
    """Draw codes and sets from a seed: the same for every group, or differing by group.

    Raises `CannotPlan` with a sentence once the session has started.
    """
    if not by.has_perm("practicals.plan_session") or not planned_sessions(by).contains(session):
        raise PermissionDenied
    if how not in (Session.Unknowns.SAME, Session.Unknowns.DIFFER):
        raise CannotPlan("Choose whether every group gets the same unknowns or they differ by group.")
    with transaction.atomic():
        session, pool = _open(session, seen_version)
        code_unknowns(session, how, seed)
        groups = list(Group.objects.filter(session=session))
        drawn = sets_drawn(session, pool, max((group.number for group in groups), default=0))
        _lay(session, pool, {group.pk: drawn[group.number - 1] for group in groups})
        audit.record(
            by=by,
            action="draw_unknowns",
            subject=session,
            sentence="Drew the unknowns and their codes.",
            detail={"seed": session.unknowns_seed, "unknowns": how},
        )
    return session


def pick_unknowns(
    *,
    by: User,
    session: Session,
    sets: Mapping[int, Sequence[str]],
    seen_version: int | None = None,
    now: datetime,
) -> Session:
    """Give each group, by its number, the unknowns with these keys, in the order of the lanes for unknowns.

    The codes stay. Raises `CannotPlan` or `UnknownSetError` with a sentence.
    """
    if not by.has_perm("practicals.plan_session") or not planned_sessions(by).contains(session):
        raise PermissionDenied
    with transaction.atomic():
        session, pool = _open(session, seen_version)
        groups = list(Group.objects.filter(session=session))
        if {group.number for group in groups} != set(sets):
            raise CannotPlan("The groups have changed in the meantime. Choose the unknowns of each again.")
        check_sets([sets[group.number] for group in groups], pool.unknowns, pool.each)
        if session.unknowns_seed is None:
            code_unknowns(session, Session.Unknowns.BY_HAND, None)
        session.unknowns = Session.Unknowns.BY_HAND
        session.save(update_fields=["unknowns"])
        _lay(session, pool, {group.pk: sets[group.number] for group in groups})
        audit.record(
            by=by,
            action="pick_unknowns",
            subject=session,
            sentence="Picked the unknowns of each group by hand.",
            detail={"sets": _in_codes(session, pool, sets)},
        )
    return session


def _open(session: Session, seen_version: int | None) -> tuple[Session, Pool]:
    """The session to be changed and its pool; refused once papers may carry the codes in pencil."""
    session = Session.objects.select_for_update().get(pk=session.pk)
    check_stands(session)
    claim_version(session, session.version if seen_version is None else seen_version)
    if session.started_at is not None:
        raise CannotPlan("The session has started, so its unknowns and their codes stay as they are.")
    pool = pool_of(session.practical)
    if not pool.each:
        raise CannotPlan("No lane of this practical is for an unknown, so there is nothing to draw.")
    session.save(update_fields=["version"])
    return session, pool


def _in_codes(session: Session, pool: Pool, sets: Mapping[int, Sequence[str]]) -> dict[str, list[str]]:
    """The trail is read by people who need no key."""
    codes = codes_of(session)
    return {str(number): [codes[pool.unknowns[key].pk] for key in keys] for number, keys in sets.items()}


def _lay(session: Session, pool: Pool, sets: Mapping[int, Sequence[str]]) -> None:
    """Lay the lanes anew. Before the start nobody can have used one, so they are a plan and no evidence."""
    papers = list(Paper.objects.filter(group__session=session))
    QuerySet(Lane).filter(paper__in=papers).delete()
    put_on_lanes(session, papers, sets, pool)
