"""What was typed is kept when the sign-in has ended, and is sent by nobody but who typed it."""

from collections.abc import Callable
from typing import Any
from urllib.parse import urlencode, urlsplit

from django.conf import settings
from django.http import HttpRequest, HttpResponse, HttpResponseBase
from django.shortcuts import render
from django.urls import reverse

Respond = Callable[[HttpRequest], HttpResponseBase]
#: A page never shows a password again: these are the names of such fields.
NEVER_SHOWN = frozenset(
    {"password", "passphrase", "present", "fresh", "again", "code", "csrfmiddlewaretoken"}
)


class KeptEntryMiddleware:
    """Stands before the sign-in: a form sent after the sign-in ended comes back whole, to be sent again."""

    def __init__(self, get_response: Respond) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Any, args: Any, kwargs: Any) -> HttpResponse | None:
        if not getattr(view, "login_required", True):
            return None
        if request.headers.get("HX-Request") and not request.user.is_authenticated:
            return sign_in_instead(request)
        if request.method != "POST":
            return None
        if not request.user.is_authenticated:
            return kept_entry(request)
        return self._somebody_elses(request)

    def _somebody_elses(self, request: HttpRequest) -> HttpResponse | None:
        """On a shared device: a form that one person opened is not sent as another."""
        opened_by = request.POST.get("opened_by")
        if not opened_by or opened_by == str(getattr(request.user, "uuid", "")):
            return None
        return render(request, "somebody_elses_form.html", {"entry": typed(request)}, status=409)


def sign_in_instead(request: HttpRequest) -> HttpResponse:
    """For a page that refreshes a part of itself: open the sign-in, do not paste it into that part."""
    page = urlsplit(request.headers.get("HX-Current-URL", "")).path or "/"
    address = f"{reverse(settings.LOGIN_URL)}?{urlencode({'next': page})}"
    return HttpResponse(status=204, headers={"HX-Redirect": address})


def kept_entry(request: HttpRequest) -> HttpResponse:
    """The entry as a form that can be sent again."""
    context = {"entry": typed(request), "had_files": bool(request.FILES)}
    return render(request, "kept_entry.html", context, status=403)


def typed(request: HttpRequest) -> list[tuple[str, str]]:
    """Every value of the form in its order, but no password."""
    return [
        (name, value) for name, values in request.POST.lists() for value in values if name not in NEVER_SHOWN
    ]


def from_own_page(request: HttpRequest) -> bool:
    """Whether the browser says that one of our own pages sent this. Only then is an entry offered again."""
    origin = f"{request.scheme}://{request.get_host()}"
    sender = request.headers.get("Origin") or request.headers.get("Referer", "")
    return sender == origin or sender.startswith(f"{origin}/")
