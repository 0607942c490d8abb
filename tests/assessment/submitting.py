"""Handed-in work in a line: through the freeze itself, without a learner clicking."""

from datetime import datetime

from assessment.actions.submit_work import submit_work
from assessment.models import Assignment, Submission, Work
from practicals.models import ReadingSet, User
from tests.factories import NOW


def hand_in(assignment: Assignment, learner: User, *, now: datetime = NOW, **writing: str) -> Submission:
    """Submit the learner's work, its readings locked and its text as given."""
    work = Work.objects.get(assignment=assignment, learner=learner)
    for name, text in writing.items():
        setattr(work, name, text)
    work.save()
    ReadingSet.objects.filter(learner=learner, locked_at=None).update(locked_at=now)
    return submit_work(by=learner, work=work, declared=True, now=now)
