"""Units: list, one with its criteria, adding one from the text of its file, from a table, or typed in."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from assessment.actions.add_unit import add_unit
from assessment.calculations.evidence_needs import describe_need
from assessment.calculations.unit_file import UnitFileError, read_unit
from assessment.calculations.unit_table import (
    MOST_CRITERIA,
    NotAUnitTable,
    RowFault,
    UnitTable,
    are_unit_headings,
    read_unit_table,
)
from assessment.models import Unit
from assessment.models.editions import assignments_on, editions_beside
from assessment.pages.briefs.forms import UnitForm
from assessment.pages.briefs.unit_forms import (
    CriteriaFormSet,
    UnitHeadForm,
    UnitTableForm,
    blank_rows,
    criteria_of,
    more_rows,
)
from practicals.calculations.table_cells import UnreadableFile, Wanted, read_cells
from practicals.gate import PersonRequest

UNIT_TABLE = Wanted("table of criteria", MOST_CRITERIA, "Split the unit.", are_unit_headings)


def listed(request: PersonRequest) -> HttpResponse:
    found = Unit.objects.newest_editions().with_criteria()
    may_add = request.user.has_perm("assessment.add_unit")
    return render(request, "assessment/briefs/units.html", {"units": found, "may_add": may_add})


def show(request: PersonRequest, uuid: UUID) -> HttpResponse:
    found = get_object_or_404(Unit.objects.with_criteria(), uuid=uuid)
    context = {
        "unit": found,
        "editions": editions_beside(found),
        "newer": found.newer,
        "kept_by": assignments_on(found),
        "trail": [("Units", reverse("briefs:units")), (found.title, "")],
        "may_write": request.user.has_perm("assessment.write_brief"),
        "may_add": request.user.has_perm("assessment.add_unit"),
    }
    return render(request, "assessment/briefs/unit.html", context)


def add(request: PersonRequest) -> HttpResponse:
    form = UnitForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        try:
            added = add_unit(by=request.user, text=form.cleaned_data["text"], now=timezone.now())
        except UnitFileError as error:
            for problem in error.problems:
                form.add_error("text", problem)
        else:
            messages.success(request, f"{added} is kept.")
            return redirect("briefs:unit", added.uuid)
    return render(request, "assessment/briefs/add_unit.html", {"form": form})


def take_in(request: PersonRequest) -> HttpResponse:
    """A table of criteria: what it would become is shown first, and nothing is kept before that is sent."""
    form = UnitTableForm(request.POST or None, request.FILES or None)
    faults: tuple[RowFault, ...] = ()
    if request.method == "POST" and form.is_valid():
        try:
            read = read_unit_table(
                read_cells(form.cleaned_data["file"], UNIT_TABLE), levels=form.cleaned_data["levels"].levels
            )
            faults = read.faults
            if not faults:
                return _preview(request, form, read)
            form.add_error("file", "Some rows are to be corrected first; they are listed above.")
        except (UnreadableFile, NotAUnitTable) as error:
            form.add_error("file", str(error))
        except UnitFileError as error:
            for problem in error.problems:
                form.add_error(None, problem)
    return render(request, "assessment/briefs/import_unit.html", {"form": form, "faults": faults})


def _preview(request: PersonRequest, form: UnitTableForm, read: UnitTable) -> HttpResponse:
    text = form.unit(read.criteria)
    read_unit(text)
    lines = [
        (row, criterion, [describe_need(need) for need in criterion.needs])
        for row, criterion in zip(read.rows, read.criteria, strict=True)
    ]
    before = form.cleaned_data["edition_of"]
    context = {
        "text": text,
        "title": form.cleaned_data["title"],
        "levels": form.cleaned_data["levels"].levels,
        "before": before,
        "edition": before.edition + 1 if before else 1,
        "read": read,
        "lines": lines,
    }
    return render(request, "assessment/briefs/unit_preview.html", context)


def type_in(request: PersonRequest) -> HttpResponse:
    """A unit typed row by row; `?from=` starts from an edition that is here."""
    if "more" in request.POST:
        head: UnitHeadForm = UnitHeadForm(initial=request.POST.dict())
        return _type_page(request, head, more_rows(request.POST))
    if request.method != "POST":
        start = _start(request)
        return _type_page(request, UnitHeadForm.of(start), blank_rows(start))
    head, rows = UnitHeadForm(request.POST), CriteriaFormSet(request.POST)
    # Both are asked, so that everything to correct is said at once.
    if all([head.is_valid(), rows.is_valid()]):
        try:
            added = add_unit(by=request.user, text=head.unit(criteria_of(rows)), now=timezone.now())
        except UnitFileError as error:
            for problem in error.problems:
                head.add_error(None, problem)
        else:
            messages.success(request, f"{added} is kept.")
            return redirect("briefs:unit", added.uuid)
    return _type_page(request, head, rows)


def _type_page(request: PersonRequest, head: UnitHeadForm, rows: Any) -> HttpResponse:
    return render(request, "assessment/briefs/type_unit.html", {"form": head, "rows": rows})


def _start(request: PersonRequest) -> Unit | None:
    try:
        wanted = UUID(request.GET.get("from", ""))
    except ValueError:
        return None
    found: Unit | None = Unit.objects.newest_editions().with_criteria().filter(uuid=wanted).first()
    return found
