"""Pages for what went wrong. What one may not see looks like what is not there."""

from typing import Any

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.template import loader

from practicals.pages.kept_entry import from_own_page, kept_entry


def bad_request(request: HttpRequest, exception: Any = None) -> HttpResponse:
    return render(request, "400.html", {"why": "The address or the form could not be read."}, status=400)


def not_found(request: HttpRequest, exception: Any = None) -> HttpResponse:
    return render(request, "404.html", status=404)


def form_refused(request: HttpRequest, reason: str = "") -> HttpResponse:
    """A form whose token does not fit: signing in or out in another tab makes those of older pages void."""
    if request.POST.get("once") and from_own_page(request):
        return kept_entry(request)
    return render(request, "403.html", status=403)


def went_wrong(request: HttpRequest) -> HttpResponse:
    # No context processors: they ask the database, which may be what failed.
    return HttpResponse(loader.get_template("500.html").render({}), status=500)
