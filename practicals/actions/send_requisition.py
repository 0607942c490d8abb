"""Sends the technician what a session needs, without a word about class or learners."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import ROUND_HALF_UP, Decimal

from django.core.exceptions import PermissionDenied
from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from practicals import audit
from practicals.access import planned_sessions
from practicals.actions.plan_session import CannotPlan, check_stands
from practicals.calculations.class_needs import (
    LOCATING_PER_PAPER_ML,
    SOLUTION_PER_GROUP_ML,
    equipment_count,
    kept_total_ml,
    liquid_depth_mm,
    liquid_for_groups,
)
from practicals.calculations.practical_file import PracticalFileError, read_practical
from practicals.models import Analyte, Practical, Session, UnknownCode, User
from practicals.models.unknowns import groups_using
from reagents.actions.draw_up_requisition import ItemPlan, LinePlan, draw_up_requisition
from reagents.calculations.proportions import (
    DEPTH_MARGIN_MM,
    chamber_volume_ml,
    check_depth,
    total_needed,
)
from reagents.models import Requisition

USUAL_OVERAGE_PERCENT = Decimal(15)  # 10 to 20 %: common practice, no source


class TooDeep(CannotPlan):
    """The liquid would come too near to the origin line."""


@dataclass(frozen=True, slots=True)
class PhaseNeed:
    """How much mobile phase, and how that came about."""

    chambers: int
    volume_per_chamber_ml: Decimal
    chamber_diameter_mm: Decimal
    depth_mm: Decimal
    overage_percent: Decimal
    total_ml: Decimal
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SolutionNeed:
    """A standard or an unknown to be put out; `code` is all that the label of an unknown shows."""

    analyte: Analyte
    usual_ml: Decimal
    code: str


def send_requisition(
    *,
    by: User,
    session: Session,
    needed_at: datetime,
    room: str,
    chambers: int | None = None,
    volume_per_chamber_ml: Decimal | None = None,
    chamber_diameter_mm: Decimal | None = None,
    depth_mm: Decimal | None = None,
    overage_percent: Decimal = USUAL_OVERAGE_PERCENT,
    locating_ml: Decimal | None = None,
    solutions_ml: Mapping[str, Decimal] | None = None,
    spare: Mapping[int, int] | None = None,
    note: str = "",
    now: datetime,
) -> Requisition:
    """Ask for mobile phase, locating agent, standards, unknowns and equipment.

    What is left out follows from the practical. `solutions_ml` goes by analyte key, `spare` by the
    equipment's place in the practical. Raises `CannotPlan` with a sentence.
    """
    if not by.has_perm("practicals.plan_session") or not planned_sessions(by).contains(session):
        raise PermissionDenied
    with transaction.atomic():
        session = Session.objects.select_for_update().select_related("practical").get(pk=session.pk)
        check_stands(session)
        check_words(session, room, note)
        need = phase_need(
            session,
            chambers=chambers,
            volume_per_chamber_ml=volume_per_chamber_ml,
            chamber_diameter_mm=chamber_diameter_mm,
            depth_mm=depth_mm,
            overage_percent=overage_percent,
        )
        lines = [
            _phase_line(session.practical, need),
            *_other_lines(session, locating_ml, solutions_ml or {}),
        ]
        requisition = draw_up_requisition(
            by=by,
            title=requisition_title(session, room, needed_at),
            room=room,
            needed_at=needed_at,
            note=note,
            lines=lines,
            items=equipment_plan(session, spare or {}),
            replaces=session.requisition,
            now=now,
        )
        session.requisition = requisition
        session.save(update_fields=["requisition"])
        audit.record(
            by=by,
            action="send_requisition",
            subject=session,
            sentence="Sent the technician a requisition.",
            detail={"requisition": str(requisition.uuid)},
        )
    return requisition


def requisition_title(session: Session, room: str, needed_at: datetime) -> str:
    """Practical, day and room; the class stands nowhere."""
    first = session.lessons.first()
    at = timezone.localtime(first.starts_at if first else needed_at)
    return f"{session.practical.title[:80]}, {at:%a} {at.day} {at:%b}, {room}"


def phase_need(
    session: Session,
    *,
    chambers: int | None = None,
    volume_per_chamber_ml: Decimal | None = None,
    chamber_diameter_mm: Decimal | None = None,
    depth_mm: Decimal | None = None,
    overage_percent: Decimal = USUAL_OVERAGE_PERCENT,
) -> PhaseNeed:
    """The mobile phase for all chambers: a volume if one is given, else from diameter and depth."""
    practical = session.practical
    chambers = chambers or max(1, session.groups.count()) * practical.chambers_per_group
    diameter = chamber_diameter_mm or practical.chamber_diameter_mm
    if volume_per_chamber_ml is None:
        depth = depth_mm or practical.chamber_depth_mm
        volume = chamber_volume_ml(diameter, depth)
    else:
        volume, depth = volume_per_chamber_ml, liquid_depth_mm(volume_per_chamber_ml, diameter)
    remarks = check_depth(depth, practical.origin_height_mm) if depth > 0 else []
    if practical.origin_height_mm - depth < DEPTH_MARGIN_MM:
        raise TooDeep(remarks[0])
    return PhaseNeed(
        chambers=chambers,
        volume_per_chamber_ml=volume.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP),
        chamber_diameter_mm=diameter,
        depth_mm=depth,
        overage_percent=overage_percent,
        total_ml=kept_total_ml(total_needed(chambers, volume, overage_percent)),
        remarks=tuple(remarks),
    )


def _phase_line(practical: Practical, need: PhaseNeed) -> LinePlan:
    return LinePlan(
        recipe=practical.mobile_phase,
        total_ml=need.total_ml,
        chambers=need.chambers,
        volume_per_chamber_ml=need.volume_per_chamber_ml,
        chamber_diameter_mm=need.chamber_diameter_mm,
        depth_mm=need.depth_mm,
        origin_height_mm=practical.origin_height_mm,
        overage_percent=need.overage_percent,
    )


def _other_lines(
    session: Session, locating_ml: Decimal | None, solutions_ml: Mapping[str, Decimal]
) -> Iterable[LinePlan]:
    agent = session.practical.locating_agent
    total = usual_locating_ml(session) if locating_ml is None else locating_ml
    if agent is not None and total > 0:
        yield LinePlan(recipe=agent, total_ml=total)
    for need in solution_needs(session):
        total = solutions_ml.get(need.analyte.key, need.usual_ml)
        if total > 0 and need.analyte.recipe is not None:
            yield LinePlan(recipe=need.analyte.recipe, total_ml=total, label_code=need.code)


def usual_locating_ml(session: Session) -> Decimal:
    papers = session.groups.count() * session.practical.chambers_per_group
    return liquid_for_groups(papers, LOCATING_PER_PAPER_ML)


def solution_needs(session: Session) -> list[SolutionNeed]:
    """Every standard, and every unknown for the groups that have it, in the order of the practical."""
    groups, using, codes = session.groups.count(), groups_using(session), unknown_codes(session)
    applied = session.practical.analytes.filter(recipe__isnull=False).select_related("recipe")
    return [
        SolutionNeed(
            analyte,
            liquid_for_groups(groups if standard else using[analyte.pk], SOLUTION_PER_GROUP_ML),
            "" if standard else codes.get(analyte.key, ""),
        )
        for analyte in applied
        if (standard := analyte.role == Analyte.Role.STANDARD) or analyte.pk in using
    ]


def unknown_codes(session: Session) -> dict[str, str]:
    """What the label of each unknown shows instead of its contents: the session's code, by analyte key."""
    drawn = UnknownCode.objects.filter(session=session)
    return dict(drawn.values_list("analyte__key", "code")) or _codes_of_the_practical(session.practical)


