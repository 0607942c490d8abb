"""The weeks that the demo tells, in order.

Applied Science 1A ran amino acids three weeks ago: everything is decided, released and sampled; one learner
was absent and one group's paper tore. Applied Science 1B is at the bench right now, with 1A's absent learner
catching up there. Leaf pigments and food dyes are planned.
"""

import random
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

from django.db import transaction

from assessment.actions.add_unit import add_unit
from assessment.actions.draw_sample import draw_sample
from assessment.calculations.unit_file import shipped_unit_texts
from assessment.management.scenario import (
    bench,
    briefing,
    developing,
    label_sheets,
    observing,
    shelf,
    standardising,
    verification,
    work,
)
from assessment.management.scenario.cast import PASSWORD, Cast, gather
from assessment.management.scenario.repeatable import repeatable_identities
from assessment.models import Assignment, Brief, Unit, Work
from practicals.actions.add_practical import add_practical
from practicals.actions.close_session import close_session
from practicals.actions.declare_no_result import declare_no_result
from practicals.actions.draw_unknowns import pick_unknowns
from practicals.actions.end_bench_work import end_bench_work
from practicals.actions.give_help import give_help
from practicals.actions.give_lesson import give_lesson
from practicals.actions.give_paper import give_paper
from practicals.actions.issue_bench_codes import issue_bench_codes
from practicals.actions.join_catch_up import join_catch_up
from practicals.actions.load_reference_values import load_reference_values
from practicals.actions.note_at_bench import note_at_bench
from practicals.actions.plan_session import LessonPlan, plan_session
from practicals.actions.release_results import release_results
from practicals.actions.send_requisition import send_requisition
from practicals.actions.set_passphrase import set_passphrase
from practicals.actions.start_session import start_session
from practicals.calculations.practical_file import shipped_practicals
from practicals.models import LessonHelper, Practical, Session, TeachingClass, User

SEED = 20261124
ZONE = ZoneInfo("Europe/London")
TORN_GROUP = 3
#: What the conclusions of the past session are about.
WRITTEN_ABOUT = ("x", "y")
#: What the teacher wrote down at the bench, one for each member of a group.
NOTES = (
    "P1: drew the origin in pencil, kept the spots small and labelled every lane.",
    "P1: waited for each spot to dry, kept the paper off the wall, gloves and goggles on.",
    "P1: set the paper with the origin well above the liquid and closed the chamber at once.",
    "P1: applied two lanes with a steady hand and marked the lane plan.",
)


def tell(*, now: datetime, base_address: str) -> None:
    """Load the whole demo, or nothing."""
    with transaction.atomic(), repeatable_identities(SEED):
        _tell(now, base_address)


def _tell(now: datetime, base_address: str) -> None:
    rng = random.Random(SEED)  # noqa: S311
    cast = gather(now=now - timedelta(days=40), base_address=base_address)
    for text in shipped_practicals().values():
        add_practical(by=None, text=text, now=now - timedelta(days=40))
    load_reference_values(by=None, now=now - timedelta(days=40))
    shelf.stock(cast.technician, now=now - timedelta(days=39), loaded=now)
    units = [add_unit(by=None, text=text, now=now - timedelta(days=40)) for text in shipped_unit_texts()]
    brief = briefing.brief_for(
        units[0], author=cast.teacher, checker=cast.lead_verifier, now=now - timedelta(days=36)
    )
    past, absent = _past_session(cast, rng, now)
    running = _running_session(cast, rng, now, home=past, absent=absent)
    assignment = work.issue(
        brief, past, teacher=cast.teacher, due_at=now - timedelta(days=7), now=now - timedelta(days=22)
    )
    seen = now - timedelta(days=20)
    observing.past_class(assignment, past, technician=cast.technician, now=seen)
    _assess(assignment, rng, now=now)
    _sample(cast, units[0], now=now)
    next_one = work.issue(brief, running, teacher=cast.teacher, due_at=now + timedelta(days=14), now=now)
    observing.running_class(next_one, running, technician=cast.technician, now=now)
    _planned(cast, now=now)
    label_sheets.describe(cast.technician)


def _at(now: datetime, days: int, hour: int, minute: int = 0) -> datetime:
    """A time of the college's day, `days` from today."""
    local = now.astimezone(ZONE) + timedelta(days=days)
    return local.replace(hour=hour, minute=minute, second=0, microsecond=0)


