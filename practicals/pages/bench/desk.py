"""What the pages of the bench show: gathered once, in a fixed number of queries."""

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.http import HttpRequest
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone

from practicals.access import bench_papers, bench_sessions, own_photos, own_readings
from practicals.actions.record_shown_help import record_all_shown
from practicals.calculations.entry import ReadingEntry
from practicals.calculations.measured import Measured
from practicals.calculations.review import CANNOT_BE_TOLD, Review
from practicals.calculations.shown_help import Shown, help_for, result_help_for
from practicals.models import (
    Analyte,
    Group,
    Lane,
    Lesson,
    Paper,
    PaperPhoto,
    Practical,
    ReadingSet,
    Session,
    User,
)
from practicals.models.front_run import FrontRun, front_runs
from practicals.models.help_setting import help_setting_for
from practicals.models.paper import PaperQuerySet
from practicals.models.readings import ReadingSetQuerySet
from practicals.models.review import review


@dataclass(frozen=True, slots=True)
class LaneAtBench:
    """A lane and whether this learner, or somebody else of the group, applied it."""

    lane: Lane
    mine: bool
    taken: bool


@dataclass(frozen=True, slots=True)
class PaperAtBench:
    """A paper of one's own group, or one that the teacher gave, and one's own readings of it."""

    paper: Paper
    lanes: tuple[LaneAtBench, ...]
    readings: ReadingSet | None
    review: Review | None
    own_group: bool
    front: FrontRun


@dataclass(frozen=True, slots=True)
class Bench:
    """A session as one learner sees it."""

    session: Session
    lessons: tuple[Lesson, ...]
    group: Group | None
    mates: tuple[User, ...]
    papers: tuple[PaperAtBench, ...]


@dataclass(frozen=True, slots=True)
class PhotoAtBench:
    """One's own photo, and what it shows for whoever does not see it."""

    photo: PaperPhoto
    alt: str


class LearnerRequest(HttpRequest):
    """A request that the gate let through: whoever sends it is signed in."""

    user: User


def session_of(user: User, uuid: UUID) -> Session:
    sessions = bench_sessions(user).select_related("practical", "teaching_class").distinct()
    return get_object_or_404(sessions, uuid=uuid)


def sessions_of(user: User) -> list[Session]:
    sessions = bench_sessions(user).select_related("practical").prefetch_related("lessons")
    return list(sessions.distinct())


def paper_of(user: User, uuid: UUID) -> Paper:
    return get_object_or_404(_papers(user), uuid=uuid)


def _papers(user: User) -> PaperQuerySet:
    return Paper.objects.for_bench().filter(pk__in=bench_papers(user).values("pk"))


def _sets(user: User) -> ReadingSetQuerySet:
    return ReadingSet.objects.whole().filter(pk__in=own_readings(user).values("pk"))


def own_set(user: User, paper: Paper) -> ReadingSet | None:
    """One's own readings of a paper, with all that recomputing needs."""
    readings: ReadingSet | None = _sets(user).filter(paper=paper).first()
    if readings is not None:
        readings.paper = paper
    return readings


def photos_of(user: User, paper: Paper) -> tuple[PhotoAtBench, ...]:
    """One's own photos of a paper, without those withdrawn."""
    return tuple(
        PhotoAtBench(photo, f"Photo of group {paper.group.number}’s paper {paper.letter}, by you, {when}")
        for photo in PaperPhoto.objects.standing().filter(pk__in=own_photos(user), paper=paper)
        for when in [_when(photo.added_at)]
    )


def _when(moment: datetime) -> str:
    local = timezone.localtime(moment)
    return f"{local.day} {local:%b %H:%M}"


def standards_of(practical: Practical) -> tuple[tuple[str, str], ...]:
    """Key and name of each standard. What is in an unknown is not asked for here."""
    standards = practical.analytes.filter(role=Analyte.Role.STANDARD)
    return tuple(standards.values_list("key", "name"))


def bench_of(user: User, session: Session) -> Bench:
    members = list(session.members.filter(group__members__learner=user).select_related("learner", "group"))
    group = members[0].group if members else None
    papers = list(_papers(user).filter(group__session=session))
    sets = {one.paper_id: one for one in _sets(user).filter(paper__in=papers)}
    fronts = front_runs(papers, session.practical, timezone.now())
    return Bench(
        session=session,
        lessons=tuple(session.lessons.all()),
        group=group,
        mates=tuple(member.learner for member in members if member.learner_id != user.pk),
        papers=tuple(_at_bench(user, sets.get(paper.pk), group, fronts[paper.pk]) for paper in papers),
    )


