"""Extensions, and resubmissions from the asking to the answer."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from assessment.access import answerable_grants, decidable_works
from assessment.actions.ask_resubmission import ask_resubmission
from assessment.actions.authorise_resubmission import authorise_resubmission, deadline_for
from assessment.actions.give_extension import give_extension
from assessment.actions.refuse_resubmission import refuse_resubmission
from assessment.calculations.attempts import why_no_resubmission
from assessment.models import ResubmissionGrant, Submission, Work
from assessment.models.attempt_state import facts_of_attempt, first_deadline, grants_to_answer, rules_of
from assessment.models.results import grade_of, standing_decisions
from assessment.pages.attempts.forms import AskForm, AuthoriseForm, ExtensionForm, RefuseForm
from practicals.gate import PersonRequest
from reagents.models import Stale

EDIT = ["GET", "HEAD", "POST"]


@require_http_methods(EDIT)
def extension(request: PersonRequest, uuid: UUID) -> HttpResponse:
    work = get_object_or_404(decidable_works(request.user).for_page(), uuid=uuid)
    now, due = timezone.now(), timezone.localtime(first_deadline(work))
    start = {"due_day": due.date(), "due_time": due.time(), "seen_version": work.version}
    form = ExtensionForm(request.POST or None, initial=start)
    if form.is_valid():
        try:
            give_extension(
                by=request.user,
                work=work,
                due_at=form.cleaned_data["due_at"],
                reason=form.cleaned_data["reason"],
                seen_version=form.cleaned_data["seen_version"],
                now=now,
            )
        except (ValidationError, Stale) as error:
            form.add_error(None, error if isinstance(error, ValidationError) else str(error))
        else:
            messages.success(request, "The deadline is moved. The learner sees the new one.")
            return redirect("marking:work", uuid=uuid)
    context = {"work": work, "form": form, "due": due, "trail": _trail(work, "Move the deadline")}
    return render(request, "assessment/attempts/extension.html", context)


@require_http_methods(EDIT)
def ask(request: PersonRequest, uuid: UUID) -> HttpResponse:
    mine = decidable_works(request.user).for_page()
    submission = get_object_or_404(Submission, uuid=uuid, work__in=mine.values("pk"))
    work = mine.get(pk=submission.work_id)
    submission = next(one for one in work.submissions.all() if one.pk == submission.pk)
    form = AskForm(request.POST or None)
    if form.is_valid():
        try:
            ask_resubmission(
                by=request.user,
                submission=submission,
                because=form.cleaned_data["because"],
                now=timezone.now(),
            )
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(request, "The lead verifier is asked. You see the answer on this page.")
            return redirect("marking:work", uuid=work.uuid)
    context = {
        "work": work,
        "submission": submission,
        "form": form,
        "obstacles": why_no_resubmission(facts_of_attempt(submission), rules_of(work.assignment)),
        "rules": rules_of(work.assignment),
        "trail": _trail(work, "Ask for a resubmission"),
    }
    return render(request, "assessment/attempts/ask.html", context)


@require_safe
def requests(request: PersonRequest) -> HttpResponse:
    answered = answerable_grants(request.user).select_related(
        "submission__work__learner", "submission__work__assignment__brief", "authorised_by"
    )
    context = {
        "waiting": grants_to_answer(request.user),
        "answered": answered.exclude(authorised_at=None, refused_at=None).order_by("-asked_at")[:50],
    }
    return render(request, "assessment/attempts/requests.html", context)


@require_http_methods(EDIT)
def answer(request: PersonRequest, uuid: UUID) -> HttpResponse:
    grant = _grant(request, uuid)
    form = AuthoriseForm(request.POST or None, initial={"received_on": _released_on(grant)})
    if form.is_valid():
        try:
            authorise_resubmission(by=request.user, grant=grant, **form.cleaned_data, now=timezone.now())
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(request, "The resubmission is authorised. Its last day is stored and stays.")
            return redirect("attempts:answer", uuid=uuid)
    return _answer_page(request, grant, form=form)


@require_POST
def refuse(request: PersonRequest, uuid: UUID) -> HttpResponse:
    grant = _grant(request, uuid)
    form = RefuseForm(request.POST)
    if form.is_valid():
        try:
            refuse_resubmission(
                by=request.user, grant=grant, reason=form.cleaned_data["reason"], now=timezone.now()
            )
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(request, "The resubmission is refused. The assessor reads why.")
            return redirect("attempts:answer", uuid=uuid)
    return _answer_page(request, grant, refusal=form)


def _grant(request: PersonRequest, uuid: UUID) -> ResubmissionGrant:
    whole = answerable_grants(request.user).select_related(
        "asked_by",
        "authorised_by",
        "submission__feedback",
        "submission__assessor_declaration",
        "submission__work__learner",
        "submission__work__assessor",
        "submission__work__assignment__brief__unit",
        "submission__work__assignment__policy",
    )
    found: ResubmissionGrant = get_object_or_404(whole, uuid=uuid)
    return found


def _answer_page(
    request: PersonRequest,
    grant: ResubmissionGrant,
    *,
    form: AuthoriseForm | None = None,
    refusal: RefuseForm | None = None,
) -> HttpResponse:
    submission = grant.submission
    received = _released_on(grant)
    context: dict[str, Any] = {
        "grant": grant,
        "work": submission.work,
        "submission": submission,
        "grade": grade_of(submission),
        "decisions": sorted(standing_decisions(submission).values(), key=lambda one: one.criterion.order),
        "rules": rules_of(submission.work.assignment),
        "form": form or AuthoriseForm(initial={"received_on": received}),
        "refusal": refusal or RefuseForm(),
        "trail": [("Resubmissions", reverse("attempts:requests")), (submission.work.learner.name, "")],
    }
    if received and not grant.authorised_at:
        try:
            context["would_end"] = deadline_for(grant, received)
        except ValidationError as error:
            context["cannot_count"] = error.messages[0]
    return render(request, "assessment/attempts/answer.html", context)


def _released_on(grant: ResubmissionGrant) -> Any:
    released = grant.submission.feedback.released_at
    return timezone.localdate(released) if released else None


def _trail(work: Work, here: str) -> list[tuple[str, str]]:
    return [
        ("Marking", reverse("marking:assignments")),
        (str(work.assignment), reverse("marking:assignment", args=[work.assignment.uuid])),
        (work.learner.name, reverse("marking:work", args=[work.uuid])),
        (here, ""),
    ]
