"""The learner in class: my group, my paper, what came of my readings."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from practicals.actions.apply_lane import AppliedByAnother, TooLateToApply, apply_lane
from practicals.actions.lock_readings import lock_readings
from practicals.calculations.shown_help import Shown
from practicals.models import Lane, Paper, ReadingSet
from practicals.models.review import drawing_of, entry_of, measured_of, review
from practicals.pages.bench.desk import (
    LearnerRequest,
    around,
    bench_of,
    help_shown,
    number_in,
    own_set,
    paper_of,
    photos_of,
    remarks,
    session_of,
    sessions_of,
)


def home(request: LearnerRequest) -> HttpResponse:
    """At the bench straight to the one session; otherwise my sessions."""
    if request.user.bench_session:
        return redirect("bench:session", uuid=request.user.bench_session)
    return render(request, "practicals/bench/home.html", {"sessions": sessions_of(request.user)})


def session(request: LearnerRequest, uuid: UUID) -> HttpResponse:
    found = session_of(request.user, uuid)
    trail = [("My bench", reverse("bench:home")), (found.title, "")]
    return render(
        request, "practicals/bench/session.html", {"bench": bench_of(request.user, found), "trail": trail}
    )


def paper(request: LearnerRequest, uuid: UUID) -> HttpResponse:
    """One paper and my readings of it; a POST says who applied a lane."""
    found = paper_of(request.user, uuid)
    if request.method == "POST":
        return _apply(request, found)
    mine = own_set(request.user, found)
    context = around(found) | {"mine": mine, "photos": photos_of(request.user, found)}
    if mine is not None and mine.locked_at:
        context |= _result(request, found, mine)
    else:
        entry = entry_of(mine) if mine else None
        context["drawing"] = drawing_of(found, None, entry)
    return render(request, "practicals/bench/paper.html", context)


def lock(request: LearnerRequest, uuid: UUID) -> HttpResponse:
    """“I have finished measuring”: what is missing is said first."""
    found = paper_of(request.user, uuid)
    mine = own_set(request.user, found)
    if mine is None:
        messages.warning(request, "Nothing is saved for this paper yet, so there is nothing to finish.")
        return redirect("bench:readings", uuid=uuid)
    if request.method == "POST":
        lock_readings(by=request.user, readings=mine, now=timezone.now())
        messages.success(request, "Your readings are locked. A later change needs a reason.")
    if request.method == "POST" or mine.locked_at:
        return redirect("bench:paper", uuid=uuid)
    checked = review(mine)
    context = around(found, "Finish measuring") | {
        "mine": mine,
        "review": checked,
        "drawing": drawing_of(found, None, entry_of(mine)),
    }
    return render(request, "practicals/bench/lock.html", context)


def _apply(request: LearnerRequest, paper: Paper) -> HttpResponse:
    number = number_in(request.POST.get("lane"))
    lane = next((lane for lane in paper.lanes.all() if lane.number == number), None)
    taken_back = request.POST.get("taken_back") == "yes"
    if lane is None:
        messages.error(request, f"Paper {paper.letter} has no such lane. Choose one of its lanes.")
    else:
        _try_to_apply(request, paper, lane, taken_back)
    return redirect(reverse("bench:session", args=[paper.group.session.uuid]) + f"#paper-{paper.letter}")


def _try_to_apply(request: LearnerRequest, paper: Paper, lane: Lane, taken_back: bool) -> None:
    lane.paper = paper
    try:
        apply_lane(by=request.user, lane=lane, now=timezone.now(), taken_back=taken_back)
    except (AppliedByAnother, TooLateToApply) as problem:
        messages.error(request, str(problem))


def _result(request: LearnerRequest, paper: Paper, mine: ReadingSet) -> dict[str, Any]:
    """After locking: the recomputed values. That they were shown is recorded, for an amendment may follow."""
    checked = review(mine)
    measured = measured_of(mine, checked)
    told = Shown("recomputed", "After locking, the recomputed R_f values were shown with their uncertainty.")
    shown = help_shown(request, paper, checked, told, measured=measured)
    return {
        "review": checked,
        "measured": measured,
        "remarks": remarks(one for one in shown if one is not told),
        "drawing": drawing_of(paper, checked if len(shown) > 1 else None, entry_of(mine)),
        "amendments": mine.amendments.all(),
        "may_amend": paper.group.session.closed_at is None,
    }
