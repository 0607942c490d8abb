"""Many classes at once, from a roster by an open standard: looked at first, then taken in whole."""

from dataclasses import asdict
from typing import Any

from django.contrib import messages
from django.core import signing
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods

from practicals.actions.import_roster import RosterRefused, import_roster, plan_roster
from practicals.calculations.oneroster import NotARoster, RosterClass, RosterPerson, read_roster
from practicals.gate import PersonRequest
from practicals.models import User
from practicals.pages.people.forms import RosterForm
from practicals.pages.people.roster_file import read_archive

VALID_S = 60 * 60
TEMPLATE = "practicals/people/import_roster.html"


@require_http_methods(["GET", "HEAD", "POST"])
def import_roster_page(request: PersonRequest) -> HttpResponse:
    if request.method == "POST" and "sealed" in request.POST:
        return _confirm(request)
    form = RosterForm(request.POST or None, request.FILES or None)
    context: dict[str, Any] = {"form": form}
    if form.is_valid():
        try:
            found = read_roster(read_archive(form.cleaned_data["file"].read()))
        except NotARoster as error:
            form.add_error("file", str(error))
        else:
            if found.faults:
                form.add_error("file", "Some rows, listed above, cannot be taken, so none was.")
            else:
                context |= {
                    "plans": plan_roster(classes=found.classes),
                    "sealed": _sealed(request.user, found.classes),
                }
            context["roster"] = found
    return render(request, TEMPLATE, context)


def _confirm(request: PersonRequest) -> HttpResponse:
    try:
        kept = signing.loads(request.POST["sealed"], salt=_salt(request.user), max_age=VALID_S)
    except signing.BadSignature:
        messages.error(request, "The preview is older than an hour. Choose the file again.")
        return redirect("people:import_roster")
    chosen = set(request.POST.getlist("classes"))
    classes = [_class(one) for one in kept if one["sourced_id"] in chosen]
    try:
        taken = import_roster(by=request.user, classes=classes, now=timezone.now())
    except RosterRefused as error:
        messages.error(request, str(error))
        return redirect("people:import_roster")
    names = ", ".join(one.name for one in taken)
    messages.success(request, f"Taken in: {names}.")
    return redirect("people:classes")


def _sealed(user: User, classes: tuple[RosterClass, ...]) -> str:
    """What was read, as signed text for a hidden field, so that no file needs to be kept."""
    return signing.dumps([asdict(one) for one in classes], salt=_salt(user), compress=True)


def _class(kept: dict[str, Any]) -> RosterClass:
    people = {
        part: tuple(RosterPerson(**person) for person in kept[part]) for part in ("learners", "teachers")
    }
    return RosterClass(kept["sourced_id"], kept["title"], kept["school"], tuple(kept["terms"]), **people)


def _salt(user: User) -> str:
    return f"roster|{user.token}"
