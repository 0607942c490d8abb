"""Pages that everybody may open."""

from django.contrib.auth.decorators import login_not_required
from django.http import HttpRequest, HttpResponse, HttpResponseRedirect
from django.shortcuts import render
from django.views.decorators.cache import never_cache
from django.views.decorators.http import require_POST, require_safe

from practicals.pages.people.own_host import next_page

A_YEAR_S = 365 * 24 * 60 * 60


@login_not_required
@never_cache
@require_safe
def health(request: HttpRequest) -> HttpResponse:
    return HttpResponse("ok", content_type="text/plain; charset=utf-8")


@login_not_required
@require_safe
def statement(request: HttpRequest) -> HttpResponse:
    return render(request, "practicals/people/statement.html")


@login_not_required
@require_POST
def theme(request: HttpRequest) -> HttpResponse:
    """Keep light, dark or "as the device" on this device, and with the person who is signed in."""
    wanted = request.POST.get("theme", "")
    if wanted not in {"light", "dark"}:
        wanted = ""
    if request.user.is_authenticated:
        request.user.theme = wanted
        request.user.save(update_fields=["theme"])
    response = HttpResponseRedirect(next_page(request, "/"))
    response.set_cookie(
        "theme", wanted, max_age=A_YEAR_S, samesite="Lax", httponly=True, secure=request.is_secure()
    )
    return response
