"""A class's values: pictures, summaries, tables to take away, and their release to the learners."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.utils.text import slugify

from practicals.actions.release_results import ReadingsNotLocked, release_results
from practicals.calculations.suspects import RULE
from practicals.documents.class_table import values_csv, values_xlsx
from practicals.models import Session
from practicals.models.class_results import class_results
from practicals.models.equal_figures import equal_figures
from practicals.pages.board.around import StaffRequest, session_to_end, trail_from

_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def results(request: StaffRequest, uuid: UUID) -> HttpResponse:
    session = session_to_end(request.user, uuid)
    context = {
        "session": session,
        "results": class_results(session),
        "questions": equal_figures([session.pk]),
        "rule": RULE,
        "trail": trail_from(session, ("Class results", "")),
    }
    return render(request, "practicals/board/results.html", context)


def results_csv(request: StaffRequest, uuid: UUID) -> HttpResponse:
    session = session_to_end(request.user, uuid)
    return _file(session, values_csv(class_results(session)), "text/csv; charset=utf-8", "csv")


def results_xlsx(request: StaffRequest, uuid: UUID) -> HttpResponse:
    session = session_to_end(request.user, uuid)
    return _file(session, values_xlsx(class_results(session)), _XLSX, "xlsx")


def release(request: StaffRequest, uuid: UUID) -> HttpResponse:
    session = session_to_end(request.user, uuid)
    if request.method == "POST":
        already = session.results_released_at is not None
        try:
            release_results(by=request.user, session=session, now=timezone.now())
        except ReadingsNotLocked as problem:
            messages.error(request, str(problem))
        else:
            said = "They were released already; nothing changed." if already else "The results are released."
            messages.success(request, said)
    return redirect("board:results", uuid=uuid)


def _file(session: Session, content: bytes, media_type: str, ending: str) -> HttpResponse:
    response = HttpResponse(content, content_type=media_type)
    name = slugify(session.title) or "class"
    response["Content-Disposition"] = f'attachment; filename="{name}-values.{ending}"'
    response["Cache-Control"] = "private, no-store"
    return response
