"""Standardisation: open it, judge the piece blind, reveal, compare, record what was agreed."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from assessment.access import readable_standardisations, verifiable_submissions
from assessment.actions.close_standardisation import close_standardisation
from assessment.actions.judge_blind import judge_blind
from assessment.actions.open_standardisation import open_standardisation
from assessment.actions.reveal_judgements import reveal_judgements
from assessment.models import Standardisation
from assessment.models.standardising import (
    compared,
    criteria_of,
    for_page,
    have_judged,
    lines_of,
    may_judge,
    nameless,
    own_judgement,
    pieces,
)
from assessment.pages.standardise.forms import AgreedForm, JudgeForm, OpenForm, as_given
from practicals.gate import PersonRequest

EDIT = ["GET", "HEAD", "POST"]


@require_safe
def standardisations(request: PersonRequest) -> HttpResponse:
    context = {
        "lines": lines_of(readable_standardisations(request.user)),
        "may_open_one": request.user.has_perm("assessment.standardise"),
    }
    return render(request, "assessment/standardise/standardisations.html", context)


@require_http_methods(EDIT)
def open_one(request: PersonRequest) -> HttpResponse:
    form = OpenForm(
        request.POST or None, pieces=pieces(verifiable_submissions(request.user)), assessors=may_judge()
    )
    if form.is_valid():
        data = form.cleaned_data
        try:
            made = open_standardisation(
                by=request.user,
                title=data["title"],
                piece=data["piece"],
                assessors=list(data["assessors"]),
                now=timezone.now(),
            )
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(request, "It is open. Each assessor finds it under Standardisation.")
            return redirect("standardise:piece", uuid=made.uuid)
    return render(request, "assessment/standardise/open.html", {"form": form})


@require_http_methods(EDIT)
def piece(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """The piece without a name; the own judgement while it is open, everybody's once they are revealed."""
    found = _found(request, uuid)
    mine = own_judgement(found, request.user)
    form = JudgeForm(request.POST or None, criteria=criteria_of(found), initial=as_given(mine))
    if form.is_valid():
        try:
            judge_blind(by=request.user, standardisation=found, judged=form.judged(), now=timezone.now())
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(request, "Your judgement is saved. Nobody else sees it before all are revealed.")
            return redirect("standardise:piece", uuid=uuid)
    return render(request, "assessment/standardise/piece.html", _context(request, found, form))


@require_POST
def reveal(request: PersonRequest, uuid: UUID) -> HttpResponse:
    try:
        reveal_judgements(by=request.user, standardisation=_found(request, uuid), now=timezone.now())
    except ValidationError as error:
        messages.error(request, error.messages[0])
    return redirect("standardise:piece", uuid=uuid)


@require_http_methods(EDIT)
def agreed(request: PersonRequest, uuid: UUID) -> HttpResponse:
    found = _found(request, uuid)
    form = AgreedForm(request.POST or None, criteria=criteria_of(found))
    if form.is_valid():
        try:
            close_standardisation(
                by=request.user,
                standardisation=found,
                readings=form.readings(),
                outcome=form.cleaned_data["outcome"],
                now=timezone.now(),
            )
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(request, "The agreed reading is recorded.")
            return redirect("standardise:piece", uuid=uuid)
    shown = compared(found) if found.revealed_at else None
    context = {"standardisation": found, "form": form, "compared": shown}
    return render(request, "assessment/standardise/agreed.html", context)


def _found(request: PersonRequest, uuid: UUID) -> Standardisation:
    return get_object_or_404(for_page(readable_standardisations(request.user)), uuid=uuid)


def _context(request: PersonRequest, found: Standardisation, form: JudgeForm) -> dict[str, Any]:
    user, judged = request.user, have_judged(found)
    asked = list(found.assessors.all())
    return {
        "standardisation": found,
        "piece": nameless(found.piece),
        "criteria": criteria_of(found),
        "form": form,
        "asked": user in asked and found.revealed_at is None,
        "own": user.pk in judged,
        "judged": len(judged),
        "wanted": len(asked),
        "compared": compared(found) if found.revealed_at else None,
        "agreed": list(found.agreed.all()),
        "may_reveal": user.has_perm("assessment.standardise"),
    }
