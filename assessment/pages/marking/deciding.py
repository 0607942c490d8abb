"""A teacher decides, writes feedback and releases the result."""

from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db import transaction
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from assessment.access import decidable_works, readable_assignments
from assessment.actions.decide_criteria import SomeRefused, decide_criteria
from assessment.actions.declare_assessor import declare_assessor
from assessment.actions.give_feedback import give_feedback
from assessment.actions.release import release
from assessment.actions.release_ready import release_ready
from assessment.actions.save_draft import save_draft
from assessment.models import Submission, Work
from assessment.pages.marking.forms import DecisionForm, decision_forms, feedback_form
from assessment.pages.marking.views import work_page
from practicals.gate import PersonRequest
from practicals.models import User
from reagents.models import Stale

DRAFTED_ELSEWHERE = "This draft was saved in another tab since. Copy your text, then load the page anew."
#: How many works that stayed back are named one by one.
SAID_OF = 5


@require_POST
def decide(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """Keep every decision that was made or changed on the page; on any error none, and all that was typed."""
    work, submission = _mine(request, uuid)
    forms = decision_forms(submission, request.user, request.POST)
    # Every form is asked, so that every error is shown at once.
    wrong = [form for form in forms if not form.is_valid()]
    if not wrong:
        kept = keep_drafts if request.POST.get("keep") == "draft" else _keep
        if kept(request, submission, forms):
            return redirect("marking:work", work.uuid)
    return work_page(request, work, forms=forms)


def keep_drafts(request: PersonRequest, submission: Submission, forms: list[DecisionForm]) -> bool:
    """Save what was typed as drafts that nobody else sees; in a second tab's way, none."""
    typed = [form for form in forms if form.typed]
    try:
        with transaction.atomic():
            for form in typed:
                draft_of(request.user, submission, form)
    except Stale:
        for form in typed:
            form.add_error(None, DRAFTED_ELSEWHERE)
        return False
    codes = ", ".join(form.criterion.code for form in typed)
    kept = f"Drafts kept: {codes}. Only you see them; nothing is decided."
    messages.success(request, kept if codes else "Nothing was changed.")
    return True


def draft_of(by: User, submission: Submission, form: DecisionForm) -> None:
    save_draft(
        by=by,
        submission=submission,
        criterion=form.criterion,
        outcome=form.cleaned_data["outcome"],
        comment=form.cleaned_data["comment"],
        valid=form.cleaned_data["valid"],
        sufficient=form.cleaned_data["sufficient"],
        seen_version=form.cleaned_data["draft"],
        now=timezone.now(),
    )


@require_POST
def declare(request: PersonRequest, uuid: UUID) -> HttpResponse:
    work, submission = _mine(request, uuid)
    try:
        declare_assessor(
            by=request.user,
            submission=submission,
            authentic="authentic" in request.POST,
            current="current" in request.POST,
            now=timezone.now(),
        )
    except ValidationError as error:
        messages.warning(request, "Not declared. " + " ".join(error.messages))
    else:
        messages.success(request, "Declared: authentic and current.")
    return redirect(f"{reverse('marking:work', args=[work.uuid])}#declaration")


@require_POST
def let_all_go(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """Release all of an assignment that is ready; say of the rest what is missing."""
    assignment = get_object_or_404(readable_assignments(request.user), uuid=uuid)
    found = release_ready(by=request.user, assignment=assignment, now=timezone.now())
    number = len(found.released)
    messages.success(request, f"{number} result{'' if number == 1 else 's'} released.")
    for kept in found.kept_back[:SAID_OF]:
        messages.warning(request, f"{kept.work.learner}: {kept.why}")
    if len(found.kept_back) > SAID_OF:
        messages.warning(request, f"{len(found.kept_back) - SAID_OF} more stayed back.")
    return redirect("marking:assignment", assignment.uuid)


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
