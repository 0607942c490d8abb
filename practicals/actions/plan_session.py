"""Plans a session: a practical, a class, its lessons, groups, chambers and papers."""

import secrets
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import QuerySet

from practicals import audit
from practicals.access import readable_classes
from practicals.calculations.grouping import groups_by_size
from practicals.calculations.unknown_sets import draw_codes
from practicals.models import (
    Chamber,
    Group,
    GroupMember,
    Lane,
    Lesson,
    Paper,
    Practical,
    Session,
    TeachingClass,
    UnknownCode,
    User,
)
from practicals.models.unknowns import Pool, codes_of, pool_of, sets_drawn

LARGEST_SEED = 2**31 - 1


class CannotPlan(ValueError):
    """The session cannot be like this; the message says why and what to do."""


def check_stands(session: Session) -> None:
    """Refuse to build upon a session that was withdrawn."""
    if session.withdrawn_at is not None:
        raise CannotPlan("The session was withdrawn and stays as it was. Plan a new one if it is wanted.")


@dataclass(frozen=True, slots=True)
class LessonPlan:
    starts_at: datetime
    minutes: int
    room: str
    leader: User


def plan_session(
    *,
    by: User,
    practical: Practical,
    teaching_class: TeachingClass,
    lessons: Sequence[LessonPlan],
    group_size: int,
    seed: int | None = None,
    unknowns: str = Session.Unknowns.SAME,
    unknowns_seed: int | None = None,
    help_setting: str = Session.Help.HINT,
    title: str = "",
    also_for: Sequence[TeachingClass] = (),
    now: datetime,
) -> Session:
    """Plan a session, and one like it, still without lessons, for each class in `also_for`.

    Raises `CannotPlan` or `GroupingError` with a sentence; then nothing is kept.
    """
    if not by.has_perm("practicals.plan_session"):
        raise PermissionDenied
    if not lessons:
        raise CannotPlan("Give at least the first lesson.")
    with transaction.atomic():
        session = lay_out(
            by=by,
            practical=practical,
            teaching_class=teaching_class,
            lessons=lessons,
            group_size=group_size,
            seed=seed,
            unknowns=unknowns,
            unknowns_seed=unknowns_seed,
            help_setting=help_setting,
            title=title,
            now=now,
        )
        audit.record(
            by=by,
            action="plan_session",
            subject=session,
            sentence=f"Planned a session of {practical.slug}, edition {practical.edition}.",
            detail={"seed": session.group_seed, "group_size": group_size},
        )
        for parallel in also_for:
            copy_for(by=by, session=session, teaching_class=parallel, lessons=(), now=now)
    return session


def copy_for(
    *,
    by: User,
    session: Session,
    teaching_class: TeachingClass,
    lessons: Sequence[LessonPlan],
    now: datetime,
) -> Session:
    """The same plan for another class, with groups, unknowns and codes of its own, in one transaction."""
    if session.teaching_class_id == teaching_class.pk:
        raise CannotPlan("The session is for this class already. Choose another class for the copy.")
    drawn = Session.Unknowns.SAME if session.unknowns == Session.Unknowns.SAME else Session.Unknowns.DIFFER
    copy = lay_out(
        by=by,
        practical=session.practical,
        teaching_class=teaching_class,
        lessons=lessons,
        group_size=session.group_size,
        seed=None,
        unknowns=drawn if session.unknowns else Session.Unknowns.SAME,
        help_setting=session.help_setting,
        title="",
        now=now,
        copied_from=session,
    )
    audit.record(
        by=by,
        action="copy_session",
        subject=copy,
        sentence="Copied a session for a parallel class.",
        detail={"from": str(session.uuid), "seed": copy.group_seed},
    )
    return copy


def lay_out(
    *,
    by: User,
    practical: Practical,
    teaching_class: TeachingClass,
    lessons: Sequence[LessonPlan],
    group_size: int,
    seed: int | None,
    help_setting: str,
    title: str,
    now: datetime,
    unknowns: str = Session.Unknowns.SAME,
    unknowns_seed: int | None = None,
    copied_from: Session | None = None,
) -> Session:
    """Make the records of a session. Its caller holds the transaction and writes the audit."""
    if not readable_classes(by).filter(pk=teaching_class.pk).exists():
        raise PermissionDenied
    check_lessons(lessons)
    session = Session.objects.create(
        practical=practical,
        teaching_class=teaching_class,
        teacher=by,
        title=(title.strip() or f"{practical.title}, {teaching_class.name}")[:160],
        help_setting=help_setting,
        group_size=group_size,
        group_seed=secrets.randbelow(LARGEST_SEED) if seed is None else seed,
        copied_from=copied_from,
        planned_at=now,
    )
    for lesson in lessons:
        Lesson.objects.create(
            session=session,
            starts_at=lesson.starts_at,
            minutes=lesson.minutes,
            room=lesson.room,
            leader=lesson.leader,
        )
    code_unknowns(session, unknowns, unknowns_seed)
    draw_groups(session, list(teaching_class.learners()))
    return session


