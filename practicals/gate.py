"""Refuses by default: whatever the `access` tables do not open stays closed.

Each package has an `access` module with two tables: PERMISSIONS (permission -> rule) and URLS (address
name -> permission). The gate reads them by name, so that no package imports another's pages.
"""

import time
import uuid
from collections.abc import Callable
from importlib import import_module
from typing import Any

from django.contrib.auth import logout
from django.contrib.auth.backends import ModelBackend
from django.core.checks import Error, register
from django.db import IntegrityError, transaction
from django.http import Http404, HttpRequest, HttpResponse, HttpResponseBase, HttpResponseRedirect
from django.shortcuts import render
from django.urls import URLPattern, URLResolver, get_resolver

from practicals.models import Session, User
from reagents.access import ANYONE, SIGNED_IN, Rule
from reagents.models import FormKey

ACCESS_MODULES = ("reagents.access", "practicals.access", "assessment.access")


def permissions() -> dict[str, Rule]:
    tables = (import_module(module).PERMISSIONS for module in ACCESS_MODULES)
    return {name: rule for table in tables for name, rule in table.items()}


def url_table() -> dict[str, str]:
    tables = (import_module(module).URLS for module in ACCESS_MODULES)
    return {name: need for table in tables for name, need in table.items()}


class TableBackend(ModelBackend):
    """Signs in by name and password; answers `user.has_perm` from the tables and nothing else."""

    def has_perm(self, user_obj: Any, perm: str, obj: Any = None) -> bool:
        rule = permissions().get(perm)
        return bool(rule and user_obj.is_authenticated and user_obj.is_active and rule(user_obj))


def may_open(user: Any, view_name: str) -> bool:
    need = url_table().get(view_name)
    if need is None:
        return False
    if need == ANYONE:
        return True
    if need == SIGNED_IN:
        return bool(user.is_authenticated)
    return bool(user.is_authenticated and user.has_perm(need))


Respond = Callable[[HttpRequest], HttpResponseBase]


class PersonRequest(HttpRequest):
    """The request of somebody whom the gate let in: a person, not a visitor."""

    user: User


class BenchScopeMiddleware:
    """Narrows someone who signed in at the bench to one session.

    It ends when the session closes, and when the code that opened it was replaced or taken away: whoever
    found a lost slip must not stay in.
    """

    def __init__(self, get_response: Respond) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        bench = request.session.get("bench_session")
        if bench and request.user.is_authenticated:
            scope = uuid.UUID(bench)
            if self._still_open(scope, request):
                request.user.bench_session = scope
            else:
                logout(request)
        return self.get_response(request)

    def _still_open(self, scope: uuid.UUID, request: HttpRequest) -> bool:
        sessions = Session.objects.filter(uuid=scope, closed_at=None, started_at__isnull=False)
        serial = request.session.get("bench_code")
        if serial is not None:
            sessions = sessions.filter(bench_codes__learner=request.user.pk, bench_codes__serial=serial)
        return sessions.exists()


class GateMiddleware:
    """Lets a request through to its view only if the tables say so. What one may not see is 404."""

    def __init__(self, get_response: Respond) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_view(self, request: HttpRequest, view: Any, args: Any, kwargs: Any) -> None:
        match = request.resolver_match
        if match is None or not may_open(request.user, match.view_name):
            raise Http404


class OnceOnlyMiddleware:
    """Answers a second sending of the same form with the first one's answer.

    Every form that changes something carries a key (`{% once %}`). The key's row is taken before the
    view runs; it keeps where the view redirected to. A form that comes back with errors, and a view that
    failed, give the key back. Sign-in and sign-out need no key: they change nothing that is kept.
    """

    #: A key without an answer for so long belongs to a process that died.
    PATIENCE_S = 20.0
    WITHOUT_KEY = frozenset({"people:sign_in", "people:sign_out", "people:bench_sign_in", "people:theme"})

    def __init__(self, get_response: Respond) -> None:
        self.get_response = get_response

    def __call__(self, request: HttpRequest) -> HttpResponseBase:
        return self.get_response(request)

    def process_view(
        self, request: HttpRequest, view: Any, args: Any, kwargs: Any
    ) -> HttpResponseBase | None:
        name = request.resolver_match.view_name if request.resolver_match else ""
        if request.method != "POST" or name in self.WITHOUT_KEY or not request.user.is_authenticated:
            return None
        try:
            key = uuid.UUID(request.POST.get("once", ""))
        except ValueError:
            return render(request, "400.html", {"why": "The form came without its key."}, status=400)
        try:
            with transaction.atomic():
                row = FormKey.objects.create(person=request.user, key=key)
        except IntegrityError:
            return self._first_answer(request, key)
        return self._run(request, row, view, args, kwargs)

    def _run(self, request: HttpRequest, row: FormKey, view: Any, args: Any, kwargs: Any) -> HttpResponseBase:
        try:
            response: HttpResponseBase = view(request, *args, **kwargs)
        except BaseException:
            row.delete()
            raise
        if isinstance(response, HttpResponseRedirect):
            row.answer = response.url
            row.save(update_fields=["answer"])
        else:
            row.delete()
        return response

    def _first_answer(self, request: HttpRequest, key: uuid.UUID) -> HttpResponse:
        patience = time.monotonic() + self.PATIENCE_S
        while time.monotonic() < patience:
            row = FormKey.objects.filter(person_id=request.user.pk, key=key).first()
            if row is None:
                break
            if row.answer:
                return HttpResponseRedirect(row.answer)
            time.sleep(0.05)
        why = "This form was sent twice, and the first sending has not finished. Look whether it was saved."
        return render(request, "400.html", {"why": why}, status=409)


def named_views(patterns: Any = None, namespace: str = "") -> list[str]:
    """The full name of every address that the project answers."""
    names: list[str] = []
    for pattern in get_resolver().url_patterns if patterns is None else patterns:
        if isinstance(pattern, URLResolver):
            inner = f"{namespace}{pattern.namespace}:" if pattern.namespace else namespace
            names += named_views(pattern.url_patterns, inner)
        elif isinstance(pattern, URLPattern):
            names.append(f"{namespace}{pattern.name or ''}")
    return names


@register()
def every_address_has_a_permission(app_configs: Any, **kwargs: Any) -> list[Error]:
    table, known = url_table(), permissions()
    problems = [
        Error(f"The address {name!r} is in no access table, so nobody can open it.", id="wickmark.E001")
        for name in named_views()
        if name not in table
    ]
    problems += [
        Error(f"The address {name!r} needs {need!r}, which has no rule.", id="wickmark.E002")
        for name, need in table.items()
        if need not in {ANYONE, SIGNED_IN} and need not in known
    ]
    return problems
