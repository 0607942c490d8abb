"""One container: what it holds, what happened to it, and what can be done with it."""

from collections.abc import Callable
from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from reagents.actions.count_container import count_container
from reagents.actions.discard_container import discard_container
from reagents.actions.move_container import move_container
from reagents.actions.open_container import open_container
from reagents.actions.take_from_container import NotTaken, take_from_container
from reagents.models import Container, Stale
from reagents.pages.stock.forms import (
    ContainerForm,
    CountForm,
    DiscardForm,
    MoveForm,
    OpenForm,
    TakeForm,
)
from reagents.pages.stock.reading import bottle, container_or_404

FORMS: tuple[type[ContainerForm], ...] = (TakeForm, CountForm, OpenForm, MoveForm, DiscardForm)


@require_safe
def container(request: HttpRequest, uuid: UUID) -> HttpResponse:
    return _page(request, container_or_404(uuid))


@require_POST
def open_it(request: HttpRequest, uuid: UUID) -> HttpResponse:
    return _act(request, uuid, OpenForm, open_container, "It is down as opened.")


@require_POST
def count(request: HttpRequest, uuid: UUID) -> HttpResponse:
    return _act(request, uuid, CountForm, count_container, "The record holds what you counted.")


@require_POST
def take(request: HttpRequest, uuid: UUID) -> HttpResponse:
    return _act(request, uuid, TakeForm, take_from_container, "Taken out.")


@require_POST
def move(request: HttpRequest, uuid: UUID) -> HttpResponse:
    return _act(request, uuid, MoveForm, move_container, "Place, storage class and date are saved.")


@require_POST
def discard(request: HttpRequest, uuid: UUID) -> HttpResponse:
    return _act(request, uuid, DiscardForm, discard_container, "It is off the shelf; its record stays.")


def _act(
    request: HttpRequest, uuid: UUID, kind: type[ContainerForm], act: Callable[..., Any], done: str
) -> HttpResponse:
    found = container_or_404(uuid)
    form = kind(request.POST, container=found, today=timezone.localdate())
    if form.is_valid():
        try:
            act(by=request.user, container=found, now=timezone.now(), **form.given())
        except NotTaken as trouble:
            form.add_error(None, str(trouble))
        except Stale as trouble:
            form.add_error(None, str(trouble))
            form.data = {**form.data.dict(), "version": str(trouble.record.version)}  # type: ignore[attr-defined]
        else:
            messages.success(request, done)
            return redirect("stock:container", uuid=uuid)
    return _page(request, container_or_404(uuid), form)


def _page(request: HttpRequest, found: Container, sent: ContainerForm | None = None) -> HttpResponse:
    today = timezone.localdate()
    forms = {
        kind.name: sent if isinstance(sent, kind) else kind(container=found, today=today) for kind in FORMS
    }
    context = {
        "bottle": bottle(found, day=today),
        "container": found,
        "changes": found.changes.select_related("batch", "changed_by").order_by("-changed_at", "-id")[:100],
        "forms": forms,
        "trail": [("Shelf", reverse("stock:shelf")), (found.substance, "")],
    }
    return render(request, "reagents/stock/container.html", context)