def _plan(
    cast: Cast,
    slug: str,
    teaching_class: TeachingClass,
    starts_at: datetime,
    room: str,
    planned: datetime,
    unknowns: str = Session.Unknowns.SAME,
) -> Session:
    return plan_session(
        by=cast.teacher,
        practical=Practical.objects.filter(slug=slug).latest("edition"),
        teaching_class=teaching_class,
        lessons=[LessonPlan(starts_at=starts_at, minutes=120, room=room, leader=cast.teacher)],
        group_size=3,
        seed=SEED,
        unknowns=unknowns,
        unknowns_seed=SEED + Session.objects.count(),
        help_setting=Session.Help.HINT,
        now=planned,
    )


def _past_session(cast: Cast, rng: random.Random, now: datetime) -> tuple[Session, User]:
    """1A's amino acids, measured and closed; somebody was absent, one paper tore."""
    starts = _at(now, -21, 13, 30)
    planned = starts - timedelta(days=10)
    session = _plan(cast, "amino-acids-on-paper", cast.first_class, starts, "Lab 2", planned)
    everybody = dict.fromkeys(session.groups.values_list("number", flat=True), WRITTEN_ABOUT)
    session = pick_unknowns(by=cast.teacher, session=session, sets=everybody, now=planned)
    bench.prepare(
        session,
        teacher=cast.teacher,
        technician=cast.technician,
        needed_at=starts - timedelta(hours=1),
        room="Lab 2",
    )
    start_session(by=cast.teacher, session=session, now=starts)
    session.refresh_from_db()
    learners = list(session.members.order_by("learner__sort_name"))
    absent, late = learners[4].learner, learners[9].learner
    bench.register(session, teacher=cast.teacher, absent=absent, late=late, now=starts)
    _measure_past(cast, session, rng, absent=absent, starts=starts)
    end_bench_work(by=cast.teacher, session=session, now=starts + timedelta(hours=2))
    release_results(by=cast.teacher, session=session, now=starts + timedelta(hours=3))
    close_session(by=cast.teacher, session=session, now=starts + timedelta(days=1))
    _give_passphrase(session, cast, starts + timedelta(hours=2), absent=absent)
    return session, absent


def _measure_past(
    cast: Cast, session: Session, rng: random.Random, *, absent: User, starts: datetime
) -> None:
    slips = iter(["inverted", "down from the front", "from the paper's edge", "truncated", "cm against mm"])
    papers = bench.papers_of(session)
    torn = next(paper for paper in papers if paper.group.number == TORN_GROUP)
    whole = next(paper for paper in papers if paper.group.number != TORN_GROUP)
    declare_no_result(by=cast.teacher, paper=torn, reason="torn", now=starts + timedelta(minutes=85))
    for paper, true in papers.items():
        members = [m.learner for m in paper.group.members.all() if m.learner != absent]
        bench.apply_lanes(paper, members, starts + timedelta(minutes=20))
        in_at, end = starts + timedelta(minutes=22), starts + timedelta(hours=2)
        if paper != torn:
            developing.run_up(paper, true, members, put_in=in_at, now=end)
        for place, learner in enumerate(members):
            measured = paper
            if paper == torn:
                measured, true = whole, papers[whole]
                at = starts + timedelta(minutes=88)
                give_paper(
                    by=cast.teacher, learner=learner, paper=whole, source="another group's paper", now=at
                )
            slip = next(slips, "") if learner == members[0] and paper != torn else ""
            at = starts + timedelta(minutes=100 + rng.randint(0, 15))
            bench.measure(learner, measured, true, rng, now=at, finish=True, slip=slip)
            if (paper.group.number, place) != (4, 1):
                bench.photograph(learner, measured, true, seed=f"{paper.group.number}.{place}", now=at)
        for learner, words in zip(members, NOTES, strict=False):
            note_at_bench(by=cast.teacher, session=session, learner=learner, text=words, now=starts)
        if paper != torn and paper.group.number == 2:
            text = "Showed where to hold the ruler for the middle of a long spot."
            give_help(by=cast.teacher, session=session, learner=members[-1], text=text, paper=paper, now=at)


def _give_passphrase(session: Session, cast: Cast, now: datetime, *, absent: User) -> None:
    """One learner of the past session can open their work with a passphrase."""
    learner = next(m.learner for m in session.members.order_by("learner__sort_name") if m.learner != absent)
    set_passphrase(by=learner, passphrase=PASSWORD, now=now)


