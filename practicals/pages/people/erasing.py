"""Erasing a person: their name goes, what they did stays under their token."""

from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from practicals.access import manageable_people
from practicals.actions.erase_person import CannotErase, erase_person
from practicals.gate import PersonRequest


class EraseForm(forms.Form):
    sure = forms.BooleanField(
        label="I know that this cannot be undone",
        error_messages={
            "required": "Tick that you know that this cannot be undone, then send the form again."
        },
    )


@require_http_methods(["GET", "POST"])
def erase(request: PersonRequest, uuid: UUID) -> HttpResponse:
    person = get_object_or_404(manageable_people(request.user), uuid=uuid)
    form = EraseForm(request.POST or None)
    if form.is_valid():
        try:
            erased = erase_person(by=request.user, person=person, now=timezone.now())
        except CannotErase as error:
            form.add_error(None, str(error))
        else:
            messages.success(request, f"Erased. What they did stays and names them {erased.name}.")
            return redirect("people:accounts")
    return render(request, "practicals/people/erase.html", {"form": form, "person": person})
