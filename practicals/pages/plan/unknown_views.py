"""A session's unknowns and their key: for its teacher, and by requisition for the technician."""

from typing import Any

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from practicals.access import keyed_sessions
from practicals.actions.draw_unknowns import draw_unknowns, pick_unknowns
from practicals.gate import PersonRequest
from practicals.models import Session
from practicals.models.unknowns import key_of, unknowns_page
from practicals.pages.plan.attempt import attempt
from practicals.pages.plan.gather import listed_sessions
from practicals.pages.plan.session_views import trail_to
from practicals.pages.plan.unknown_forms import DrawUnknownsForm, PickUnknownsForm


def unknowns(request: PersonRequest, uuid: str) -> HttpResponse:
    found = get_object_or_404(listed_sessions(request.user), uuid=uuid)
    page = unknowns_page(found)
    drawing = request.method == "POST" and "draw" in request.POST
    picking = request.method == "POST" and not drawing
    now_so = {"version": found.version, "how": found.unknowns}
    draw = DrawUnknownsForm(request.POST if drawing else None, initial=now_so)
    pick = PickUnknownsForm(
        request.POST if picking else None,
        session=found,
        pool=page.pool,
        sets=page.sets,
        contents=page.contents,
    )
    done: Session | None = None
    if drawing and draw.is_valid():
        done = attempt(draw, lambda: _draw(request, found, draw.cleaned_data))
    elif picking and pick.is_valid():
        done = attempt(pick, lambda: _pick(request, found, pick))
    if done:
        messages.success(request, "The unknowns are drawn afresh." if drawing else "The choice is saved.")
        return redirect("plan:unknowns", found.uuid)
    context = {"session": found, "page": page, "draw": draw, "pick": pick}
    trail = trail_to(found, "Unknowns and key")
    return render(request, "practicals/plan/unknowns.html", {**context, "trail": trail})


def key(request: PersonRequest, uuid: str) -> HttpResponse:
    """The same key by requisition: codes, contents and numbers of groups, neither class nor names."""
    sessions = keyed_sessions(request.user).select_related("practical", "requisition")
    found = get_object_or_404(sessions, requisition__uuid=uuid)
    return render(
        request, "practicals/plan/key.html", {"requisition": found.requisition, "rows": key_of(found)}
    )


def _draw(request: PersonRequest, session: Session, typed: dict[str, Any]) -> Session:
    return draw_unknowns(
        by=request.user,
        session=session,
        how=typed["how"],
        seed=typed["unknowns_seed"],
        seen_version=typed["version"],
        now=timezone.now(),
    )


def _pick(request: PersonRequest, session: Session, form: PickUnknownsForm) -> Session:
    return pick_unknowns(
        by=request.user,
        session=session,
        sets=form.picked(),
        seen_version=form.cleaned_data["version"],
        now=timezone.now(),
    )
