"""Withdrawing a session that was planned by mistake."""

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from practicals.actions.withdraw_session import LONGEST_REASON, withdraw_session
from practicals.gate import PersonRequest
from practicals.models import Session
from practicals.pages.plan.attempt import attempt
from practicals.pages.plan.gather import listed_sessions, requisition_state
from practicals.pages.plan.session_views import trail_to


class WithdrawSessionForm(forms.Form):
    reason = forms.CharField(
        label="Why it is withdrawn",
        max_length=LONGEST_REASON,
        help_text="Stays with the session. Do not name learners.",
        widget=forms.TextInput(attrs={"autocomplete": "off"}),
        error_messages={
            "required": "Say why the session is withdrawn, for example “planned for the wrong class”.",
            "max_length": f"Say it in at most {LONGEST_REASON} characters.",
        },
    )


@require_http_methods(["GET", "POST"])
def withdraw(request: PersonRequest, uuid: str) -> HttpResponse:
    found = get_object_or_404(listed_sessions(request.user), uuid=uuid)
    form = WithdrawSessionForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        gone = attempt(form, lambda: _withdraw(request, found, form))
        if gone:
            messages.success(request, withdrawn_sentence(gone))
            return redirect("plan:session", found.uuid)
    context = {"session": found, "form": form, "state": requisition_state(found)}
    trail = trail_to(found, "Withdraw")
    return render(request, "practicals/plan/withdraw.html", {**context, "trail": trail})


def _withdraw(request: PersonRequest, session: Session, form: WithdrawSessionForm) -> Session:
    reason = form.cleaned_data["reason"]
    return withdraw_session(by=request.user, session=session, reason=reason, now=timezone.now())


def withdrawn_sentence(session: Session) -> str:
    if session.requisition is None:
        return "The session is withdrawn."
    if session.requisition.withdrawn_at is None:
        return (
            "The session is withdrawn. Batches were already made for its requisition, so that stands: tell "
            "the technician that they are not needed."
        )
    return "The session is withdrawn, and so is its requisition: the technician need prepare nothing."
