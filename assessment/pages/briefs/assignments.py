"""Assignments: pointing a brief at sessions, and handing it out."""

from typing import cast
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST

from assessment.access import readable_assignments, readable_briefs
from assessment.actions.issue_assignment import issue_assignment
from assessment.actions.make_assignment import make_assignment
from assessment.models import Assignment
from assessment.pages.briefs.forms import AssignmentForm, due_by_default
from practicals.access import standing_sessions
from practicals.gate import PersonRequest
from practicals.models import Role, Session, User
from practicals.models.session import SessionQuerySet


def new(request: PersonRequest) -> HttpResponse:
    """Make an assignment on the sessions of one class; `?session=` says which class and ticks it."""
    session = _session(request)
    if session is None:
        found = _sessions(request).for_list()
        return render(request, "assessment/briefs/choose_session.html", {"sessions": found[:50]})
    form = _form(request, session)
    if request.method == "POST" and form.is_valid():
        made = _make(request, form)
        if made:
            if "issue" in request.POST:
                _issue(request, made)
            return redirect("marking:assignment", made.uuid)
    already = readable_assignments(request.user).on_session(session)
    context = {"form": form, "session": session, "already": already}
    return render(request, "assessment/briefs/new_assignment.html", context)


@require_POST
def issue(request: PersonRequest, uuid: UUID) -> HttpResponse:
    assignment = get_object_or_404(readable_assignments(request.user), uuid=uuid)
    _issue(request, assignment)
    return redirect("marking:assignment", assignment.uuid)


def _sessions(request: PersonRequest) -> SessionQuerySet:
    return cast(SessionQuerySet, standing_sessions(request.user))


def _session(request: PersonRequest) -> Session | None:
    wanted = request.GET.get("session", "")
    if not wanted:
        return None
    try:
        return get_object_or_404(standing_sessions(request.user), uuid=UUID(wanted))
    except ValueError:
        return None


def _form(request: PersonRequest, session: Session) -> AssignmentForm:
    sessions = _sessions(request).filter(teaching_class=session.teaching_class_id)
    initial = {"sessions": [session], "assessor": request.user, **due_by_default(timezone.now())}
    return AssignmentForm(
        request.POST or None,
        briefs=readable_briefs(request.user).newest_editions().signed_off_first(),
        sessions=sessions.for_list(),
        assessors=User.objects.holding(Role.TEACHER),
        initial=initial,
    )


def _make(request: PersonRequest, form: AssignmentForm) -> Assignment | None:
    chosen = form.cleaned_data
    try:
        made = make_assignment(
            by=request.user,
            brief=chosen["brief"],
            sessions=list(chosen["sessions"]),
            assessor=chosen["assessor"],
            hand_out_on=chosen["hand_out_on"],
            due_at=chosen["due_at"],
            now=timezone.now(),
        )
    except ValidationError as error:
        form.add_error(None, error)
        return None
    messages.success(request, f"{made} is made.")
    return made


def _issue(request: PersonRequest, assignment: Assignment) -> None:
    try:
        issue_assignment(by=request.user, assignment=assignment, now=timezone.now())
    except ValidationError as error:
        messages.warning(request, "Not issued. " + " ".join(error.messages))
    else:
        messages.success(request, "It is issued: learners see it under their work.")