def _running_session(
    cast: Cast, rng: random.Random, now: datetime, *, home: Session, absent: User
) -> Session:
    """1B's amino acids, at the bench since an hour and a half."""
    starts = now - timedelta(minutes=90)
    session = _plan(
        cast,
        "amino-acids-on-paper",
        cast.second_class,
        starts,
        "Lab 2",
        starts - timedelta(days=10),
        unknowns=Session.Unknowns.DIFFER,
    )
    join_catch_up(
        by=cast.teacher,
        learner=absent,
        home_session=home,
        session=session,
        group=session.groups.get(number=1),
        now=starts - timedelta(days=3),
    )
    bench.prepare(
        session,
        teacher=cast.teacher,
        technician=cast.technician,
        needed_at=starts - timedelta(hours=1),
        room="Lab 2",
    )
    support = LessonHelper.Part.SUPPORT
    give_lesson(by=cast.teacher, lesson=session.lessons.get(), user=cast.cover, part=support, now=starts)
    start_session(by=cast.teacher, session=session, now=starts)
    session.refresh_from_db()
    issue_bench_codes(by=cast.teacher, session=session, now=starts)
    late = session.members.order_by("learner__sort_name")[6].learner
    bench.register(session, teacher=cast.teacher, absent=None, late=late, now=starts)
    for paper, true in bench.papers_of(session).items():
        members = [member.learner for member in paper.group.members.all()]
        bench.apply_lanes(paper, members, starts + timedelta(minutes=20))
        # Who was slow to apply the spots still has the paper in: for 47 minutes, 32, 17.
        slow = paper.group.number - 5
        put_in = starts + timedelta(minutes=min(28 + 15 * slow, 86) if slow > 0 else 22)
        developing.run_up(paper, true, members, put_in=put_in, now=now)
        if paper.group.number > 5:
            continue
        own = [learner for learner in members if learner != absent]
        for place, learner in enumerate(members):
            slip = "inverted" if (paper.group.number, place) == (2, 0) else ""
            partly = 4 if (paper.group.number + place) % 4 == 0 else None
            beyond = (paper.group.number, place) == (3, 1)
            # The first of the class in group 1 has measured nothing yet: theirs is the sign-in to try.
            if (paper.group.number, learner) != (1, own[0]):
                done = partly is None and paper.group.number < 3
                bench.measure(
                    learner, paper, true, rng, now=now, finish=done, slip=slip, lanes=partly, beyond=beyond
                )
    return session


def _assess(assignment: Assignment, rng: random.Random, *, now: datetime) -> None:
    """Most submitted; the last two of those wait for a decision."""
    works = Work.objects.filter(assignment=assignment).select_related("learner", "assignment")
    ready = [one for one in works if one.learner.reading_sets.filter(locked_at__isnull=False).exists()]
    ready = [one for one in ready if not one.learner.reading_sets.filter(locked_at=None).exists()]
    for place, one in enumerate(ready[:-1]):
        at = now - timedelta(days=12) + timedelta(hours=place)
        submission = work.write_up(one, rng, now=at)
        if place < len(ready) - 3:
            work.judge(submission, now=now - timedelta(days=5), release_it=place < len(ready) - 5)


def _sample(cast: Cast, unit: Unit, *, now: datetime) -> None:
    plan = draw_sample(
        by=cast.verifier, unit=unit, size=4, seed=SEED, stage="interim", now=now - timedelta(days=2)
    )
    verification.look_at_first_two(plan, verifier=cast.verifier, now=now - timedelta(days=1))
    standardising.compare_one(plan, cast, now=now - timedelta(hours=20))


def _planned(cast: Cast, *, now: datetime) -> None:
    """Food dyes with its requisition sent, leaf pigments still without."""
    dyes = _plan(cast, "food-dyes", cast.second_class, _at(now, 6, 9, 15), "Lab 1", now)
    send_requisition(by=cast.teacher, session=dyes, needed_at=_at(now, 6, 8, 30), room="Lab 1", now=now)
    _plan(cast, "leaf-pigments", cast.first_class, _at(now, 8, 13, 30), "Lab 2", now)


def told() -> bool:
    """Whether the demo is loaded."""
    return Brief.objects.exists() and Session.objects.exists()
