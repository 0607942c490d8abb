"""The bench board: a class at work at a glance, and how its bench work ends."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from practicals.access import endable_sessions, led_lessons
from practicals.actions.close_session import BenchWorkGoesOn, close_session
from practicals.actions.end_bench_work import NotStarted, end_bench_work
from practicals.models.board import for_board
from practicals.models.solvent import RULE, solvent_check_of
from practicals.pages.board.around import StaffRequest, session_led, session_to_end, trail_from


def board(request: StaffRequest, uuid: UUID) -> HttpResponse:
    session = session_led(request.user, uuid)
    context: dict[str, Any] = {
        "session": session,
        "board": for_board(session, timezone.now()),
        "solvent": solvent_check_of(session),
        "solvent_rule": RULE,
        "lessons": led_lessons(request.user).filter(session=session),
        "may_end": endable_sessions(request.user).filter(pk=session.pk).exists(),
        "may_fill": request.user.has_perm("practicals.fill_chamber"),
        "trail": trail_from(session),
    }
    return render(request, "practicals/board/board.html", context)


def live(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """The part of the board that refreshes itself. The header tells it from a page that took its place."""
    session = session_led(request.user, uuid)
    context = {
        "session": session,
        "board": for_board(session, timezone.now()),
        "solvent": solvent_check_of(session),
    }
    response = render(request, "practicals/board/_live.html", context)
    response["X-Board"] = "live"
    response["Cache-Control"] = "no-store"
    return response


def end(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """End bench work; first the page says who is not finished."""
    session = session_to_end(request.user, uuid)
    if request.method == "POST":
        already = session.readings_locked_at is not None
        try:
            end_bench_work(by=request.user, session=session, now=timezone.now())
        except NotStarted as problem:
            messages.error(request, str(problem))
        else:
            said = "Bench work had ended already; nothing changed." if already else "All readings are locked."
            messages.success(request, said)
        return redirect("board:board", uuid=uuid)
    board = for_board(session, timezone.now())
    trail = trail_from(session, ("End bench work", ""))
    return render(request, "practicals/board/end.html", {"session": session, "board": board, "trail": trail})


def close(request: StaffRequest, uuid: UUID) -> HttpResponse:
    """Close the session; first the page says what that means."""
    session = session_to_end(request.user, uuid)
    if request.method == "POST":
        already = session.closed_at is not None
        try:
            close_session(by=request.user, session=session, now=timezone.now())
        except BenchWorkGoesOn as problem:
            messages.error(request, str(problem))
        else:
            said = "The session was closed already; nothing changed." if already else "The session is closed."
            messages.success(request, said)
        return redirect("board:board", uuid=uuid)
    trail = trail_from(session, ("Close the session", ""))
    return render(request, "practicals/board/close.html", {"session": session, "trail": trail})
