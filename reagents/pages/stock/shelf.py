"""The shelf as a whole, and a delivery put on it."""

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from reagents.actions.receive_container import NotReceived, receive_container
from reagents.models import Container
from reagents.pages.stock.forms import ReceiveForm
from reagents.pages.stock.reading import shelf_of


@require_safe
def shelf(request: HttpRequest) -> HttpResponse:
    by_place, gone = request.GET.get("by") == "place", "gone" in request.GET
    found = shelf_of(day=timezone.localdate(), by_place=by_place, gone=gone)
    return render(request, "reagents/stock/shelf.html", {"shelf": found, "by_place": by_place, "gone": gone})


@require_http_methods(["GET", "HEAD", "POST"])
def receive(request: HttpRequest) -> HttpResponse:
    form = ReceiveForm(request.POST or None, today=timezone.localdate())
    if form.is_valid() and (made := _put(request, form)):
        first = made[0]
        bottles = "1 bottle" if len(made) == 1 else f"{len(made)} bottles"
        messages.success(request, f"{bottles} of {first.substance} put on the shelf: {first.place}.")
        return redirect("stock:container", uuid=first.uuid) if len(made) == 1 else redirect("stock:shelf")
    trail = [("Shelf", reverse("stock:shelf")), ("A delivery", "")]
    return render(request, "reagents/stock/receive.html", {"form": form, "trail": trail})


def _put(request: HttpRequest, form: ReceiveForm) -> list[Container]:
    try:
        return receive_container(by=request.user, delivery=form.delivery(), now=timezone.now())
    except NotReceived as trouble:
        form.add_error(None, str(trouble))
        return []
