"""Actions from both sides, and the third opinion."""

from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse, QueryDict
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from assessment.access import closable_actions, own_actions, verdicts_for_a_third, verifiable_portfolios
from assessment.actions.answer_action import answer_action
from assessment.actions.close_action import close_action
from assessment.actions.give_third_opinion import give_third_opinion
from assessment.actions.raise_action import raise_action
from assessment.models import VerificationAction
from assessment.models.follow_up_state import new_decision_on, still_differ, third_opinion_on, whole_actions
from assessment.models.sample_chain import sign_off_of
from assessment.models.samples import whole
from assessment.pages.verify.follow_up_forms import AnswerForm, CloseForm, OpinionForm, RaiseForm
from assessment.pages.verify.rows import record_of
from practicals.gate import PersonRequest
from reagents.models import Stale

EDIT = ["GET", "HEAD", "POST"]


@require_safe
def my_actions(request: PersonRequest) -> HttpResponse:
    """What verification asks of this assessor: open first, then what is closed."""
    mine = whole_actions(own_actions(request.user)).order_by("closed_at", "due_on", "pk")
    context = {
        "waiting": [one for one in mine if one.closed_at is None],
        "closed": [one for one in mine if one.closed_at],
    }
    return render(request, "assessment/verify/my_actions.html", context)


@require_http_methods(EDIT)
def answer(request: PersonRequest, uuid: UUID) -> HttpResponse:
    action = get_object_or_404(whole_actions(own_actions(request.user)), uuid=uuid)
    new = new_decision_on(action)
    start = {"answer": action.answer, "by_new_decision": new is not None, "seen_version": action.version}
    form = AnswerForm(request.POST or None, initial=start)
    if form.is_valid():
        data = form.cleaned_data
        try:
            answer_action(
                by=request.user,
                action=action,
                answer=data["answer"],
                new_decision=new if data["by_new_decision"] else None,
                seen_version=data["seen_version"],
                now=timezone.now(),
            )
        except (ValidationError, Stale) as error:
            _refuse(form, error)
        else:
            messages.success(request, "Your answer is saved. Somebody else closes the action.")
            return redirect("verify:my_actions")
    return _action_page(request, "assessment/verify/answer.html", action, form)


@require_http_methods(EDIT)
def action(request: PersonRequest, uuid: UUID) -> HttpResponse:
    found = get_object_or_404(whole_actions(closable_actions(request.user)), uuid=uuid)
    form = CloseForm(request.POST or None, initial={"seen_version": found.version})
    if form.is_valid():
        data = form.cleaned_data
        try:
            close_action(
                by=request.user,
                action=found,
                note=data["note"],
                seen_version=data["seen_version"],
                now=timezone.now(),
            )
        except (ValidationError, Stale) as error:
            _refuse(form, error)
        else:
            messages.success(request, "The action is closed.")
            return redirect("verify:plan", uuid=found.record.sampled.plan.uuid)
    return _action_page(request, "assessment/verify/action.html", found, form)


@require_http_methods(EDIT)
def third_opinion(request: PersonRequest, uuid: UUID) -> HttpResponse:
    verdicts = verdicts_for_a_third(request.user).select_related(
        "decision__criterion", "assessor", "verifier", "record__sampled__plan__unit"
    )
    verdict = get_object_or_404(verdicts, uuid=uuid)
    form = OpinionForm(request.POST or None)
    if form.is_valid():
        try:
            give_third_opinion(by=request.user, verdict=verdict, **form.cleaned_data, now=timezone.now())
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(request, "Your opinion is kept. The assessor takes the decision.")
            return redirect("verify:plan", uuid=verdict.record.sampled.plan.uuid)
    context = {
        "verdict": verdict,
        "form": form,
        "answers": [one for one in verdict.actions.all() if one.answered_at],
    }
    return render(request, "assessment/verify/third_opinion.html", context)


@require_http_methods(EDIT)
def raise_one(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """An action on the record as a whole, such as feedback that says too little."""
    portfolio = get_object_or_404(whole(verifiable_portfolios(request.user)), uuid=uuid)
    record = record_of(portfolio)
    if record is None or record.verifier_id != request.user.pk:
        return redirect("verify:portfolio", uuid=uuid)
    form = RaiseForm(request.POST or None)
    if form.is_valid():
        try:
            raise_action(by=request.user, record=record, wanted=form.wanted(), now=timezone.now())
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(request, "The action is open.")
            return redirect("verify:plan", uuid=portfolio.plan.uuid)
    context = {"portfolio": portfolio, "work": portfolio.submission.work, "form": form}
    return render(request, "assessment/verify/raise.html", context)


def _action_page(
    request: PersonRequest, template: str, action: VerificationAction, form: AnswerForm | CloseForm
) -> HttpResponse:
    """The action whole; a form only while it is open. A stale form comes back with the new version."""
    context = {
        "action": action,
        "form": form,
        "new_decision": new_decision_on(action),
        "opinion": third_opinion_on(action.verdict),
        "differ": still_differ(action),
        "may_give_third": action.verdict in verdicts_for_a_third(request.user),
        "signed_off": sign_off_of(action.record.sampled.plan),
    }
    return render(request, template, context)


def _refuse(form: AnswerForm | CloseForm, error: ValidationError | Stale) -> None:
    if isinstance(error, Stale):
        typed = QueryDict(mutable=True)
        typed.update(form.data)
        typed["seen_version"] = str(error.record.version)
        form.data = typed
    form.add_error(None, error if isinstance(error, ValidationError) else str(error))
