"""Practicals: list, one practical, its text."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from practicals.actions.add_practical import NewerEdition, add_practical
from practicals.calculations.practical_file import PracticalFileError
from practicals.gate import PersonRequest
from practicals.models import Practical
from practicals.pages.plan.practical_forms import PracticalForm
from practicals.pages.plan.practical_page import practical_page

PRACTICALS = "Practicals"


def practicals(request: PersonRequest) -> HttpResponse:
    found = Practical.objects.newest_editions().select_related("mobile_phase")
    return render(request, "practicals/plan/practicals.html", {"practicals": found})


def practical(request: PersonRequest, uuid: str) -> HttpResponse:
    found = get_object_or_404(Practical.objects.select_related("mobile_phase", "locating_agent"), uuid=uuid)
    context = {"practical": found, "page": practical_page(found), "trail": trail_to(found)}
    return render(request, "practicals/plan/practical.html", context)


def edit_practical(request: PersonRequest, uuid: str) -> HttpResponse:
    found = get_object_or_404(Practical, uuid=uuid)
    copy = request.GET.get("copy") == "1"
    data = request.POST if request.method == "POST" else None
    form = PracticalForm(data, practical=found, copy=copy)
    newer = None
    if form.is_valid():
        try:
            kept = add_practical(
                by=request.user,
                text=form.cleaned_data["text"],
                now=timezone.now(),
                edits=None if copy else found,
                as_new=copy,
            )
        except PracticalFileError as error:
            form.add_error("text", list(error.problems))
        except NewerEdition as error:
            form.add_error(None, str(error))
            newer = error.latest
        else:
            messages.success(request, f"Saved: {kept}. Sessions that are planned keep their edition.")
            return redirect("plan:practical", kept.uuid)
    context = {"form": form, "practical": found, "copy": copy, "newer": newer}
    return render(
        request, "practicals/plan/edit_practical.html", {**context, "trail": trail_to(found, "Edit")}
    )


def trail_to(practical: Practical, here: str = "") -> list[tuple[str, str]]:
    start = [(PRACTICALS, reverse("plan:practicals"))]
    if not here:
        return [*start, (practical.title, "")]
    return [*start, (practical.title, reverse("plan:practical", args=[practical.uuid])), (here, "")]