def _codes_of_the_practical(practical: Practical) -> dict[str, str]:
    """For sessions planned before there were codes of their own."""
    try:
        analytes = read_practical(practical.text).analytes
    except PracticalFileError:
        return {analyte.key: analyte.name[:20] for analyte in practical.analytes.all()}
    return {analyte.key: analyte.code[:20] for analyte in analytes if analyte.code}


def equipment_plan(session: Session, spare: Mapping[int, int]) -> list[ItemPlan]:
    groups, learners = session.groups.count(), session.members.count()
    return [
        ItemPlan(
            name=line["name"][:120],
            per=line["per"],
            each=line["quantity"],
            count=equipment_count(line["per"], line["quantity"], groups=groups, learners=learners),
            spare=spare.get(place, line["spare"]),
        )
        for place, line in enumerate(session.practical.equipment)
    ]


def check_words(session: Session, room: str, note: str) -> None:
    """Refuse the names of the class and of its learners: the technician is to see neither."""
    words = f"{room}\n{note}"
    class_name = session.teaching_class.name
    if re.search(rf"(?<!\w){re.escape(class_name)}(?!\w)", words, re.IGNORECASE):
        raise CannotPlan(
            f"“{class_name}” is the name of the class. Leave it out: the prep room needs no names."
        )
    learners = User.objects.filter(
        Q(enrolments__teaching_class=session.teaching_class) | Q(memberships__session=session)
    ).distinct()
    for name in learners.values_list("name", flat=True):
        found = _named(name, words)
        if found:
            raise CannotPlan(
                f"“{found}” is the name of a learner here. Leave it out: the prep room needs no names."
            )


def _named(name: str, words: str) -> str:
    """The whole name in any case, or one of its words as a name is written; "will" is no name, "Will" is."""
    if re.search(rf"(?<!\w){re.escape(name)}(?!\w)", words, re.IGNORECASE):
        return name
    parts = [part for part in re.split(r"[\s,]+", name) if len(part) >= 3]
    return next((part for part in parts if re.search(rf"(?<!\w){re.escape(part)}(?!\w)", words)), "")
