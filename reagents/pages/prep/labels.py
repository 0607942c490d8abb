"""Labels for a batch's bottles, for all of a requisition, or one for a rack of vials."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.template import RequestContext, engines
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_safe

from reagents.calculations.label_layout import ImpossibleSheet
from reagents.documents.bottle_labels import CannotPrint, LabelRun, label_run, labels_pdf, sheet_of
from reagents.documents.label_contents import layers_of
from reagents.documents.label_words import Label, bottle_label, name_on_label, rack_label
from reagents.models import Batch, LabelSheet, Requisition
from reagents.pages.prep.label_forms import BottleForm, LabelForm, RackForm
from reagents.pages.prep.label_reading import vials_of
from reagents.pages.prep.reading import batch_or_404, requisition_or_404
from reagents.rendering import PdfUnavailable

VIAL_ML = Decimal(10)


@require_safe
def labels(request: HttpRequest, uuid: UUID) -> HttpResponse:
    batch = batch_or_404(uuid)
    form, run = _of_batch(request, batch)
    context = {
        "batch": batch,
        "over": bool(batch.use_by and batch.use_by < timezone.now()),
        "coded": batch.line.label_code if batch.line else "",
        "trail": [
            ("Prep lists", reverse("prep:requisitions")),
            (f"Batch {batch.code}", reverse("prep:batch", args=[uuid])),
            ("Labels", ""),
        ],
    }
    return _page(request, "reagents/prep/labels.html", form, run, "prep:labels_pdf", uuid, context)


@require_safe
def labels_file(request: HttpRequest, uuid: UUID) -> HttpResponse:
    batch = batch_or_404(uuid)
    _, run = _of_batch(request, batch)
    return _pdf(request, run, reverse("prep:labels", args=[uuid]))


@require_safe
def rack_labels(request: HttpRequest, uuid: UUID) -> HttpResponse:
    requisition = requisition_or_404(uuid)
    form, run = _of_rack(request, requisition)
    context = {
        "requisition": requisition,
        "trail": [
            ("Prep lists", reverse("prep:requisitions")),
            (requisition.title, reverse("prep:requisition", args=[uuid])),
            ("Labels", ""),
        ],
    }
    return _page(request, "reagents/prep/labels_rack.html", form, run, "prep:rack_labels_pdf", uuid, context)


@require_safe
def rack_labels_file(request: HttpRequest, uuid: UUID) -> HttpResponse:
    _, run = _of_rack(request, requisition_or_404(uuid))
    return _pdf(request, run, reverse("prep:rack_labels", args=[uuid]))


@dataclass(frozen=True)
class Job:
    """What is to be printed, before the sheet is known; `name` becomes the document's."""

    name: str
    labels: tuple[Label, ...]


def _of_batch(request: HttpRequest, batch: Batch) -> tuple[BottleForm, LabelRun | None]:
    form = BottleForm(request.GET, layers=layers_of(batch), container=batch.total_ml)

    def job() -> Job:
        layer = form.cleaned_data.get("layer", "")
        return Job(f"Labels for {name_on_label(batch)}", (_bottle(request, batch, layer),))

    return form, None if batch.recalled_at else _run(form, job)


def _of_rack(request: HttpRequest, requisition: Requisition) -> tuple[RackForm, LabelRun | None]:
    form = RackForm(request.GET, batches=vials_of(requisition.uuid), container=VIAL_ML)

    def job() -> Job:
        if form.cleaned_data["how"] == RackForm.EACH:
            each = (replace(_bottle(request, one), holds_ml=one.total_ml) for one in form.chosen)
            return Job("Labels of a requisition", tuple(each))
        link = _address(request, reverse("prep:requisition", args=[requisition.uuid]))
        shared = rack_label(requisition.title, form.chosen, link=link, invented=_invented(request))
        return Job("Rack label", (shared,))

    return form, _run(form, job)


def _bottle(request: HttpRequest, batch: Batch, layer: str = "") -> Label:
    link = _address(request, reverse("prep:batch", args=[batch.uuid]))
    return bottle_label(batch, layer=layer, link=link, invented=_invented(request))


def _run(form: LabelForm, ask: Callable[[], Job]) -> LabelRun | None:
    """The labels laid out; else None, with the reason on the form."""
    if not form.sheets or not form.is_valid():
        return None
    job = ask()
    if not form.chosen_sheet:
        form.suggest(_best_sheet(form, job))
    try:
        return _laid(form, job, form.cleaned_data["sheet"])
    except ImpossibleSheet as trouble:
        form.refuse(trouble)
    except CannotPrint as trouble:
        form.add_error("sheet", str(trouble))
    return None


def _laid(form: LabelForm, job: Job, sheet: LabelSheet) -> LabelRun:
    return label_run(
        job.labels,
        name=job.name,
        sheet=sheet_of(sheet),
        start=form.cleaned_data["start"],
        copies=form.cleaned_data["copies"],
        container_ml=form.cleaned_data["container"],
    )


def _best_sheet(form: LabelForm, job: Job) -> LabelSheet:
    """What to offer first: the smallest labels that raise the fewest warnings."""
    found = []
    for sheet in form.sheets.values():
        try:
            run = _laid(form, job, sheet)
        except (ImpossibleSheet, CannotPrint):
            continue
        found.append((len(run.warnings), sheet.width_mm * sheet.height_mm, sheet.pk, sheet))
    return min(found)[-1] if found else next(iter(form.sheets.values()))


def _page(
    request: HttpRequest,
    template: str,
    form: LabelForm,
    run: LabelRun | None,
    pdf: str,
    uuid: UUID,
    context: dict[str, Any],
) -> HttpResponse:
    asked = form.data.urlencode()  # type: ignore[attr-defined]
    more = {"form": form, "run": run, "pdf": f"{reverse(pdf, args=[uuid])}?{asked}" if run else ""}
    return render(request, template, {**context, **more})


def _pdf(request: HttpRequest, run: LabelRun | None, page: str) -> HttpResponse:
    back = f"{page}?{request.GET.urlencode()}"
    if run is None:
        return redirect(back)
    try:
        made = labels_pdf(run, created=timezone.now(), centre=around(request, "centre"))
    except PdfUnavailable as trouble:
        messages.error(request, str(trouble))
        return redirect(back)
    answer = HttpResponse(made, content_type="application/pdf")
    answer["Content-Disposition"] = 'inline; filename="labels.pdf"'
    return answer


def _address(request: HttpRequest, path: str) -> str:
    """What a phone reaches: the centre's own address, else the one of this request."""
    base = getattr(around(request, "centre"), "base_address", "")
    return f"{base.rstrip('/')}{path}" if base else request.build_absolute_uri(path)


def _invented(request: HttpRequest) -> bool:
    return bool(getattr(around(request, "centre"), "invented_notice", ""))


def around(request: HttpRequest, name: str) -> Any:
    """What stands around every page stands on the document too: this package does not know the centre."""
    context = RequestContext(request)
    with context.bind_template(engines["django"].from_string("").template):  # type: ignore[attr-defined]
        return context.get(name)
