"""The internal verifier: draw a sample, look at each portfolio, agree or not, sign."""

import secrets
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from assessment.access import closable_actions, readable_plans, verifiable_portfolios
from assessment.actions.draw_sample import draw_sample
from assessment.actions.give_verdicts import VerdictsRefused, give_verdicts
from assessment.actions.save_policy import standing_policy
from assessment.actions.sign_record import disagreements, sign_record
from assessment.calculations.sampling import SamplingError, empty_strata
from assessment.models import SampledPortfolio, SamplingPlan
from assessment.models.questions import questions_about
from assessment.models.sample_chain import actions_of, plans_of, seen_and_all, sign_off_of, unfinished
from assessment.models.samples import kept_candidates, kinds_of, sample_agreement, whole, with_names
from assessment.pages.verify.figures import NOT_COVERED, power_of
from assessment.pages.verify.follow_up_forms import SignForm
from assessment.pages.verify.forms import DrawForm
from assessment.pages.verify.rows import (
    VerdictRow,
    entries_of,
    evidence_of,
    may_write,
    only_unit,
    plan_for,
    plan_lines,
    record_of,
    redrawn,
    refreshed,
    sample_rows,
    show_refusals,
    unit_lines,
    verdict_rows,
)
from practicals.gate import PersonRequest

#: A made seed is short enough to be read out and typed again.
SEEDS = 1_000_000


def plans(request: PersonRequest) -> HttpResponse:
    lines = plan_lines(readable_plans(request.user))
    return render(request, "assessment/verify/plans.html", {"lines": lines})


def draw(request: PersonRequest) -> HttpResponse:
    units = unit_lines(request.user)
    policy = standing_policy(now=timezone.now())
    start = {"unit": only_unit(units), "size_by": policy.sample_by, "size": policy.sample_figure or None}
    form = DrawForm(request.POST or None, initial=start)
    if request.method == "POST" and form.is_valid():
        try:
            return redirect("verify:plan", uuid=_drawn(request, form, policy.sample_at_least).uuid)
        except SamplingError as error:
            form.add_error("size", str(error))
        except ValidationError as error:
            form.add_error(None, error)
    return render(request, "assessment/verify/draw.html", {"form": form, "units": units, "policy": policy})


def plan(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """The sample, why each portfolio is in it, what it can find, and the same draw done again."""
    user = request.user
    found = plan_for(user, uuid)
    if found is None:
        raise Http404
    rows = sample_rows(user, found)
    chain = list(plans_of(found).select_related("drawn_by"))
    drawn, population = seen_and_all(found)
    context = {
        "plan": found,
        "rows": rows,
        "left_out": len(rows) - sum(row.may_open for row in rows),
        "chain": chain,
        "drawn": drawn,
        "population": population,
        "power": power_of(population, drawn),
        "not_covered": NOT_COVERED,
        "again": redrawn(found),
        "empty": empty_strata(kept_candidates(found), kinds_of(found) or ()),
        "agreement": sample_agreement(chain),
        "actions": actions_of(found),
        "closable": set(closable_actions(user).values_list("pk", flat=True)),
        "waits": unfinished(found).sentences,
        "signed_off": sign_off_of(found),
    }
    return render(request, "assessment/verify/plan.html", context)


def portfolio(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """The frozen evidence beside the decisions. The only form is for the verifier's own verdicts."""
    found = _portfolio(request, uuid)
    if request.method != "POST":
        return _portfolio_page(request, found, verdict_rows(found))
    rows = verdict_rows(found, request.POST)
    if not all(row.form.is_valid() for row in rows):
        return _portfolio_page(request, found, rows)
    entries = entries_of(rows, found)
    try:
        give_verdicts(by=request.user, sampled=found, entries=entries, now=timezone.now())
    except VerdictsRefused as error:
        found = _portfolio(request, uuid)
        fresh = verdict_rows(found, refreshed(verdict_rows(found), request.POST))
        show_refusals(fresh, entries, error)
        return _portfolio_page(request, found, fresh)
    except ValidationError as error:
        return _portfolio_page(request, _portfolio(request, uuid), rows, refused=error.messages[0])
    messages.success(request, "Your verdicts are saved.")
    return redirect("verify:portfolio", uuid=uuid)


def sign(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """The verdicts once more, a comment on feedback and records, and the signature."""
    user, found = request.user, _portfolio(request, uuid)
    record = record_of(found)
    if record is None or record.verifier_id != user.pk or record.signed_at:
        return redirect("verify:portfolio", uuid=uuid)
    form = SignForm(request.POST or None, disagreements=disagreements(record))
    if request.method == "POST" and form.is_valid():
        try:
            sign_record(
                by=user,
                record=record,
                feedback_comment=form.cleaned_data["feedback_comment"],
                qualities=form.qualities(),
                actions=form.actions(),
                now=timezone.now(),
            )
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(request, "Signed. The record stays as it is.")
            return redirect("verify:plan", uuid=found.plan.uuid)
    context = {"portfolio": found, "rows": verdict_rows(found), "form": form, "work": found.submission.work}
    return render(request, "assessment/verify/sign.html", context)


def _portfolio(request: PersonRequest, uuid: UUID) -> SampledPortfolio:
    return get_object_or_404(whole(verifiable_portfolios(request.user)), uuid=uuid)


def _drawn(request: PersonRequest, form: DrawForm, at_least: int) -> SamplingPlan:
    seed = form.cleaned_data["seed"]
    return draw_sample(
        by=request.user,
        unit=form.cleaned_data["unit"],
        size=form.wanted(at_least),
        strata=form.cleaned_data["strata"],
        seed=secrets.randbelow(SEEDS) if seed is None else seed,
        stage=form.cleaned_data["stage"],
        now=timezone.now(),
    )


def _portfolio_page(
    request: PersonRequest, found: SampledPortfolio, rows: list[VerdictRow], refused: str = ""
) -> HttpResponse:
    record = record_of(found)
    context = {
        "portfolio": found,
        "portfolio_reason": with_names(found.reason, [found.submission.work.assessor]),
        "submission": found.submission,
        "work": found.submission.work,
        "record": record,
        "rows": rows,
        "errors": [error for row in rows for error in row.errors],
        "refused": refused,
        "writable": may_write(request.user, record),
        "complete": all(row.verdict for row in rows),
        "questions": questions_about(found.submission.work),
        **evidence_of(found.submission),
    }
    return render(request, "assessment/verify/portfolio.html", context)
