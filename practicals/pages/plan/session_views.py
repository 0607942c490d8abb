"""Planning a session: list, new, the session's page, change, copy, start."""

from django.contrib import messages
from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from practicals.access import planned_sessions
from practicals.actions.change_session import change_session
from practicals.actions.copy_session import copy_session
from practicals.actions.plan_session import CannotPlan, plan_session
from practicals.actions.start_session import start_session
from practicals.gate import PersonRequest
from practicals.models import Session
from practicals.pages.plan.attempt import attempt
from practicals.pages.plan.gather import listed_sessions, requisition_state, session_page
from practicals.pages.plan.lesson_forms import LessonRows
from practicals.pages.plan.session_forms import ChangeForm, CopyForm, SessionForm
from practicals.pages.plan.start_facts import start_facts


def sessions(request: PersonRequest) -> HttpResponse:
    page = Paginator(listed_sessions(request.user).filter(withdrawn_at=None), 20).get_page(
        request.GET.get("page")
    )
    return render(request, "practicals/plan/sessions.html", {"page_obj": page})


def new_session(request: PersonRequest) -> HttpResponse:
    data = request.POST if request.method == "POST" else None
    form = SessionForm(data, by=request.user, initial={"practical": request.GET.get("practical")})
    rows = LessonRows(data, lessons=[], blank=3, leader=request.user, first_needed=True)
    if data is not None and all([form.is_valid(), rows.is_valid()]):
        lessons = [plan for _, plan in rows.plans()]
        made = attempt(
            form,
            lambda: plan_session(by=request.user, lessons=lessons, now=timezone.now(), **form.cleaned_data),
        )
        if made:
            messages.success(request, "The session is planned and its groups are drawn.")
            return redirect("plan:session", made.uuid)
    trail = [("Sessions", reverse("plan:sessions")), ("New session", "")]
    return render(request, "practicals/plan/new_session.html", {"form": form, "rows": rows, "trail": trail})


def session(request: PersonRequest, uuid: str) -> HttpResponse:
    found = get_object_or_404(listed_sessions(request.user), uuid=uuid)
    trail = [("Sessions", reverse("plan:sessions")), (found.title, "")]
    if found.withdrawn_at is not None:
        context = {"session": found, "state": requisition_state(found), "trail": trail}
        return render(request, "practicals/plan/withdrawn.html", context)
    page = session_page(found, timezone.now())
    return render(request, "practicals/plan/session.html", {"page": page, "session": found, "trail": trail})


def edit_session(request: PersonRequest, uuid: str) -> HttpResponse:
    found = get_object_or_404(planned_sessions(request.user), uuid=uuid)
    data = request.POST if request.method == "POST" else None
    initial = {"title": found.title, "help_setting": found.help_setting, "version": found.version}
    form = ChangeForm(data, initial=initial)
    lessons = list(found.lessons.select_related("leader"))
    rows = LessonRows(data, lessons=lessons, blank=2, leader=request.user)
    if data is not None and all([form.is_valid(), rows.is_valid()]):
        act = attempt(form, lambda: _change(request, found, form, rows))
        if act:
            messages.success(request, "The session's plan is saved.")
            return redirect("plan:session", found.uuid)
    context = {"form": form, "rows": rows, "session": found, "saved_lessons": lessons}
    return render(
        request, "practicals/plan/edit_session.html", {**context, "trail": trail_to(found, "Change")}
    )


def _change(request: PersonRequest, found: Session, form: ChangeForm, rows: LessonRows) -> Session:
    return change_session(
        by=request.user,
        session=found,
        title=form.cleaned_data["title"],
        help_setting=form.cleaned_data["help_setting"],
        lessons=rows.plans(),
        seen_version=form.cleaned_data["version"],
        now=timezone.now(),
    )


def copy(request: PersonRequest, uuid: str) -> HttpResponse:
    found = get_object_or_404(listed_sessions(request.user), uuid=uuid)
    data = request.POST if request.method == "POST" else None
    form = CopyForm(data, by=request.user, session=found)
    rows = LessonRows(data, lessons=[], blank=2, leader=request.user)
    if data is not None and all([form.is_valid(), rows.is_valid()]):
        lessons = [plan for _, plan in rows.plans()]
        made = attempt(
            form,
            lambda: copy_session(
                by=request.user, session=found, lessons=lessons, now=timezone.now(), **form.cleaned_data
            ),
        )
        if made:
            messages.success(request, f"Copied for {made.teaching_class}, with groups of its own.")
            return redirect("plan:session", made.uuid)
    context = {"form": form, "rows": rows, "session": found, "trail": trail_to(found, "Copy")}
    return render(request, "practicals/plan/copy.html", context)


def start(request: PersonRequest, uuid: str) -> HttpResponse:
    """What stands in the way of a good start, as facts; then the start."""
    found = get_object_or_404(planned_sessions(request.user), uuid=uuid)
    if request.method != "POST":
        facts = start_facts(found, timezone.now())
        context = {"session": found, "facts": facts, "trail": trail_to(found, "Start")}
        return render(request, "practicals/plan/start.html", context)
    try:
        start_session(by=request.user, session=found, now=timezone.now())
    except CannotPlan as error:
        messages.error(request, str(error))
    else:
        messages.success(request, "The session has started: its learners may sign in at the bench.")
    return redirect("plan:session", found.uuid)


def trail_to(session: Session, here: str) -> list[tuple[str, str]]:
    url = reverse("plan:session", args=[session.uuid])
    return [("Sessions", reverse("plan:sessions")), (session.title, url), (here, "")]
