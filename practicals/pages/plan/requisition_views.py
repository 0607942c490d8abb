"""The requisition: what the technician is asked to have ready."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from practicals.actions.plan_session import CannotPlan
from practicals.actions.send_requisition import PhaseNeed, phase_need, send_requisition
from practicals.gate import PersonRequest
from practicals.models import Session
from practicals.pages.plan.attempt import attempt
from practicals.pages.plan.gather import listed_sessions, requisition_state
from practicals.pages.plan.requisition_form import RequisitionForm
from practicals.pages.plan.session_views import trail_to
from reagents.models import Requisition


def requisition(request: PersonRequest, uuid: str) -> HttpResponse:
    found = get_object_or_404(listed_sessions(request.user), uuid=uuid)
    form = RequisitionForm(request.POST if request.method == "POST" else None, session=found)
    need = None if form.is_bound else usual_need(found)
    if form.is_valid():
        need = attempt(form, lambda: phase_need(found, **form.phase()))
        if need and "preview" not in request.POST:
            sent = attempt(
                form,
                lambda: send_requisition(by=request.user, session=found, now=timezone.now(), **form.plan()),
            )
            if sent:
                messages.success(request, sent_sentence(sent))
                return redirect("plan:session", found.uuid)
    context = {"session": found, "form": form, "need": need, "state": requisition_state(found)}
    trail = trail_to(found, "Requisition")
    return render(request, "practicals/plan/requisition.html", {**context, "trail": trail})


def usual_need(session: Session) -> PhaseNeed | None:
    """What the practical's own figures come to, before anything is typed."""
    try:
        return phase_need(session)
    except CannotPlan:
        return None


def sent_sentence(requisition: Requisition) -> str:
    earlier = requisition.replaces
    if earlier is None:
        return "The requisition is with the technician."
    if earlier.withdrawn_at is None:
        return (
            "The requisition is with the technician. Batches were already made for the earlier one, so it "
            "stands beside this one: tell the technician which of them you need."
        )
    return "The requisition is with the technician and replaces the earlier one."
