"""Witness statements: asked for, written by somebody else, accepted for what they are worth."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from assessment.access import asked_statements, statements_to_write
from assessment.actions.accept_statement import accept_statement
from assessment.actions.ask_witness import ask_witness, possible_witnesses
from assessment.actions.withdraw_statement import withdraw_statement
from assessment.actions.write_observation import criteria_to_observe
from assessment.actions.write_statement import write_statement
from assessment.models import WitnessStatement
from assessment.pages.observation.forms import AcceptForm, AskForm, ReasonForm, StatementForm
from assessment.pages.observation.records import EDIT, find_learner, find_session
from practicals.gate import PersonRequest
from practicals.models import Session
from practicals.models.filling import nameless_title
from reagents.models import Stale


@require_http_methods(EDIT)
def ask(request: PersonRequest, uuid: UUID, learner: UUID) -> HttpResponse:
    session = find_session(request, uuid)
    person = find_learner(request, session, learner)
    offered = criteria_to_observe(request.user, session, person)
    form = AskForm(request.POST or None, witnesses=possible_witnesses(request.user), offered=offered)
    if form.is_valid():
        try:
            asked = ask_witness(
                by=request.user,
                session=session,
                learner=person,
                witness=form.cleaned_data["witness"],
                asked_for=form.cleaned_data["asked_for"],
                criteria=form.named(),
                now=timezone.now(),
            )
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(request, f"{asked.witness.name} finds the statement on their first page.")
            return redirect("observation:record", uuid=uuid, learner=learner)
    context = {"learner": person, "session": session, "form": form}
    context["trail"] = _trail(session, person.name, person.uuid, "Ask a witness")
    return render(request, "assessment/observation/ask.html", context)


@require_http_methods(EDIT)
def statement(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """The witness's page: this statement and nothing else of the learner."""
    found = get_object_or_404(_whole(statements_to_write(request.user)), uuid=uuid)
    start = {"saw": found.saw, "witness_role": found.witness_role, "seen_version": found.version}
    form = StatementForm(request.POST or None, initial=start)
    stale: Stale | None = None
    if form.is_valid():
        try:
            written = write_statement(
                by=request.user,
                statement=found,
                saw=form.cleaned_data["saw"],
                witness_role=form.cleaned_data["witness_role"],
                sign=request.POST.get("do") == "sign",
                seen_version=form.cleaned_data["seen_version"] or 0,
                now=timezone.now(),
            )
        except ValidationError as error:
            form.add_error(None, error)
        except Stale as error:
            stale, form = error, _with_newest(request, found)
        else:
            messages.success(request, "Signed. Thank you." if written.signed_at else "Draft saved.")
            return redirect("observation:statement", uuid=uuid)
    context = {"statement": found, "form": form, "stale": stale, "lesson": nameless_title(found.session)}
    status = 409 if stale else 200
    return render(request, "assessment/observation/statement.html", context, status=status)


@require_http_methods(EDIT)
def answer(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """The assessor reads a statement, and accepts it for what it is worth."""
    found = get_object_or_404(_whole(asked_statements(request.user)), uuid=uuid)
    form = AcceptForm(request.POST or None)
    if form.is_valid():
        try:
            accept_statement(
                by=request.user, statement=found, worth=form.cleaned_data["worth"], now=timezone.now()
            )
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(request, "Accepted. It is handed in with the learner’s work.")
            return redirect("observation:answer", uuid=uuid)
    trail = _trail(found.session, found.learner.name, found.learner.uuid, "Witness statement")
    context = {"statement": found, "form": form, "reason_form": ReasonForm(), "trail": trail}
    return render(request, "assessment/observation/answer.html", context)


@require_POST
def withdraw(request: PersonRequest, uuid: UUID) -> HttpResponse:
    found = get_object_or_404(asked_statements(request.user), uuid=uuid)
    try:
        withdraw_statement(
            by=request.user, statement=found, reason=request.POST.get("reason", ""), now=timezone.now()
        )
    except ValidationError as error:
        messages.error(request, error.messages[0])
    else:
        messages.success(request, "Withdrawn, and kept with its reason.")
    return redirect("observation:answer", uuid=uuid)


def _whole(found: Any) -> Any:
    people = found.select_related("learner", "witness", "asked_by", "session__practical")
    return people.prefetch_related("criteria", "session__lessons")


def _with_newest(request: PersonRequest, found: WitnessStatement) -> StatementForm:
    """What was typed, under the version that is saved now: saving again is then a choice."""
    found.refresh_from_db()
    data = request.POST.copy()
    data["seen_version"] = str(found.version)
    return StatementForm(data)


def _trail(session: Session, name: str, learner: UUID, here: str) -> list[tuple[str, str]]:
    return [
        (session.title, reverse("observation:session", args=[session.uuid])),
        (name, reverse("observation:record", args=[session.uuid, learner])),
        (here, ""),
    ]
