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

from reagents.documents.prep_groups import monday_of, standing
from reagents.documents.prep_list import day_title, prep_list, prep_list_pdf, week_title
from reagents.documents.prep_listed import PrepList
from reagents.models import Requisition
from reagents.pages.prep.reading import (
    days_of_work,
    on_the_shelf,
    requisition_or_404,
    requisitions_of_week,
    ticks_of,
)
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
    trail = [("Prep lists", reverse("prep:requisitions")), (found.title, "")]
    pdf = reverse("prep:requisition_pdf", args=[uuid])
    return render(request, "reagents/prep/list.html", {"list": _of_one(found), "trail": trail, "pdf": pdf})


@require_safe
def requisition_pdf(request: HttpRequest, uuid: UUID) -> HttpResponse:
    made = _of_one(requisition_or_404(uuid))
    return _pdf(request, made, back=reverse("prep:requisition", args=[uuid]))


@require_safe
def day(request: HttpRequest, date: Date) -> HttpResponse:
    week = requisitions_of_week(date)
    of_the_day = [one for one in week if timezone.localtime(one.needed_at).date() == date]
    made = _of_day(date, week)
    return _list(request, made, of_the_day, date=date, pdf="prep:day_pdf")


@require_safe
def day_pdf(request: HttpRequest, date: Date) -> HttpResponse:
    made = _of_day(date, requisitions_of_week(date))
    if not made.requisitions:
        raise Http404
    return _pdf(request, made, back=reverse("prep:day", args=[date]))


@require_safe
def week(request: HttpRequest, date: Date) -> HttpResponse:
    asked = requisitions_of_week(date)
    return _list(request, _of_week(date, asked), asked, date=date, pdf="prep:week_pdf", whole_week=True)


@require_safe
def week_pdf(request: HttpRequest, date: Date) -> HttpResponse:
    made = _of_week(date, requisitions_of_week(date))
    if not made.requisitions:
        raise Http404
    return _pdf(request, made, back=reverse("prep:week", args=[date]))


def _list(
    request: HttpRequest,
    made: PrepList,
    asked: list[Requisition],
    *,
    date: Date,
    pdf: str,
    whole_week: bool = False,
) -> HttpResponse:
    context = {
        "list": made,
        "trail": [("Prep lists", reverse("prep:requisitions")), (made.title, "")],
        "day": date,
        "whole_week": whole_week,
        "left_out": [one for one in asked if one not in standing(asked)],
        "pdf": reverse(pdf, args=[date]) if made.requisitions else "",
    }
    return render(request, "reagents/prep/list.html", context)


def _of_one(found: Requisition) -> PrepList:
    week = requisitions_of_week(timezone.localtime(found.needed_at).date())
    title = f"Prep list: {found.title}"
    week = _with(found, week)
    return prep_list([found], title=title, around=week, shelf=on_the_shelf(), ticks=ticks_of([found, *week]))


def _with(found: Requisition, week: list[Requisition]) -> list[Requisition]:
    """The week with this very row in it, so that its lines are known by identity."""
    return [found if one.pk == found.pk else one for one in week]


def _of_day(date: Date, week: list[Requisition]) -> PrepList:
    of_the_day = [one for one in week if timezone.localtime(one.needed_at).date() == date]
    return prep_list(
        standing(of_the_day),
        title=day_title(date),
        around=week,
        shelf=on_the_shelf(),
        ticks=ticks_of(week),
    )


def _of_week(date: Date, asked: list[Requisition]) -> PrepList:
    return prep_list(
        standing(asked),
        title=week_title(monday_of(date)),
        shelf=on_the_shelf(),
        ticks=ticks_of(asked),
    )


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
