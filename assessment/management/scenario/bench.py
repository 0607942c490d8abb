"""Sessions of the demo: planned, prepared, run at the bench."""

import random
from collections.abc import Mapping
from datetime import datetime, timedelta
from decimal import Decimal

from assessment.management.scenario.measuring import TruePaper, develop, read
from assessment.management.scenario.photographing import picture_of
from assessment.management.scenario.shelf import bottle_for
from practicals.actions.add_photo import add_photo
from practicals.actions.apply_lane import apply_lane
from practicals.actions.fill_chamber import fill_chamber
from practicals.actions.lock_readings import lock_readings
from practicals.actions.save_readings import save_readings
from practicals.actions.send_requisition import send_requisition
from practicals.actions.take_register import take_register
from practicals.models import Attendance, Chamber, Paper, ReadingSet, Session, User
from reagents.actions.record_batch import AmountEntry, record_batch
from reagents.calculations.prep_plan import plan_for
from reagents.calculations.stock import form_factor
from reagents.documents.prep_list import wanted_of
from reagents.models import Batch, RequisitionLine

INITIALS = "TG"


def prepare(session: Session, *, teacher: User, technician: User, needed_at: datetime, room: str) -> Batch:
    """Requisition, a batch for each line, chambers filled. Gives the batch of mobile phase."""
    rng = random.Random(session.pk)  # noqa: S311  (the demo repeats itself)
    requisition = send_requisition(
        by=teacher, session=session, needed_at=needed_at, room=room, now=needed_at - timedelta(days=5)
    )
    batches = [
        make_batch(line, technician=technician, made_at=needed_at - timedelta(hours=2), rng=rng)
        for line in requisition.lines.select_related("recipe")
    ]
    phase = next(batch for batch in batches if batch.recipe.kind == "mobile phase")
    for chamber in Chamber.objects.filter(group__session=session):
        fill_chamber(by=technician, chamber=chamber, batch=phase, now=needed_at)
    return phase


def make_batch(line: RequisitionLine, *, technician: User, made_at: datetime, rng: random.Random) -> Batch:
    """Measured as the prep list asks, to within what a cylinder or a balance shows."""
    parts = {part.order: part for part in line.recipe.parts.all()}
    amounts = []
    for measure in plan_for(wanted_of([line])).measures:
        wanted = measure.wanted or Decimal("0.05")
        error = Decimal(rng.choice([0, 0, 0, 4, -4])) / 1000
        measured = (wanted * (1 + error)).quantize(Decimal("0.001"))
        part = parts[measure.key]
        lot = f"Q{rng.randint(1000, 9999)}"
        bottle = bottle_for(measure.substance, now=made_at)
        if bottle and measure.unit == "g":
            factor = form_factor(measure.substance, bottle.form, bottle.purity_percent)
            wanted, measured = ((value * factor).quantize(Decimal("0.0001")) for value in (wanted, measured))
        amounts.append(
            AmountEntry(
                part=part,
                unit=measure.unit,
                wanted=wanted,
                measured=measured,
                lot=bottle.lot if bottle else lot,
                vessel=measure.vessel[:80],
                container=bottle,
            )
        )
    hours = line.recipe.shelf_life_hours
    return record_batch(
        by=technician,
        line=line,
        made_at=made_at,
        initials=INITIALS,
        use_by=made_at + timedelta(hours=hours) if hours else None,
        amounts=amounts,
        now=made_at,
        chance=rng,
    )


def register(
    session: Session, *, teacher: User, absent: User | None, late: User | None, now: datetime
) -> None:
    """Mark everybody in the session's first lesson."""
    marks = {}
    for member in session.members.select_related("learner"):
        mark = Attendance.Mark.PRESENT
        if absent and member.learner == absent:
            mark = Attendance.Mark.ABSENT
        elif late and member.learner == late:
            mark = Attendance.Mark.LATE
        marks[member.learner] = mark
    lesson = session.lessons.first()
    assert lesson is not None  # noqa: S101
    take_register(by=teacher, lesson=lesson, marks=marks, now=now)


def papers_of(session: Session) -> Mapping[Paper, TruePaper]:
    """Develop every paper of the session."""
    rng = random.Random(session.group_seed)  # noqa: S311
    papers = Paper.objects.for_bench().filter(group__session=session).order_by("group__number", "letter")
    return {paper: develop(paper, rng) for paper in papers}


def apply_lanes(paper: Paper, members: list[User], now: datetime) -> None:
    """Each member of the group applies lanes in turn."""
    for place, lane in enumerate(paper.lanes.all()):
        apply_lane(by=members[place % len(members)], lane=lane, now=now)


def photograph(learner: User, paper: Paper, true: TruePaper, *, seed: str, now: datetime) -> None:
    """One learner takes a picture of the paper, from a place of their own."""
    rng = random.Random(seed)  # noqa: S311
    add_photo(by=learner, paper=paper, content=picture_of(paper, true, rng), now=now)


def measure(
    learner: User,
    paper: Paper,
    true: TruePaper,
    rng: random.Random,
    *,
    now: datetime,
    finish: bool,
    slip: str = "",
    lanes: int | None = None,
    beyond: bool = False,
) -> ReadingSet:
    """One learner reads one paper, and says so when finished."""
    earlier = ReadingSet.objects.filter(paper=paper, learner=learner).first()
    # By name and paper: what a learner notes is the same whenever they save.
    noting = random.Random(f"{learner.sort_name}, paper {paper.letter}")  # noqa: S311
    readings = save_readings(
        by=learner,
        paper=paper,
        entry=read(paper, true, rng, slip=slip, lanes=lanes, beyond=beyond, noting=noting),
        seen_version=earlier.version if earlier else None,
        now=now,
    )
    return lock_readings(by=learner, readings=readings, now=now) if finish else readings
