"""Accounts: whom the centre knows, and what each may do."""

from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.contrib.auth import update_session_auth_hash
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_http_methods, require_safe

from practicals.access import manageable_people
from practicals.actions.add_account import CannotAddAccount, add_account
from practicals.actions.change_account import CannotChangeAccount, change_account
from practicals.gate import PersonRequest
from practicals.models import User
from practicals.pages.people.forms import AccountForm
from practicals.pages.people.lists import account_page
from practicals.pages.stale import overtaken
from reagents.models import Stale


@require_safe
def accounts(request: PersonRequest) -> HttpResponse:
    search = request.GET.get("q", "")[:60]
    page = account_page(request.user, search, request.GET.get("page", "1"))
    return render(request, "practicals/people/accounts.html", {"page_obj": page, "search": search})


@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
def new_account(request: PersonRequest) -> HttpResponse:
    form = AccountForm(request.POST or None)
    if form.is_valid():
        try:
            person = add_account(by=request.user, **form.cleaned_data, now=timezone.now())
        except (CannotAddAccount, ValidationError) as error:
            _say(form, error)
        else:
            messages.success(request, f"{person.name} can sign in now, with the name {person.username}.")
            return redirect("people:accounts")
    return render(request, "practicals/people/new_account.html", {"form": form})


@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
def account(request: PersonRequest, uuid: UUID) -> HttpResponse:
    person = get_object_or_404(manageable_people(request.user), uuid=uuid)
    saved, standing = _saved(person), []
    form = AccountForm(request.POST or None, initial=saved, person=person)
    if form.is_valid():
        try:
            change_account(by=request.user, person=person, **form.cleaned_data, now=timezone.now())
        except Stale as error:
            standing = overtaken(form, error, saved, version="seen_version")
        except (CannotChangeAccount, ValidationError) as error:
            _say(form, error)
        else:
            if person.pk == request.user.pk:
                update_session_auth_hash(request, person)
            messages.success(request, f"The account of {person.name} is saved.")
            return redirect("people:accounts")
    # The name in the title is the saved one, also while what was typed is refused.
    context = {"form": form, "person": User.objects.get(pk=person.pk), "standing": standing}
    return render(request, "practicals/people/account.html", context)


def _saved(person: User) -> dict[str, Any]:
    return {
        "name": person.name,
        "sort_name": person.sort_name,
        "roles": sorted(person.roles),
        "active": person.is_active,
        "seen_version": person.version,
    }


def _say(form: forms.Form, error: ValueError | ValidationError) -> None:
    """A password is refused by Django's own validators; everything else by the action."""
    if isinstance(error, ValidationError):
        form.add_error("password", error)
    else:
        form.add_error(None, str(error))
