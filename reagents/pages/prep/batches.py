"""The batch really made: recorded, looked at, recalled."""

from dataclasses import dataclass
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from reagents.actions import recall_batch as recalling
from reagents.actions import record_batch as recording
from reagents.calculations.batch_check import (
    Composition,
    Deviation,
    ImpossibleBatch,
    against_recipe,
    as_made,
    deviation,
    recipe_verdict,
    vessel_names,
)
from reagents.calculations.prep_plan import plan_for
from reagents.documents.prep_list import wanted_of
from reagents.models import Batch, BatchAmount, RequisitionLine
from reagents.pages.prep.forms import RecallForm, RecordBatchForm
from reagents.pages.prep.reading import (
    batch_or_404,
    line_or_404,
    on_the_shelf,
    phase_as_measured,
    second_bottles,
    taken_for,
    together_with,
)


@dataclass(frozen=True)
class AmountRow:
    amount: BatchAmount
    deviation: Deviation
    composition: Composition


@require_http_methods(["GET", "HEAD", "POST"])
def record_batch(request: HttpRequest, uuid: UUID) -> HttpResponse:
    line = line_or_404(uuid)
    together = together_with(line, request.GET)
    plan, now = plan_for(wanted_of(together.lines)), timezone.now()
    form = RecordBatchForm(
        request.POST or None, plan=plan, now=now, name=str(request.user), shelf=on_the_shelf()
    )
    if form.is_valid() and (made := _save(request, line, form, now)):
        messages.success(request, f"Batch {made.code} is recorded. Write this code on the bottle.")
        for said in second_bottles(made):
            messages.info(request, said)
        return redirect("prep:batch", uuid=made.uuid)
    context = {
        "form": form,
        "plan": plan,
        "line": line,
        "together": together,
        "vessels": vessel_names(),
    }
    return render(request, "reagents/prep/record_batch.html", {**context, "trail": _trail(line)})


def _save(request: HttpRequest, line: RequisitionLine, form: RecordBatchForm, now: Any) -> Batch | None:
    try:
        return recording.record_batch(
            by=request.user,
            line=line,
            made_at=form.cleaned_data["made_at"],
            initials=form.cleaned_data["initials"],
            use_by=form.cleaned_data["use_by"],
            amounts=form.amounts(list(line.recipe.parts.all())),
            note=form.cleaned_data["note"],
            now=now,
        )
    except ImpossibleBatch as trouble:
        form.add_error(None, str(trouble))
        return None


@require_safe
def batch(request: HttpRequest, uuid: UUID) -> HttpResponse:
    return _batch_page(request, batch_or_404(uuid), RecallForm())


@require_POST
def recall_batch(request: HttpRequest, uuid: UUID) -> HttpResponse:
    found = batch_or_404(uuid)
    form = RecallForm(request.POST)
    if not form.is_valid():
        return _batch_page(request, found, form)
    try:
        recalling.recall_batch(
            by=request.user, batch=found, reason=form.cleaned_data["reason"], now=timezone.now()
        )
    except recalling.NotRecallable as trouble:
        form.add_error(None, str(trouble))
        return _batch_page(request, batch_or_404(uuid), form)
    messages.success(request, f"Batch {found.code} is recalled. Take the bottles out of use.")
    return redirect("prep:batch", uuid=uuid)


def _batch_page(request: HttpRequest, found: Batch, form: RecallForm) -> HttpResponse:
    kept = list(found.amounts.all())
    amounts = [recording.as_amount(one) for one in kept]
    allowed = found.recipe.tolerance_percent
    compositions = against_recipe(amounts, allowed)
    rows = [
        AmountRow(one, deviation(amount), composition)
        for one, amount, composition in zip(kept, amounts, compositions, strict=True)
    ]
    context = {
        "batch": found,
        "rows": rows,
        "as_made": as_made(amounts),
        "verdict": recipe_verdict(compositions, allowed),
        "agrees": all(one.within for one in compositions),
        "taken": taken_for(found),
        "phase": phase_as_measured(found, kept),
        "over": bool(found.use_by and found.use_by < timezone.now()),
        "form": form,
        "trail": [("Prep lists", _lists(request)), (f"Batch {found.code}", "")],
    }
    return render(request, "reagents/prep/batch.html", context)


def _lists(request: HttpRequest) -> str:
    may = request.user.has_perm("reagents.see_requisitions")
    return reverse("prep:requisitions") if may else ""


def _trail(line: RequisitionLine) -> list[tuple[str, str]]:
    asked = line.requisition
    return [
        ("Prep lists", reverse("prep:requisitions")),
        (asked.title, reverse("prep:requisition", args=[asked.uuid])),
        ("Record a batch", ""),
    ]
