"""Lists for whoever assesses: which assignments wait, how far each class is."""

from django.db.models import Case, Count, Exists, IntegerField, OuterRef, QuerySet, Subquery, When
from django.db.models.functions import Coalesce

from assessment.models.brief import AssignmentQuerySet
from assessment.models.evidence import Submission, Work
from practicals.models import User


def with_counts(assignments: AssignmentQuerySet, assessor: User) -> AssignmentQuerySet:
    """With `learners`, `submitted`, and `waiting`: how many results this assessor has still to release.

    What waits comes first, and of that the earliest due.
    """
    handed_in = Submission.objects.filter(work=OuterRef("pk"))
    unreleased = handed_in.exclude(feedback__released_at__isnull=False)
    works = Work.objects.all()
    counted: AssignmentQuerySet = assignments.for_list().annotate(
        learners=_counted(works),
        submitted=_counted(works.filter(Exists(handed_in))),
        waiting=_counted(works.filter(Exists(unreleased), assessor=assessor)),
    )
    waits = Case(When(waiting__gt=0, then=0), default=1, output_field=IntegerField())
    return counted.annotate(waits=waits).order_by("waits", "due_at", "id")


def newest_submission(work: Work) -> Submission | None:
    """The attempt that counts; reads prefetched submissions without a query."""
    return max(work.submissions.all(), key=lambda submission: submission.attempt, default=None)


def released_submission(work: Work) -> Submission | None:
    """The newest attempt whose result the learner has."""
    released: Submission | None = work.submissions.filter(feedback__released_at__isnull=False).last()
    return released


def _counted(works: "QuerySet[Work]") -> Coalesce:
    of_assignment = works.filter(assignment=OuterRef("pk")).order_by().values("assignment")
    number = of_assignment.annotate(number=Count("pk")).values("number")
    return Coalesce(Subquery(number, output_field=IntegerField()), 0)
