"""Units: list, one with its criteria, adding one from the text of its file."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from assessment.actions.add_unit import add_unit
from assessment.calculations.unit_file import UnitFileError
from assessment.models import Unit
from assessment.models.editions import assignments_on, editions_beside, newer_edition
from assessment.pages.briefs.forms import UnitForm
from practicals.gate import PersonRequest


def listed(request: PersonRequest) -> HttpResponse:
    found = Unit.objects.newest_editions().with_criteria()
    may_add = request.user.has_perm("assessment.add_unit")
    return render(request, "assessment/briefs/units.html", {"units": found, "may_add": may_add})


def show(request: PersonRequest, uuid: UUID) -> HttpResponse:
    found = get_object_or_404(Unit.objects.with_criteria(), uuid=uuid)
    context = {
        "unit": found,
        "editions": editions_beside(found),
        "newer": newer_edition(found),
        "kept_by": assignments_on(found),
        "trail": [("Units", reverse("briefs:units")), (found.title, "")],
        "may_write": request.user.has_perm("assessment.write_brief"),
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
