"""The sheets of labels that lie here: described once by rows, columns and millimetres."""

from uuid import UUID

from django.contrib import messages
from django.forms.models import model_to_dict
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from reagents.actions.save_label_sheet import save_label_sheet
from reagents.actions.withdraw_label_sheet import withdraw_label_sheet as withdraw
from reagents.calculations.label_layout import ImpossibleSheet
from reagents.documents.bottle_labels import frames_pdf, sheet_of
from reagents.models import LabelSheet, Stale
from reagents.pages.prep.label_forms import SheetForm
from reagents.rendering import PdfUnavailable


@require_safe
def label_sheets(request: HttpRequest) -> HttpResponse:
    sheets = [(kept, sheet_of(kept)) for kept in LabelSheet.objects.in_use()]
    return render(request, "reagents/prep/label_sheets.html", {"sheets": sheets, "trail": _trail("")})


@require_http_methods(["GET", "HEAD", "POST"])
def add_label_sheet(request: HttpRequest) -> HttpResponse:
    return _edit(request, SheetForm(request.POST or None), None, "Add a label sheet")


@require_http_methods(["GET", "HEAD", "POST"])
def label_sheet(request: HttpRequest, uuid: UUID) -> HttpResponse:
    kept = _sheet_or_404(uuid)
    start = {**model_to_dict(kept), "seen_version": kept.version}
    return _edit(request, SheetForm(request.POST or None, initial=start), kept, kept.name)


@require_POST
def withdraw_label_sheet(request: HttpRequest, uuid: UUID) -> HttpResponse:
    kept = withdraw(by=request.user, sheet=_sheet_or_404(uuid), now=timezone.now())
    messages.success(request, f"“{kept.name}” is withdrawn and no longer offered.")
    return redirect("prep:label_sheets")


@require_safe
def label_frames(request: HttpRequest, uuid: UUID) -> HttpResponse:
    kept = _sheet_or_404(uuid)
    try:
        pdf = frames_pdf(sheet_of(kept), name=kept.name, created=timezone.now())
    except PdfUnavailable as trouble:
        messages.error(request, str(trouble))
        return redirect("prep:label_sheets")
    answer = HttpResponse(pdf, content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="frames.pdf"'
    return answer


def _edit(request: HttpRequest, form: SheetForm, kept: LabelSheet | None, heading: str) -> HttpResponse:
    standing: list[tuple[str, str]] = []
    if form.is_valid():
        try:
            saved = save_label_sheet(
                by=request.user,
                name=form.cleaned_data["name"],
                described=form.described(),
                sheet=kept,
                seen_version=form.cleaned_data["seen_version"],
            )
        except ImpossibleSheet as trouble:
            form.add_error(trouble.field, str(trouble))
        except Stale as trouble:
            standing = form.overtaken(_sheet_or_404(kept.uuid) if kept else LabelSheet())
            form.add_error(None, str(trouble))
        else:
            messages.success(
                request, f"“{saved.name}” is saved. Print its frames on plain paper to check it."
            )
            return redirect("prep:label_sheets")
    context = {"form": form, "sheet": kept, "heading": heading, "standing": standing}
    return render(request, "reagents/prep/label_sheet.html", {**context, "trail": _trail(heading)})


def _sheet_or_404(uuid: UUID) -> LabelSheet:
    kept: LabelSheet = get_object_or_404(LabelSheet.objects.in_use(), uuid=uuid)
    return kept


def _trail(here: str) -> list[tuple[str, str]]:
    start = [("Prep lists", reverse("prep:requisitions"))]
    if not here:
        return [*start, ("Label sheets", "")]
    return [*start, ("Label sheets", reverse("prep:label_sheets")), (here, "")]
