"""Observation records: the class as a list, one learner after the other, and the learner's own page."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST

from assessment.access import observable_sessions, own_observations, works_observed, written_observations
from assessment.actions.countersign_observation import countersign_observation
from assessment.actions.withdraw_observation import withdraw_observation
from assessment.actions.write_observation import write_observation
from assessment.models import ObservationRecord
from assessment.pages.observation.desk import (
    STATES,
    LearnerDesk,
    alike_to,
    learner_desk,
    next_to_write,
    session_desk,
    state_of,
)
from assessment.pages.observation.forms import CountersignForm, ObservationForm, ReasonForm
from practicals.gate import PersonRequest
from practicals.models import Session, User
from reagents.models import Stale

EDIT = ["GET", "HEAD", "POST"]


def session(request: PersonRequest, uuid: UUID) -> HttpResponse:
    found = find_session(request, uuid)
    trail = [(found.title, reverse("board:board", args=[uuid])), ("Observation records", "")]
    context = {"session": found, "desk": session_desk(request.user, found), "trail": trail}
    return render(request, "assessment/observation/session.html", context)


@require_http_methods(EDIT)
def record(request: PersonRequest, uuid: UUID, learner: UUID) -> HttpResponse:
    found = find_session(request, uuid)
    desk = learner_desk(request.user, found, find_learner(request, found, learner))
    data = request.POST or None
    form = ObservationForm(data, offered=desk.offered, notes=desk.notes, initial=desk.initial)
    if not form.is_valid():
        return _record_page(request, desk, form)
    try:
        written = write_observation(
            by=request.user,
            session=found,
            learner=desk.learner,
            observed=form.observed(),
            seen_version=form.cleaned_data["seen_version"] or 0,
            sign=request.POST.get("do") in ("sign", "sign and next"),
            now=timezone.now(),
        )
    except ValidationError as error:
        form.add_error(None, error)
        return _record_page(request, desk, form)
    except Stale as stale:
        return _record_page(request, desk, form, stale)
    return _after_writing(request, written)


def _after_writing(request: PersonRequest, written: ObservationRecord) -> HttpResponse:
    name, found = written.learner.name, written.session
    said = f"The record of {name} is signed. {name} may sign it now." if written.signed_at else "Draft saved."
    messages.success(request, said)
    desk = session_desk(request.user, found)
    alike = alike_to(desk, written.learner)
    if alike:
        names = ", ".join(one.name for one in alike)
        messages.warning(
            request,
            f"The record of {name} says the same, or nearly so, as that of {names}. A verifier will ask what "
            "each of them did.",
        )
    following = next_to_write(desk, written.learner)
    if request.POST.get("do") == "sign and next":
        return redirect(following.url) if following else redirect("observation:session", uuid=found.uuid)
    return redirect("observation:record", uuid=found.uuid, learner=written.learner.uuid)


def _record_page(
    request: PersonRequest, desk: LearnerDesk, form: ObservationForm, stale: Stale | None = None
) -> HttpResponse:
    if stale:
        now_there = learner_desk(request.user, desk.session, desk.learner)
        data = request.POST.copy()
        data["seen_version"] = str(now_there.record.version if now_there.record else 0)
        form = ObservationForm(data, offered=desk.offered, notes=desk.notes, initial={})
        desk = now_there
    context: dict[str, Any] = {
        "desk": desk,
        "form": form,
        "stale": stale,
        "record": desk.record,
        "state": STATES[state_of(desk.record)],
        "following": next_to_write(session_desk(request.user, desk.session), desk.learner),
        "reason_form": ReasonForm(),
        "trail": [
            (desk.session.title, reverse("board:board", args=[desk.session.uuid])),
            ("Observation records", reverse("observation:session", args=[desk.session.uuid])),
            (desk.learner.name, ""),
        ],
    }
    return render(request, "assessment/observation/record.html", context, status=409 if stale else 200)


@require_POST
def withdraw(request: PersonRequest, uuid: UUID) -> HttpResponse:
    found = get_object_or_404(written_observations(request.user).select_related("session"), uuid=uuid)
    try:
        withdraw_observation(
            by=request.user, record=found, reason=request.POST.get("reason", ""), now=timezone.now()
        )
    except ValidationError as error:
        messages.error(request, error.messages[0])
    else:
        messages.success(request, "Withdrawn, and kept with its reason. You may write another.")
    return redirect("observation:record", uuid=found.session.uuid, learner=found.learner.uuid)


@require_http_methods(EDIT)
def mine(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """The learner reads what was seen of them, and signs."""
    whole = own_observations(request.user).select_related("assessor", "session__practical")
    found = get_object_or_404(whole.prefetch_related("criteria", "notes"), uuid=uuid)
    form = CountersignForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            countersign_observation(
                by=request.user, record=found, comment=form.cleaned_data["comment"], now=timezone.now()
            )
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(request, "Signed. It is handed in with your work.")
            return redirect("observation:mine", uuid=uuid)
    trail = [("My work", reverse("my_work:works")), ("Observation record", "")]
    context = {"record": found, "form": form, "trail": trail}
    return render(request, "assessment/observation/mine.html", context)


def find_session(request: PersonRequest, uuid: UUID) -> Session:
    found: Session = get_object_or_404(
        observable_sessions(request.user).select_related("practical", "teaching_class"), uuid=uuid
    )
    return found


def find_learner(request: PersonRequest, found: Session, uuid: UUID) -> User:
    """Whose work this teacher assesses; another's learner is not there."""
    work = get_object_or_404(works_observed(request.user, found).filter(learner__uuid=uuid)[:1])
    return work.learner
