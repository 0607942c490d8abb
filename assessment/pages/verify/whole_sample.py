"""A sample as a whole: widened, signed off, reported."""

import secrets
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from assessment.actions.save_policy import standing_policy
from assessment.actions.sign_off_sample import sign_off_sample
from assessment.actions.widen_sample import rest_of, widen_sample
from assessment.calculations.sampling import SamplingError
from assessment.models import SamplingPlan
from assessment.models.sample_chain import actions_of, sign_off_of, unfinished
from assessment.pages.verify.figures import size_help, widening_help
from assessment.pages.verify.follow_up_forms import SignOffForm, WidenForm
from assessment.pages.verify.rows import plan_for
from practicals.gate import PersonRequest
from practicals.models import User

EDIT = ["GET", "HEAD", "POST"]
SEEDS = 1_000_000


@require_http_methods(EDIT)
def widen(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """From the rest; what was drawn stays. An error of principle begins the reason."""
    plan = _plan(request, uuid)
    rest = rest_of(request.user, plan)
    assessors = User.objects.filter(pk__in={found.work.assessor_id for found in rest})
    form = WidenForm(request.POST or None, assessors=assessors, initial=_start(request, plan))
    if form.is_valid():
        try:
            made = _widened(request, plan, form)
        except SamplingError as error:
            form.add_error("size", str(error))
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(request, "The sample is widened. What was drawn before stays.")
            return redirect("verify:plan", uuid=made.uuid)
    context = {
        "plan": plan,
        "form": form,
        "help": size_help(len(rest)),
        "by_assessor": widening_help(rest),
        "signed_off": sign_off_of(plan),
    }
    return render(request, "assessment/verify/widen.html", context)


@require_http_methods(EDIT)
def sign_off(request: PersonRequest, uuid: UUID) -> HttpResponse:
    plan = _plan(request, uuid)
    form = SignOffForm(request.POST or None)
    if form.is_valid() and request.method == "POST":
        try:
            sign_off_sample(
                by=request.user, plan=plan, comment=form.cleaned_data["comment"], now=timezone.now()
            )
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(request, "The sample is signed off.")
            return redirect("verify:plan", uuid=uuid)
    context = {
        "plan": plan,
        "form": form,
        "waits": unfinished(plan).sentences,
        "signed_off": sign_off_of(plan),
    }
    return render(request, "assessment/verify/sign_off.html", context)


def _plan(request: PersonRequest, uuid: UUID) -> SamplingPlan:
    found = plan_for(request.user, uuid)
    if found is None:
        raise Http404
    return found


def _start(request: PersonRequest, plan: SamplingPlan) -> dict[str, object]:
    policy = standing_policy(now=timezone.now())
    start: dict[str, object] = {"size_by": policy.sample_by, "size": policy.sample_figure or None}
    because = _principle(request, plan)
    return start | because


def _principle(request: PersonRequest, plan: SamplingPlan) -> dict[str, object]:
    """Of an action that the link named: its words, and whose work is looked at again."""
    asked = request.GET.get("action", "")
    for action in actions_of(plan).filter(of_principle=True):
        if str(action.uuid) == asked:
            return {"reason": f"Error of principle: {action.what}"[:1000], "assessor": action.owner.uuid}
    return {}


def _widened(request: PersonRequest, plan: SamplingPlan, form: WidenForm) -> SamplingPlan:
    data = form.cleaned_data
    return widen_sample(
        by=request.user,
        plan=plan,
        size=form.wanted(at_least=1),
        seed=secrets.randbelow(SEEDS) if data["seed"] is None else data["seed"],
        reason=data["reason"],
        assessor=data["assessor"],
        strata=data["strata"],
        now=timezone.now(),
    )
