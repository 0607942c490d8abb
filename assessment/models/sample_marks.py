"""What marks a portfolio when a sample is drawn: the unknowns given, new assessors and briefs, borderline."""

from collections import defaultdict
from collections.abc import Collection, Iterator

from django.db.models import Q

from assessment.calculations.borderline import borderline
from assessment.calculations.grades import read_grade_rule
from assessment.calculations.sampling import Candidate
from assessment.models.brief import Assignment
from assessment.models.decision import Decision
from assessment.models.evidence import Submission
from assessment.models.results import criterion_states, grade_of, standing_decisions
from assessment.models.verification import CriterionVerdict
from practicals.models import Analyte, GroupMember

NO_GRADE = "not yet achieved"
RESUBMISSION = "resubmission"


def as_candidates(submissions: Collection[Submission]) -> Iterator[Candidate]:
    """People stand in a kept plan by token. A fixed number of queries however many there are."""
    unknowns = unknowns_given(submissions)
    assessors, briefs = _looked_at()
    for submission in submissions:
        work = submission.work
        brief = work.assignment.brief
        yield Candidate(
            key=str(submission.uuid),
            assessor=str(work.assessor.token),
            grade=grade_of(submission).grade or NO_GRADE,
            always_because=(RESUBMISSION,) if submission.attempt > 1 else (),
            group=work.assignment.teaching_class.name,
            unknown=unknowns.get(work.pk, ""),
            borderline=why_borderline(submission),
            new_assessor=work.assessor_id not in assessors,
            new_brief="" if brief.pk in briefs else str(brief),
        )


def why_borderline(submission: Submission) -> str:
    """In words, empty when it is not. Reads prefetched decisions and criteria without a query."""
    rule = read_grade_rule(submission.work.assignment.brief.unit.grade_rule)
    return borderline(rule, criterion_states(submission), turned=_turned(submission))


def unknowns_given(submissions: Collection[Submission]) -> dict[int, str]:
    """The unknowns on the papers of each work's learner, by the work's key; two queries."""
    learners = {submission.work.learner_id for submission in submissions}
    sessions: dict[int, set[int]] = defaultdict(set)
    assignments = {submission.work.assignment_id for submission in submissions}
    drawn_on = Assignment.sessions.through.objects.filter(assignment__in=assignments)
    for assignment, session in drawn_on.values_list("assignment", "session"):
        sessions[session].add(assignment)
    given: dict[tuple[int, int], set[str]] = defaultdict(set)
    for learner, session, home, name in _lanes(learners, sessions):
        for assignment in sessions.get(session, set()) | sessions.get(home, set()):
            given[assignment, learner].add(name)
    return {
        submission.work_id: ", ".join(
            sorted(given[submission.work.assignment_id, submission.work.learner_id])
        )
        for submission in submissions
        if (submission.work.assignment_id, submission.work.learner_id) in given
    }


def _lanes(learners: Collection[int], sessions: Collection[int]) -> Iterator[tuple[int, int, int, str]]:
    """By the session's code: a verifier has no need of the key."""
    lane = "group__papers__lanes"
    members = GroupMember.objects.filter(
        Q(session__in=sessions) | Q(home_session__in=sessions), learner__in=learners
    ).filter(**{f"{lane}__analyte__role": Analyte.Role.UNKNOWN})
    found = members.values_list(
        "learner", "session", "home_session", f"{lane}__code", f"{lane}__analyte__name"
    ).distinct()
    for learner, session, home, code, name in found:
        yield learner, session, home, f"Unknown {code}" if code else name


def _turned(submission: Submission) -> list[str]:
    """Criteria first decided not yet met and then, in the same attempt, met."""
    missed = {
        decision.criterion_id
        for decision in submission.decisions.all()
        if not decision.is_current and decision.outcome == Decision.Outcome.NOT_YET
    }
    standing = standing_decisions(submission)
    return [
        found.criterion.code
        for criterion, found in standing.items()
        if criterion in missed and found.outcome == Decision.Outcome.MET
    ]


def _looked_at() -> tuple[set[int], set[int]]:
    """Assessors and briefs of which a signed verification record has seen something."""
    signed = CriterionVerdict.objects.filter(record__signed_at__isnull=False).order_by()
    assessors = set(signed.values_list("assessor", flat=True).distinct())
    brief = "decision__submission__work__assignment__brief"
    return assessors, set(signed.values_list(brief, flat=True).distinct())
