"""Assignments of the demo: issued, written up, submitted, decided, released, sampled and verified."""

import random
from datetime import datetime, timedelta

from django.utils import timezone

from assessment.actions.decide import decide
from assessment.actions.declare_assessor import declare_assessor
from assessment.actions.give_feedback import give_feedback
from assessment.actions.issue_assignment import issue_assignment
from assessment.actions.make_assignment import make_assignment
from assessment.actions.release import release
from assessment.actions.save_writing import save_writing
from assessment.actions.submit_work import submit_work
from assessment.calculations.evidence_map import EvidenceItem, map_evidence
from assessment.calculations.unit_file import CriterionDefinition
from assessment.management.scenario.writing import CONCLUSION, EVALUATION
from assessment.models import Assignment, Brief, Submission, Work
from assessment.models.facts import as_submitted, frozen_facts
from practicals.models import Session, UnknownCode, User


def issue(brief: Brief, session: Session, *, teacher: User, due_at: datetime, now: datetime) -> Assignment:
    assignment = make_assignment(
        by=teacher,
        brief=brief,
        sessions=[session],
        assessor=teacher,
        hand_out_on=timezone.localdate(now),
        due_at=due_at,
        now=now,
    )
    return issue_assignment(by=teacher, assignment=assignment, now=now)


def _codes(work: Work) -> dict[str, str]:
    """What the unknowns are called in the session of this work."""
    drawn = UnknownCode.objects.filter(session__in=work.assignment.sessions.all())
    return dict(drawn.values_list("analyte__key", "code"))


def write_up(work: Work, rng: random.Random, *, now: datetime) -> Submission:
    """Write, save and submit."""
    handed_in = rng.choices((1, 2, 3), weights=(4, 3, 3))[0]
    save_writing(
        by=work.learner,
        work=work,
        conclusion="\n\n".join(CONCLUSION[:handed_in]).format(**_codes(work)),
        evaluation="\n\n".join(EVALUATION[:handed_in]),
        seen_version=work.version,
        now=now,
    )
    return submit_work(by=work.learner, work=work, declared=True, now=now + timedelta(minutes=20))


def judge(submission: Submission, *, now: datetime, release_it: bool) -> None:
    """Decide on every criterion as the evidence has it: this teacher met nothing that is not there."""
    assessor = submission.work.assessor
    criteria = list(submission.work.assignment.brief.criteria.all())
    facts = as_submitted(frozen_facts([submission])[submission.pk], submission)
    asked = [CriterionDefinition(c.code, c.level, c.text, tuple(c.evidence_needs())) for c in criteria]
    for criterion, evidence in zip(criteria, map_evidence(asked, facts), strict=True):
        short = [item.sentence for item in evidence.items if is_short(item)]
        decide(
            by=assessor,
            submission=submission,
            criterion=criterion,
            outcome="not yet met" if short else "met",
            comment=" ".join(short) or MET[criterion.code[0]],
            valid=True,
            sufficient=not short,
            now=now,
        )
    text = "The decisions say, criterion by criterion, what was met and what was not, and why."
    give_feedback(by=assessor, submission=submission, text=text, seen_version=None, now=now)
    declare_assessor(by=assessor, submission=submission, authentic=True, current=True, now=now)
    if release_it:
        release(by=assessor, submission=submission, now=now + timedelta(days=2))


def is_short(item: EvidenceItem) -> bool:
    """Missing, too short or not in agreement; what was seen at the bench the teacher knows."""
    if item.need.kind in {"observation", "readings"} and item.state == "doubtful":
        return False
    return item.state != "present" and item.need.kind != "observation"


MET = {
    "P": "Seen at the bench and in the table of readings, lane by lane.",
    "M": "The figures in your table carry the argument of your conclusion and evaluation.",
    "D": "You weigh your values against the others' and say how sure you are of each, with figures.",
}
