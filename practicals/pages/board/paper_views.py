"""One paper with all who read it, its photos, and how it ends without a result."""

from uuid import UUID

from django.contrib import messages
from django.core.files.storage import default_storage
from django.http import FileResponse, Http404, HttpResponse
from django.http.response import HttpResponseBase
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from practicals.access import led_papers, planned_sessions
from practicals.actions.declare_no_result import CannotDeclare, declare_no_result
from practicals.models import Paper, PaperPhoto
from practicals.models.bench_record import paper_record
from practicals.models.front_run import front_run
from practicals.pages.board.around import StaffRequest, trail_from
from practicals.pages.board.forms import RESULT, NoResultForm
from practicals.pages.board.same_figures_views import questions_on

#: Shown in the page; anything else would be offered as a file, and is not kept as a photo.
PICTURES = frozenset({"image/jpeg", "image/png", "image/webp"})


def paper(request: StaffRequest, uuid: UUID) -> HttpResponse:
    return _page(request, _paper(request, uuid))


def no_result(request: StaffRequest, uuid: UUID) -> HttpResponse:
    found = _paper(request, uuid)
    form = NoResultForm(request.POST or None)
    if request.method != "POST":
        return redirect("board:paper", uuid=uuid)
    if form.is_valid():
        reason = form.chosen()
        try:
            declare_no_result(by=request.user, paper=found, reason=reason, now=timezone.now())
        except CannotDeclare as problem:
            form.add_error(None, str(problem))
        else:
            messages.success(request, "Declared: no result." if reason else "The paper gives a result.")
            return redirect("board:paper", uuid=uuid)
    return _page(request, found, form)


def photo(request: StaffRequest, uuid: UUID) -> HttpResponseBase:
    """The bytes of a photo, past the gate like any page."""
    photos = PaperPhoto.objects.standing().filter(paper__in=led_papers(request.user))
    kept = get_object_or_404(photos, uuid=uuid).file
    shown = kept.erased_at is None and kept.media_type in PICTURES
    if not shown or not default_storage.exists(kept.place):
        raise Http404
    response = FileResponse(default_storage.open(kept.place), content_type=kept.media_type)
    response["Content-Disposition"] = "inline"
    response["X-Content-Type-Options"] = "nosniff"
    response["Cache-Control"] = "private, max-age=3600"
    return response


def _paper(request: StaffRequest, uuid: UUID) -> Paper:
    papers = Paper.objects.for_bench().filter(pk__in=led_papers(request.user).values("pk"))
    return get_object_or_404(papers, uuid=uuid)


def _page(request: StaffRequest, found: Paper, form: NoResultForm | None = None) -> HttpResponse:
    name = f"Group {found.group.number}, paper {found.letter}"
    context = {
        "record": paper_record(found),
        "key_shown": planned_sessions(request.user).contains(found.group.session),
        "front": front_run(found, timezone.now()),
        "session": found.group.session,
        "name": name,
        "questions": questions_on(request, found),
        "form": form or NoResultForm(initial={"reason": found.no_result or RESULT}),
        "trail": trail_from(found.group.session, (name, "")),
    }
    return render(request, "practicals/board/paper.html", context)
