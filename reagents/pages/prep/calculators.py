"""The technician's calculators. Nothing is kept: the figures stand in the address."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from reagents.calculations.mixture_sheet import liquids_to_label
from reagents.calculations.prep_plan import cautions_of
from reagents.calculations.preparation import PartWanted
from reagents.calculations.ternary import ternary_diagram
from reagents.pages.prep.calculator_forms import (
    REFUSALS,
    DilutionForm,
    MixtureForm,
    SeriesForm,
    SolutionForm,
    known_names,
)

#: Address, name, and what it answers.
CALCULATORS = (
    ("prep:mixture", "Mixture", "Parts scaled to a total, to chambers or to what is left; one phase or two."),
    (
        "prep:solution",
        "Solution of a solid",
        "What to weigh, in which form, on which balance; does it dissolve?",
    ),
    ("prep:dilution", "Dilution", "How much of a stock makes a weaker solution."),
    ("prep:series", "Serial dilution", "The same step again and again, in volumes that stand on a mark."),
    ("prep:ventilation", "Vapour in a room", "An estimate, against the workplace limits."),
)


@require_safe
def calculators(request: HttpRequest) -> HttpResponse:
    found = [(reverse(address), name, answers) for address, name, answers in CALCULATORS]
    return render(request, "reagents/prep/calculators.html", {"calculators": found})


@require_safe
def mixture(request: HttpRequest) -> HttpResponse:
    form = MixtureForm(request.GET if "scale" in request.GET else None)
    context: dict[str, Any] = {"form": form, **_around("Mixture")}
    if form.is_valid():
        try:
            sheet = form.sheet()
        except REFUSALS as trouble:
            context["trouble"] = str(trouble)
        else:
            parts = form.parts()
            context |= {
                "sheet": sheet,
                "diagram": ternary_diagram(sheet.phases) if sheet.phases else None,
                "cautions": cautions_of(parts),
            }
    return render(request, "reagents/prep/calculators_mixture.html", context)


@require_safe
def solution(request: HttpRequest) -> HttpResponse:
    form = SolutionForm(request.GET if "strength" in request.GET else None)
    context: dict[str, Any] = {"form": form, **_around("Solution of a solid")}
    if form.is_valid():
        try:
            context["found"], context["most"] = form.weighed()
        except REFUSALS as trouble:
            context["trouble"] = str(trouble)
        else:
            context |= _hazards(form.parts())
    return render(request, "reagents/prep/calculators_solution.html", context)


@require_safe
def dilution(request: HttpRequest) -> HttpResponse:
    form = DilutionForm(request.GET if "stock" in request.GET else None)
    context: dict[str, Any] = {"form": form, **_around("Dilution")}
    if form.is_valid():
        try:
            context["found"], context["taken"] = form.diluted()
        except REFUSALS as trouble:
            context["trouble"] = str(trouble)
        else:
            context |= _hazards(form.parts())
    return render(request, "reagents/prep/calculators_dilution.html", context)


@require_safe
def series(request: HttpRequest) -> HttpResponse:
    form = SeriesForm(request.GET if "stock" in request.GET else None)
    context: dict[str, Any] = {"form": form, **_around("Serial dilution")}
    if form.is_valid():
        try:
            context["found"] = form.series()
        except REFUSALS as trouble:
            context["trouble"] = str(trouble)
        context["unit"] = form.cleaned_data["stock"][1]
    return render(request, "reagents/prep/calculators_series.html", context)


def _hazards(parts: list[PartWanted]) -> dict[str, Any]:
    if not parts:
        return {}
    return {"liquids": liquids_to_label(parts, None), "cautions": cautions_of(parts)}


def _around(title: str) -> dict[str, Any]:
    return {
        "title": title,
        "names": known_names(),
        "trail": [("Calculators", reverse("prep:calculators")), (title, "")],
    }