def code_unknowns(session: Session, how: str, seed: int | None) -> None:
    """Record how the unknowns are given out and the seed, and draw a code for each of the pool.

    A code that another open session uses is not drawn again: two bottles in one prep room never share it.
    """
    pool = pool_of(session.practical)
    if not pool.each:
        return
    session.unknowns = how
    session.unknowns_seed = secrets.randbelow(LARGEST_SEED) if seed is None else seed
    session.save(update_fields=["unknowns", "unknowns_seed"])
    elsewhere = UnknownCode.objects.exclude(session=session).filter(session__closed_at=None)
    taken = set(elsewhere.filter(session__withdrawn_at=None).values_list("code", flat=True))
    codes = draw_codes(len(pool.unknowns), session.unknowns_seed, taken)
    QuerySet(UnknownCode).filter(session=session).delete()
    UnknownCode.objects.bulk_create(
        UnknownCode(session=session, analyte=analyte, code=code)
        for analyte, code in zip(pool.unknowns.values(), codes, strict=True)
    )


def check_lessons(lessons: Sequence[LessonPlan]) -> None:
    starts = [lesson.starts_at for lesson in lessons]
    if len(set(starts)) < len(starts):
        raise CannotPlan("Two lessons of the session start at the same time. Change one of them.")


def draw_groups(session: Session, learners: Sequence[User]) -> None:
    """Draw the groups afresh from the session's seed and size, by the learners' keys, which never change."""
    # Of one width, since the draw sorts them as text. By a random identity a demo would differ each time.
    by_key = {f"{learner.pk:012}": learner for learner in learners}
    drawn = groups_by_size(list(by_key), session.group_size, session.group_seed)
    places = {by_key[key]: number for number, keys in enumerate(drawn, start=1) for key in keys}
    place_learners(session, places)


def place_learners(session: Session, places: dict[User, int]) -> None:
    """Put each learner in the group of that number; groups are made as needed, empty ones closed up."""
    groups = {group.number: group for group in session.groups.all()}
    for number in sorted(set(places.values()) - set(groups)):
        groups[number] = Group.objects.create(session=session, number=number)
    members = {member.learner_id: member for member in session.members.all()}
    for learner, number in places.items():
        member = members.get(learner.pk)
        if member is None:
            GroupMember.objects.create(session=session, group=groups[number], learner=learner)
        elif member.group_id != groups[number].pk:
            member.group = groups[number]
            member.save(update_fields=["group"])
    close_up_groups(session)
    furnish_groups(session)


def close_up_groups(session: Session) -> None:
    """Number the groups without gaps, before the session starts.

    A group without members, with its unused paper and chamber, is a plan that was changed and no
    evidence: this is the one place that takes such rows out, and only while nobody can have used them.
    """
    if session.started_at is not None:
        return
    empty = list(Group.objects.filter(session=session, members=None))
    for model, path in ((Lane, "paper__group__in"), (Paper, "group__in"), (Chamber, "group__in")):
        QuerySet(model).filter(**{path: empty}).delete()
    QuerySet(Group).filter(pk__in=[group.pk for group in empty]).delete()
    for number, group in enumerate(Group.objects.filter(session=session).order_by("number"), start=1):
        if group.number != number:
            group.number = number
            group.save(update_fields=["number"])


def furnish_groups(session: Session) -> None:
    """Give each group that has none its chambers, and a paper with its lanes in each of them."""
    practical = session.practical
    bare = list(Group.objects.filter(session=session, chambers=None))
    numbers = range(1, practical.chambers_per_group + 1)
    chambers = Chamber.objects.bulk_create(
        Chamber(group=group, number=number) for group in bare for number in numbers
    )
    papers = Paper.objects.bulk_create(
        Paper(
            group=chamber.group,
            letter=chr(ord("A") + chamber.number - 1),
            chamber=chamber,
            width_mm=practical.paper_width_mm,
            height_mm=practical.paper_height_mm,
            origin_height_mm=practical.origin_height_mm,
        )
        for chamber in chambers
    )
    pool = pool_of(practical)
    sets = sets_drawn(session, pool, max((group.number for group in bare), default=0))
    put_on_lanes(session, papers, {group.pk: sets[group.number - 1] for group in bare}, pool)


def put_on_lanes(
    session: Session, papers: Sequence[Paper], sets: Mapping[int, Sequence[str]], pool: Pool
) -> None:
    """Make the papers' lanes by the practical's plan, each group's unknowns in the places for unknowns."""
    analytes = {analyte.key: analyte for analyte in session.practical.analytes.all()}
    codes = codes_of(session)
    lanes = []
    for paper in papers:
        chosen = dict(zip(pool.places, sets[paper.group_id], strict=True))
        for number, key in enumerate(session.practical.lane_plan, start=1):
            analyte = analytes[chosen.get(key, key)]
            lanes.append(Lane(paper=paper, number=number, analyte=analyte, code=codes.get(analyte.pk, "")))
    Lane.objects.bulk_create(lanes)
