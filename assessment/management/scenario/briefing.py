"""The demo's brief: a first edition that a verifier sent back, and a second one that was signed off."""

from datetime import datetime, timedelta

from assessment.actions.review_brief import review_brief
from assessment.actions.sign_off_brief import sign_off_brief
from assessment.actions.write_brief import write_brief
from assessment.calculations.brief_points import CHANGES, NO, POINTS, YES
from assessment.models import Brief, Unit
from practicals.models import User

FIRST_TASKS = """1. Run your paper with your group and measure it.
2. Work out the retardation factors.
3. Say what is in your unknowns.
4. Write it up."""
TASKS = """1. Run your paper with your group and measure it yourself: origin, solvent front and every spot.
2. Work out the retardation factor of each spot, to two decimals.
3. Say what is in your two coded unknowns, by comparing them with the standards on the same paper.
4. Write a conclusion that argues from your figures, and an evaluation that says what limits them."""
SCENARIO = (
    "A small bakery has found two unlabelled protein supplements in its store. You are asked which "
    "amino acids each of them holds. (The bakery and its supplements are invented.)"
)
CONDITIONS = """Where: at the bench in your practical lessons; the writing at home or in the study centre.
With: your group's paper, a ruler, a calculator, your notes. No phones near the locating agent.
How long: one practical lesson for the paper, about three hours for the writing.
Help: your teacher shows techniques and answers questions at the bench; what was helped with is noted. \
Nobody tells you what is in your unknowns, and nobody corrects your draft."""
WANTED = (
    "Task 1 does not say that everybody measures the paper themselves, yet P2 and P3 ask for one's own "
    "readings. Task 4 does not name the two texts that M2, M3 and D1 need. Say so; the rest is clear."
)
FIT = "Every criterion has a task that can give evidence for it, and both unknowns hold two amino acids."


def brief_for(unit: Unit, *, author: User, checker: User, now: datetime) -> Brief:
    """Written by one person, sent back by another, written anew and signed off."""
    first = _write(unit, FIRST_TASKS, author=author, now=now)
    answers = {point.key: YES for point in POINTS}
    review_brief(
        by=checker,
        brief=first,
        points={**answers, "evidence": NO, "language": NO},
        comment=WANTED,
        verdict=CHANGES,
        now=now + timedelta(days=1),
    )
    second = _write(unit, TASKS, author=author, now=now + timedelta(days=2), edits=first)
    return sign_off_brief(by=checker, brief=second, points=answers, comment=FIT, now=now + timedelta(days=3))


def _write(unit: Unit, tasks: str, *, author: User, now: datetime, edits: Brief | None = None) -> Brief:
    return write_brief(
        by=author,
        unit=unit,
        title="What is in the supplement?",
        scenario=SCENARIO,
        tasks=tasks,
        conditions=CONDITIONS,
        criteria=list(unit.criteria.all()),
        edits=edits,
        now=now,
    )
