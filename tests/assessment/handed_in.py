"""Work on its way through assessment, made by the same actions that people use."""

from datetime import timedelta

from assessment.actions.decide import decide
from assessment.actions.declare_assessor import declare_assessor
from assessment.actions.give_feedback import give_feedback
from assessment.actions.release import release
from assessment.actions.save_writing import save_writing
from assessment.actions.submit_work import submit_work
from assessment.models import Assignment, Submission, Work
from practicals.models import Role, User
from tests.factories import NOW, make_assignment, make_class, make_readings, make_session, make_user

LATER = NOW + timedelta(hours=2)


def issued(cast) -> Assignment:
    return make_assignment(session=cast.session, signed_off_by=cast.verifier)


def work_of(assignment: Assignment, learner: User) -> Work:
    return Work.objects.get(assignment=assignment, learner=learner)


def read_papers(work: Work, *, locked: bool = True) -> None:
    for session in work.assignment.sessions.all():
        member = session.members.get(learner=work.learner)
        for paper in member.group.papers.all():
            make_readings(paper, work.learner, locked_at=NOW if locked else None)


def hand_in(work: Work) -> Submission:
    read_papers(work)
    save_writing(
        by=work.learner,
        work=work,
        conclusion="The unknown is leucine.",
        evaluation="The front was uneven.",
        seen_version=work.version,
        now=NOW,
    )
    return submit_work(by=work.learner, work=work, declared=True, now=LATER)


def decide_all(submission: Submission, by: User, outcome: str = "met") -> None:
    for criterion in submission.work.assignment.brief.criteria.all():
        decide(
            by=by,
            submission=submission,
            criterion=criterion,
            outcome=outcome,
            comment=f"Seen for {criterion}",
            valid=True,
            sufficient=True,
            now=LATER,
        )


def let_out(submission: Submission, by: User) -> None:
    give_feedback(by=by, submission=submission, text="Read the front per lane.", seen_version=None, now=LATER)
    declare_assessor(by=by, submission=submission, authentic=True, current=True, now=LATER)
    release(by=by, submission=submission, now=LATER)


def decided_class(learners: int, *, verifier: User, teacher: User | None = None) -> list[Submission]:
    """A class whose work is all decided, with one teacher as assessor."""
    teacher = teacher or make_user("", Role.TEACHER)
    teaching_class = make_class(teacher=teacher, learners=learners)
    session = make_session(teacher=teacher, teaching_class=teaching_class)
    assignment = make_assignment(session=session, signed_off_by=verifier)
    found = []
    for number, work in enumerate(assignment.works.all()):
        submission = hand_in(work)
        decide_all(submission, teacher, "met" if number % 2 else "not yet met")
        found.append(submission)
    return found
