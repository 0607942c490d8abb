"""Assignments of the demo: issued, written up, submitted, decided, released, sampled and verified."""

import random
from datetime import datetime, timedelta

from assessment.actions.decide import decide
from assessment.actions.give_feedback import give_feedback
from assessment.actions.issue_assignment import issue_assignment
from assessment.actions.make_assignment import make_assignment
from assessment.actions.release import release
from assessment.actions.save_writing import save_writing
from assessment.actions.sign_off_brief import sign_off_brief
from assessment.actions.submit_work import submit_work
from assessment.actions.write_brief import write_brief
from assessment.models import Assignment, Brief, Submission, Unit, Work
from practicals.models import Session, User

TASKS = """1. Run your paper with your group and measure it yourself: origin, solvent front and every spot.
2. Work out the retardation factor of each spot, to two decimals.
3. Say what is in unknowns X and Y, by comparing them with the standards on the same paper.
4. Write a conclusion that argues from your figures, and an evaluation that says what limits them."""
SCENARIO = (
    "A small bakery has found two unlabelled protein supplements in its store. You are asked which "
    "amino acids each of them holds. (The bakery and its supplements are invented.)"
)
CONCLUSION = (
    "Unknown X gave two spots. The lower one lies as far up the paper as alanine does on the same "
    "paper, and the upper one level with leucine; both are purple. The distances differ by less than "
    "a millimetre, which is what I can read on my ruler, so X is compatible with alanine and "
    "leucine.{more}"
)
MORE = (
    " Unknown Y gave a yellow spot level with proline and a purple one low down beside lysine. "
    "Alanine and proline lie close together, but only proline turns yellow, so the colour tells them "
    "apart where the distance alone could not. I compared each unknown with the standards on the same"
    " paper only, because the front on another group's paper stood several millimetres higher."
)
EVALUATION = (
    "The front was not quite level, so lanes at the edge may be out by a millimetre. A longer run "
    "would make one millimetre matter less.{more}"
)


def brief_for(unit: Unit, *, author: User, checker: User, now: datetime) -> Brief:
    """A brief, written by one person and signed off by another."""
    brief = write_brief(
        by=author,
        unit=unit,
        title="What is in the supplement?",
        scenario=SCENARIO,
        tasks=TASKS,
        criteria=list(unit.criteria.all()),
        now=now,
    )
    comment = "Every criterion has a task that can give evidence for it; the language is clear."
    return sign_off_brief(by=checker, brief=brief, comment=comment, now=now + timedelta(days=1))


def issue(brief: Brief, session: Session, *, teacher: User, due_at: datetime, now: datetime) -> Assignment:
    assignment = make_assignment(
        by=teacher, brief=brief, sessions=[session], assessor=teacher, due_at=due_at, now=now
    )
    return issue_assignment(by=teacher, assignment=assignment, now=now)


def write_up(work: Work, rng: random.Random, *, now: datetime) -> Submission:
    """Write, save and submit."""
    more = MORE if rng.random() < 0.6 else ""
    save_writing(
        by=work.learner,
        work=work,
        conclusion=CONCLUSION.format(more=more),
        evaluation=EVALUATION.format(more=" I would run standards at both edges." if more else ""),
        seen_version=work.version,
        now=now,
    )
    return submit_work(by=work.learner, work=work, declared=True, now=now + timedelta(minutes=20))


def judge(submission: Submission, rng: random.Random, *, now: datetime, release_it: bool) -> None:
    """Decide on every criterion: most pass criteria are met, fewer of the higher ones."""
    chances = {"pass": 0.98, "merit": 0.6, "distinction": 0.35}
    assessor = submission.work.assessor
    for criterion in submission.work.assignment.brief.criteria.all():
        met = rng.random() < chances.get(criterion.level, 0.5)
        decide(
            by=assessor,
            submission=submission,
            criterion=criterion,
            outcome="met" if met else "not yet met",
            comment=_comment(criterion.code, met, rng),
            now=now,
        )
    text = (
        "Your readings are complete and the decisions say, criterion by criterion, what was met and what not."
    )
    give_feedback(by=assessor, submission=submission, text=text, seen_version=None, now=now)
    if release_it:
        release(by=assessor, submission=submission, now=now + timedelta(days=2))


def _comment(code: str, met: bool, rng: random.Random) -> str:
    yes = (
        "Seen in the readings of your paper; every lane is there with its unit.",
        "Your figures and the argument in the conclusion show it.",
        "Seen at the bench and in the table of readings.",
    )
    no = (
        "The conclusion names a substance but not the figures it rests on.",
        "The evaluation says that the front was slanting, but not what that does to the values.",
    )
    return f"{code}: {rng.choice(yes if met else no)}"
