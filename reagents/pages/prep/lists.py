"""What is needed, and the prep list of one requisition or of a day."""

from datetime import date as Date  # noqa: N812
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.template import RequestContext, engines
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from reagents.documents.prep_list import PrepList, day_title, prep_list, prep_list_pdf, standing
from reagents.models import Requisition
from reagents.pages.prep.reading import days_of_work, requisition_or_404, requisitions_of
from reagents.rendering import PdfUnavailable

WINDOWS = {"": "Prep lists", "earlier": "Prep lists of the last four weeks", "later": "Prep lists, later"}


@require_safe
def requisitions(request: HttpRequest) -> HttpResponse:
    asked = request.GET.get("when", "")
    when = asked if asked in WINDOWS else ""
    days = days_of_work(timezone.now(), when)
    return render(
        request, "reagents/prep/requisitions.html", {"days": days, "when": when, "heading": WINDOWS[when]}
    )


@require_safe
def requisition(request: HttpRequest, uuid: UUID) -> HttpResponse:
    found = requisition_or_404(uuid)
    made = _of_one(found)
    trail = [("Prep lists", reverse("prep:requisitions")), (found.title, "")]
    pdf = reverse("prep:requisition_pdf", args=[uuid])
    return render(request, "reagents/prep/list.html", {"list": made, "trail": trail, "pdf": pdf})


@require_safe
def requisition_pdf(request: HttpRequest, uuid: UUID) -> HttpResponse:
    made = _of_one(requisition_or_404(uuid))
    return _pdf(request, made, back=reverse("prep:requisition", args=[uuid]))


@require_safe
def day(request: HttpRequest, date: Date) -> HttpResponse:
    of_the_day = requisitions_of(date)
    made = prep_list(standing(of_the_day), title=day_title(date))
    trail = [("Prep lists", reverse("prep:requisitions")), (made.title, "")]
    context = {
        "list": made,
        "trail": trail,
        "day": date,
        "left_out": [one for one in of_the_day if one not in standing(of_the_day)],
        "pdf": reverse("prep:day_pdf", args=[date]) if made.requisitions else "",
    }
    return render(request, "reagents/prep/list.html", context)


@require_safe
def day_pdf(request: HttpRequest, date: Date) -> HttpResponse:
    of_the_day = standing(requisitions_of(date))
    if not of_the_day:
        raise Http404
    made = prep_list(of_the_day, title=day_title(date))
    return _pdf(request, made, back=reverse("prep:day", args=[date]))


def _of_one(found: Requisition) -> PrepList:
    same_day = requisitions_of(timezone.localtime(found.needed_at).date())
    return prep_list([found], title=f"Prep list: {found.title}", same_day=same_day)


def _pdf(request: HttpRequest, made: PrepList, *, back: str) -> HttpResponse:
    try:
        pdf = prep_list_pdf(made, created=timezone.now(), centre=_around(request, "centre"))
    except PdfUnavailable as trouble:
        messages.error(request, str(trouble))
        return redirect(back)
    answer = HttpResponse(pdf, content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="prep-list.pdf"'
    return answer


def _around(request: HttpRequest, name: str) -> Any:
    """What stands around every page stands on the document too: this package does not know the centre."""
    context = RequestContext(request)
    with context.bind_template(engines["django"].from_string("").template):  # type: ignore[attr-defined]
        return context.get(name)
