"""Portfolios for a teacher: one learner's as PDF, a class's as a set that the worker makes."""

from datetime import datetime
from uuid import UUID

from django.core.exceptions import ValidationError
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache

from assessment.access import readable_assignments, readable_works
from assessment.actions.ask_class_set import PATIENCE, ask_class_set, submissions_of_set
from assessment.documents.feedback_record import make_feedback_record
from assessment.models import Assignment, DocumentJob
from assessment.models.marking import released_submission
from assessment.pages.document_answer import document_answer
from assessment.pages.portfolio_answer import portfolio_answer
from practicals.gate import PersonRequest


@never_cache
def portfolio(request: HttpRequest, uuid: UUID) -> HttpResponse:
    work = get_object_or_404(readable_works(request.user), uuid=uuid)
    return portfolio_answer(request, work.submissions.last(), back=reverse("marking:work", args=[uuid]))


@never_cache
def feedback_record(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """Of the newest attempt that is released."""
    work = get_object_or_404(readable_works(request.user), uuid=uuid)
    submission = released_submission(work)
    if submission is None:
        raise Http404
    return document_answer(
        request,
        lambda: make_feedback_record(by=request.user, submission=submission, now=timezone.now()),
        back=reverse("marking:work", args=[uuid]),
    )


@never_cache
def class_set(request: HttpRequest, uuid: UUID) -> HttpResponse:
    """What is made and what is still to make; the form that asks for it."""
    assignment = get_object_or_404(readable_assignments(request.user).for_list(), uuid=uuid)
    why = ""
    if request.method == "POST":
        try:
            ask_class_set(by=request.user, assignment=assignment, now=timezone.now())  # type: ignore[arg-type]
            return redirect("marking:class_set", uuid=uuid)
        except ValidationError as error:
            why = " ".join(error.messages)
    context = {"assignment": assignment, "why": why, **_standing(request, assignment, timezone.now())}
    template = "_class_set_state" if getattr(request, "htmx", False) else "class_set"
    return render(request, f"assessment/marking/{template}.html", context)


@never_cache
def class_set_file(request: HttpRequest, uuid: UUID) -> HttpResponseBase:
    """The finished file, for whoever asked for it as long as they may read the assignment."""
    assignments = readable_assignments(request.user)
    job = get_object_or_404(
        DocumentJob.objects.filter(asked_by=request.user.pk, assignment__in=assignments.values("pk")),
        uuid=uuid,
        file__isnull=False,
    )
    if job.file is None or not default_storage.exists(job.file.place):
        raise Http404
    name = f"portfolios-{job.asked_at:%Y-%m-%d}.zip"
    return FileResponse(
        default_storage.open(job.file.place),
        as_attachment=True,
        filename=name,
        content_type="application/zip",
    )


def _standing(request: HttpRequest, assignment: Assignment, now: datetime) -> dict[str, object]:
    job = DocumentJob.objects.filter(assignment=assignment, asked_by=request.user.pk).first()
    running = job is not None and job.finished_at is None and job.asked_at > now - PATIENCE
    return {
        "job": job,
        "running": running,
        "stopped": job is not None and job.finished_at is None and not running,
        "ready": submissions_of_set(request.user, assignment).count(),  # type: ignore[arg-type]
    }
