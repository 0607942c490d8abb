"""Ask the worker for the portfolios of a whole class in one file."""

from datetime import datetime, timedelta

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction
from django.db.models import QuerySet
from django_q.tasks import async_task

from assessment.access import readable_assignments, readable_works
from assessment.models import Assignment, DocumentJob, Submission
from practicals import audit
from practicals.models import User

#: By name: the function stands a floor above, and the worker finds it by name anyway.
BUILDER = "assessment.documents.class_set.build_class_set"
#: A job that did not end by then belongs to a worker that gave up; one may ask again.
PATIENCE = timedelta(hours=1)


def submissions_of_set(by: User, assignment: Assignment) -> QuerySet[Submission]:
    """Each learner's latest attempt, of the work that this teacher may read, in the order of making."""
    works = readable_works(by).filter(assignment=assignment)
    later = Submission.objects.filter(work__in=works).order_by("work_id", "-attempt")
    newest: dict[int, int] = {}
    for pk, work in later.values_list("pk", "work_id"):
        newest.setdefault(work, pk)
    return Submission.objects.filter(pk__in=newest.values()).order_by("pk")


def ask_class_set(*, by: User, assignment: Assignment, now: datetime) -> DocumentJob:
    """Put the job in the queue, in one transaction with its record. One that still runs is returned."""
    may = readable_assignments(by).filter(pk=assignment.pk).exists()
    if not by.has_perm("assessment.decide") or not may:
        raise PermissionDenied
    wanted = submissions_of_set(by, assignment).count()
    if not wanted:
        raise ValidationError("Nobody has submitted yet, so there is no portfolio to put together.")
    with transaction.atomic():
        Assignment.objects.select_for_update().get(pk=assignment.pk)
        running = DocumentJob.objects.filter(
            assignment=assignment, asked_by=by, finished_at=None, asked_at__gt=now - PATIENCE
        ).first()
        if running:
            return running
        job = DocumentJob.objects.create(assignment=assignment, asked_by=by, asked_at=now, wanted=wanted)
        audit.record(
            by=by,
            action="ask_class_set",
            subject=job,
            sentence=f"Class set of {wanted} portfolios asked for.",
        )
        async_task(BUILDER, str(job.uuid), task_name=f"class set {job.uuid}")
    job.refresh_from_db()  # where jobs run at once, it is already done
    return job
