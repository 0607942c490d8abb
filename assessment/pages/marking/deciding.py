"""A teacher decides, writes feedback and releases the result."""

from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone
from django.views.decorators.http import require_POST

from assessment.access import decidable_works
from assessment.actions.decide_criteria import SomeRefused, decide_criteria
from assessment.actions.give_feedback import give_feedback
from assessment.actions.release import release
from assessment.models import Submission, Work
from assessment.pages.marking.forms import DecisionForm, decision_forms, feedback_form
from assessment.pages.marking.views import work_page
from practicals.gate import PersonRequest
from reagents.models import Stale


@require_POST
def decide(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """Keep every decision that was made or changed on the page; on any error none, and all that was typed."""
    work, submission = _mine(request, uuid)
    forms = decision_forms(submission, request.POST)
    # Every form is asked, so that every error is shown at once.
    wrong = [form for form in forms if not form.is_valid()]
    if not wrong and _keep(request, submission, forms):
        return redirect("marking:work", work.uuid)
    return work_page(request, work, forms=forms)


def _keep(request: PersonRequest, submission: Submission, forms: list[DecisionForm]) -> bool:
    seen = {str(decision.uuid): decision for decision in submission.decisions.all()}
    chosen = [found for form in forms if (found := form.chosen(seen))]
    try:
        decide_criteria(by=request.user, submission=submission, decisions=chosen, now=timezone.now())
    except SomeRefused as refused:
        for form in forms:
            if form.criterion.pk in refused.errors:
                form.refuse(refused.errors[form.criterion.pk])
        return False
    codes = ", ".join(decision.criterion.code for decision in chosen)
    messages.success(request, f"Decisions kept: {codes}." if codes else "Nothing was changed.")
    return True


@require_POST
def feedback(request: PersonRequest, uuid: UUID) -> HttpResponse:
    work, submission = _mine(request, uuid)
    form = feedback_form(getattr(submission, "feedback", None), request.POST)
    if form.is_valid():
        try:
            give_feedback(
                by=request.user,
                submission=submission,
                text=form.cleaned_data["text"],
                seen_version=form.cleaned_data["version"],
                now=timezone.now(),
            )
        except Stale as stale:
            form.compare_with(stale.record)  # type: ignore[arg-type]
            form.add_error(None, str(stale))
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(request, "Feedback kept. The learner does not see it before it is released.")
            return redirect("marking:work", work.uuid)
    return work_page(request, work, feedback=form)


@require_POST
def let_go(request: PersonRequest, uuid: UUID) -> HttpResponse:
    work, submission = _mine(request, uuid)
    try:
        release(by=request.user, submission=submission, now=timezone.now())
    except ValidationError as error:
        messages.warning(request, "Not released. " + " ".join(error.messages))
    else:
        messages.success(request, "Released: the learner sees the decisions and the feedback now.")
    return redirect("marking:work", work.uuid)


def _mine(request: PersonRequest, uuid: UUID) -> tuple[Work, Submission]:
    """The work, and the attempt that the form was about: the form names it, so a later one is noticed."""
    work = get_object_or_404(decidable_works(request.user).for_page(), uuid=uuid)
    attempts = {str(submission.uuid): submission for submission in work.submissions.all()}
    try:
        return work, attempts[request.POST.get("submission", "")]
    except KeyError as error:
        raise Http404 from error
