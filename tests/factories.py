"""Records for tests, in a line each. Everything here is invented."""

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from itertools import count
from typing import Any

from assessment.models import Assignment, Brief, Criterion, Unit, Work
from practicals.models import (
    Analyte,
    Chamber,
    Enrolment,
    Group,
    GroupMember,
    Lane,
    LaneReading,
    Lesson,
    Paper,
    Practical,
    ReadingSet,
    Role,
    RoleGrant,
    Session,
    SpotReading,
    TeachingClass,
    User,
)
from reagents.models import Recipe, RecipePart

NOW = datetime(2026, 11, 24, 10, 0, tzinfo=UTC)
serial = count(1)


def make_user(name: str = "", *roles: str, **more: Any) -> User:
    number = next(serial)
    name = name or f"Person {number}"
    user = User(username=more.pop("username", f"person{number}"), name=name, sort_name=name, **more)
    user.set_password("correct horse battery")
    user.save()
    RoleGrant.objects.bulk_create(RoleGrant(user=user, role=role) for role in roles)
    return user


def make_class(name: str = "", *, teacher: User | None = None, learners: int = 3) -> TeachingClass:
    number = next(serial)
    teaching_class = TeachingClass.objects.create(name=name or f"Class {number}", class_word=f"amber{number}")
    if teacher:
        teaching_class.teachers.add(teacher)
    for _ in range(learners):
        enrol(teaching_class, make_user("", Role.LEARNER))
    return teaching_class


def enrol(teaching_class: TeachingClass, learner: User) -> Enrolment:
    return Enrolment.objects.create(teaching_class=teaching_class, learner=learner, joined_at=NOW)


def make_recipe(title: str = "Butan-1-ol mixture", kind: str = "mobile phase") -> Recipe:
    recipe = Recipe.objects.create(slug=f"recipe-{next(serial)}", title=title, kind=kind)
    parts = [("butan-1-ol", "6"), ("ethanoic acid", "1.5"), ("water", "2.5")]
    RecipePart.objects.bulk_create(
        RecipePart(recipe=recipe, order=i, substance=s, amount=Decimal(a), basis="parts by volume")
        for i, (s, a) in enumerate(parts, start=1)
    )
    return recipe


def make_practical(**more: Any) -> Practical:
    practical = Practical.objects.create(
        **{
            "slug": f"practical-{next(serial)}",
            "title": "Amino acids on paper",
            "summary": "An invented practical for tests.",
            "text": "",
            "stationary_phase": "chromatography paper",
            "support": "paper",
            "paper_width_mm": Decimal(100),
            "paper_height_mm": Decimal(120),
            "origin_height_mm": Decimal(15),
            "ruler_division_mm": Decimal(1),
            "expected_minutes": 60,
            "chamber_diameter_mm": Decimal(90),
            "chamber_depth_mm": Decimal(8),
            "mobile_phase": make_recipe(),
            "added_at": NOW,
            **more,
        }
    )
    names = ["glycine", "alanine", "leucine"]
    for order, name in enumerate(names, start=1):
        Analyte.objects.create(practical=practical, order=order, key=name, name=name, role="standard")
    Analyte.objects.create(
        practical=practical, order=4, key="x", name="unknown X", role="unknown", contains=["leucine"]
    )
    practical.lane_plan = [*names, "x"]
    practical.save()
    return practical


def make_session(
    *,
    teacher: User,
    teaching_class: TeachingClass,
    practical: Practical | None = None,
    group_size: int = 3,
    started: bool = True,
    **more: Any,
) -> Session:
    """A session with one lesson, its groups, a paper and a chamber each."""
    practical = practical or make_practical()
    session = Session.objects.create(
        practical=practical,
        teaching_class=teaching_class,
        teacher=teacher,
        title=f"{practical.title}, {teaching_class}",
        group_size=group_size,
        group_seed=1,
        planned_at=NOW,
        started_at=NOW if started else None,
        **more,
    )
    Lesson.objects.create(session=session, starts_at=NOW, minutes=90, room="Lab 2", leader=teacher)
    learners = list(teaching_class.learners())
    for number, start in enumerate(range(0, len(learners), group_size), start=1):
        group = Group.objects.create(session=session, number=number)
        for learner in learners[start : start + group_size]:
            GroupMember.objects.create(session=session, group=group, learner=learner)
        make_paper(group)
    return session


def make_paper(group: Group, letter: str = "A") -> Paper:
    practical = group.session.practical
    chamber = Chamber.objects.create(group=group, number=group.chambers.count() + 1)
    paper = Paper.objects.create(
        group=group,
        letter=letter,
        chamber=chamber,
        width_mm=practical.paper_width_mm,
        height_mm=practical.paper_height_mm,
        origin_height_mm=practical.origin_height_mm,
    )
    Lane.objects.bulk_create(
        Lane(paper=paper, number=number, analyte=analyte)
        for number, analyte in enumerate(practical.analytes.all(), start=1)
    )
    return paper


def make_readings(
    paper: Paper, learner: User, *, centres: tuple[str, ...] = ("35", "45", "75", "74"), **more: Any
) -> ReadingSet:
    """Origin 15 mm, front 95 mm, one spot a lane."""
    readings = ReadingSet.objects.create(
        **{
            "session": paper.group.session,
            "paper": paper,
            "learner": learner,
            "origin_mm": Decimal(15),
            "front_mm": Decimal(95),
            "saved_at": NOW,
            **more,
        }
    )
    for lane, centre in zip(paper.lanes.all(), centres, strict=False):
        lane_reading = LaneReading.objects.create(reading_set=readings, lane=lane)
        SpotReading.objects.create(lane_reading=lane_reading, number=1, centre_mm=Decimal(centre))
    return readings


def make_unit() -> Unit:
    rule = {"levels": ["pass", "merit", "distinction"]}
    unit = Unit.objects.create(
        slug=f"unit-{next(serial)}", title="Separation in practice", text="", grade_rule=rule, added_at=NOW
    )
    rows = [("P1", "pass"), ("P2", "pass"), ("M1", "merit"), ("D1", "distinction")]
    for order, (code, level) in enumerate(rows, start=1):
        Criterion.objects.create(unit=unit, order=order, code=code, level=level, text=f"What {code} asks")
    return unit


def make_assignment(
    *, session: Session, author: User | None = None, signed_off_by: User | None = None, issued: bool = True
) -> Assignment:
    """An issued assignment on one session, with a work for each of its learners."""
    unit = make_unit()
    brief = Brief.objects.create(
        slug=f"brief-{next(serial)}",
        unit=unit,
        title="What is in the sample?",
        tasks="Run the practical, then write a conclusion.",
        author=author or session.teacher,
        written_at=NOW,
        signed_off_by=signed_off_by,
        signed_off_at=NOW if signed_off_by else None,
    )
    brief.criteria.set(unit.criteria.all())
    assignment = Assignment.objects.create(
        brief=brief,
        teaching_class=session.teaching_class,
        assessor=session.teacher,
        due_at=NOW + timedelta(days=14),
        issued_at=NOW if issued else None,
        issued_by=session.teacher if issued else None,
    )
    assignment.sessions.add(session)
    for member in session.members.all():
        Work.objects.create(assignment=assignment, learner=member.learner, assessor=session.teacher)
    return assignment