def _at_bench(user: User, readings: ReadingSet | None, group: Group | None, front: FrontRun) -> PaperAtBench:
    paper = front.paper
    if readings is not None:
        readings.paper = paper
    own_group = group is not None and paper.group_id == group.pk
    return PaperAtBench(
        paper=paper,
        lanes=tuple(_lane(user, lane) for lane in paper.lanes.all()),
        readings=readings,
        review=review(readings) if readings is not None else None,
        own_group=own_group,
        front=front,
    )


def _lane(user: User, lane: Lane) -> LaneAtBench:
    mine = lane.applied_by_id == user.pk
    return LaneAtBench(lane, mine, lane.applied_by_id is not None and not mine)


@dataclass(frozen=True, slots=True)
class Remark:
    """A sentence about the readings, and the name by which the drawing leads to it."""

    anchor: str
    text: str


def remarks(shown: Iterable[Shown]) -> list[Remark]:
    """What is shown, each with a name of its own; the first on a spot has the name the drawing uses."""
    found: dict[str, Remark] = {}
    for one in shown:
        anchor = f"remark-{one.lane or 0}-{one.spot or 0}"
        if anchor in found:
            anchor = f"{anchor}-{len(found)}"
        found[anchor] = Remark(anchor, one.text)
    return list(found.values())


def comparison(before: ReadingEntry, after: ReadingEntry) -> list[tuple[str, str, str]]:
    """Two entries line by line, where they differ: what it is, the one, the other."""
    first, second = dict(_lines(before)), dict(_lines(after))
    return [
        (name, first.get(name, "–"), second.get(name, "–"))
        for name in dict.fromkeys([*first, *second])
        if first.get(name) != second.get(name)
    ]


def _lines(entry: ReadingEntry) -> list[tuple[str, str]]:
    rows: list[tuple[str, Decimal | str | None]] = [
        ("Origin line [mm]", entry.origin_mm),
        ("Solvent front [mm]", entry.front_mm),
        ("Whole paper", entry.no_result),
    ]
    for lane in entry.lanes:
        where = f"Lane {lane.number}"
        rows += [(f"{where}, own front [mm]", lane.front_mm), (f"{where}, result", lane.no_result)]
        for number, spot in enumerate(lane.spots, start=1):
            here = f"{where}, spot {number}"
            told = CANNOT_BE_TOLD if spot.cannot_tell else spot.identified_as
            rows += [(f"{here} [mm]", spot.place_mm), (f"{here}, own R_f", spot.own_rf)]
            rows += [(f"{here}, half-width [mm]", spot.judged_to_mm), (f"{here}, colour", spot.colour)]
            rows.append((f"{here}, taken for", told))
    return [(name, _words(value)) for name, value in rows if value is not None and value != ""]


def _words(value: Decimal | str) -> str:
    return f"{value.normalize():f}" if isinstance(value, Decimal) else value


def around(paper: Paper, here: str = "") -> dict[str, Any]:
    """What every page of one paper shows around its content."""
    session = paper.group.session
    name = f"Group {paper.group.number}, paper {paper.letter}"
    trail = [
        ("My bench", reverse("bench:home")),
        (session.title, reverse("bench:session", args=[session.uuid])),
    ]
    trail += [(name, reverse("bench:paper", args=[paper.uuid])), (here, "")] if here else [(name, "")]
    return {"paper": paper, "session": session, "name": name, "trail": trail}


def help_shown(
    request: LearnerRequest, paper: Paper, checked: Review, *more: Shown, measured: Measured | None = None
) -> tuple[Shown, ...]:
    """Help as far as the session's setting or a release to this learner goes. Showing it records it."""
    session = paper.group.session
    setting = help_setting_for(session, request.user)
    shown = (*help_for(checked, setting), *(result_help_for(measured, setting) if measured else ()), *more)
    record_all_shown(learner=request.user, session=session, paper=paper, shown=shown, now=timezone.now())
    return shown


def number_in(text: str | None) -> int | None:
    """A small whole number that a form or an address carries; anything else is none."""
    return int(text) if text and text.isascii() and text.isdigit() and len(text) < 8 else None
