"""Ticks of a prep list, saved."""

from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.urls import reverse
from django.utils import timezone
from django.utils.http import url_has_allowed_host_and_scheme
from django.views.decorators.http import require_POST

from reagents.actions.tick_prep import tick_prep


@require_POST
def tick(request: HttpRequest) -> HttpResponse:
    """What changed since the form was shown: what somebody else ticked meanwhile stays."""
    ticked, before = set(request.POST.getlist("box")), set(request.POST.getlist("was"))
    tick_prep(by=request.user, tick=ticked - before, untick=before - ticked, now=timezone.now())
    back = request.POST.get("next", "")
    if not url_has_allowed_host_and_scheme(back, allowed_hosts=None):
        back = reverse("prep:requisitions")
    return redirect(back)
