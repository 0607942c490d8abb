"""Chambers and the batches in them, by group number: no learner's name is read or written here."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from practicals.access import fillable_sessions, traceable_sessions
from practicals.actions.fill_chamber import CannotFill, fill_chambers
from practicals.models.filling import (
    batch_choices,
    chambers_of,
    nameless_title,
    runs_in,
    sessions_to_fill,
)
from practicals.pages.board.around import StaffRequest
from practicals.pages.board.forms import FillForm
from reagents.models import Batch


def chambers(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """Fill all empty chambers in one click, or one; correct one with a reason."""
    sessions = fillable_sessions(request.user).select_related("practical__mobile_phase")
    session = get_object_or_404(sessions.prefetch_related("lessons"), uuid=uuid)
    rows, batches = list(chambers_of(session)), batch_choices(session, timezone.now())
    form = FillForm(request.POST or None, chambers=rows, batches=batches)
    if request.method == "POST" and form.is_valid() and _fill(request, form):
        return redirect("board:chambers", uuid=uuid)
    context = {
        "session": session,
        "title": nameless_title(session),
        "chambers": rows,
        "batches": batches,
        "form": form,
        "leads": request.user.has_perm("practicals.run_lesson"),
        "trail": [("Today", reverse("home:home")), (f"Chambers: {nameless_title(session)}", "")],
    }
    return render(request, "practicals/board/chambers.html", context)


def batch_papers(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """What ran in a batch, and the sessions that still have empty chambers for it."""
    batch = get_object_or_404(Batch.objects.select_related("recipe"), uuid=uuid)
    to_fill = sessions_to_fill(batch).filter(pk__in=fillable_sessions(request.user).values("pk"))
    context = {
        "batch": batch,
        "runs": runs_in(batch, traceable_sessions(request.user)),
        "sessions": [(found, nameless_title(found)) for found in to_fill],
        "trail": [("Today", reverse("home:home")), (f"Papers in batch {batch.code}", "")],
    }
    return render(request, "practicals/board/batch_papers.html", context)


def _fill(request: StaffRequest, form: FillForm) -> bool:
    batch = form.batches[form.cleaned_data["batch"]]
    reason = form.cleaned_data["reason"]
    try:
        filled = fill_chambers(
            by=request.user, chambers=form.chosen(), batch=batch, reason=reason, now=timezone.now()
        )
    except CannotFill as problem:
        form.add_error(None, str(problem))
        return False
    word = "chamber is" if len(filled) == 1 else "chambers are"
    messages.success(request, f"{len(filled)} {word} filled from batch {batch.code}.")
    return True
