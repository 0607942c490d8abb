"""What holds for the whole centre, and who changed what."""

from django.contrib import messages
from django.forms.models import model_to_dict
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from practicals.actions.save_centre import CannotSaveCentre, save_centre
from practicals.gate import PersonRequest
from practicals.models import Centre
from practicals.pages.people.forms import CentreForm
from practicals.pages.people.lists import trail_page
from practicals.pages.stale import overtaken
from reagents.models import Stale


@require_http_methods(["GET", "POST"])
def centre(request: PersonRequest) -> HttpResponse:
    saved, standing = Centre.here(), []
    form = CentreForm(request.POST or None, initial={**model_to_dict(saved), "seen_version": saved.version})
    if form.is_valid():
        try:
            save_centre(by=request.user, **form.cleaned_data, now=timezone.now())
        except CannotSaveCentre as error:
            form.add_error(error.field, str(error))
        except Stale as error:
            standing = overtaken(form, error, model_to_dict(saved), version="seen_version")
        else:
            messages.success(request, "The centre's settings are saved.")
            return redirect("people:centre")
    return render(request, "practicals/people/centre.html", {"form": form, "standing": standing})


@require_safe
def audit(request: PersonRequest) -> HttpResponse:
    page, lines = trail_page(request.GET.get("page", "1"))
    return render(request, "practicals/people/audit.html", {"page_obj": page, "lines": lines})
