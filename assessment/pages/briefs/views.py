"""Briefs: list, one edition, writing the next, signing it off."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from assessment.access import readable_briefs
from assessment.actions.review_brief import review_brief
from assessment.actions.sign_off_brief import sign_off_brief
from assessment.actions.write_brief import NewerEdition, write_brief
from assessment.calculations.brief_points import CHANGES, FIT
from assessment.models import Brief, Unit
from assessment.models.editions import changed_parts, rounds_of, uses_of
from assessment.pages.briefs.forms import BriefForm, ReviewForm
from practicals.gate import PersonRequest
from practicals.models import Role, User

TRAIL = ("Briefs", "briefs:briefs")


def briefs(request: PersonRequest) -> HttpResponse:
    context = {
        "briefs": readable_briefs(request.user).newest_editions(),
        "may_write": request.user.has_perm("assessment.write_brief"),
    }
    return render(request, "assessment/briefs/briefs.html", context)


def brief(request: PersonRequest, uuid: UUID) -> HttpResponse:
    found = get_object_or_404(readable_briefs(request.user).whole(), uuid=uuid)
    return render(request, "assessment/briefs/brief.html", _around(request, found))


def _around(request: PersonRequest, found: Brief) -> dict[str, Any]:
    others = list(readable_briefs(request.user).other_editions(found))
    newer = [other for other in others if other.edition > found.edition]
    by_me = found.author_id == request.user.pk
    rounds = rounds_of(found)
    return {
        "brief": found,
        "rounds": rounds,
        "changes_wanted": any(r.brief_id == found.pk and r.verdict == CHANGES for r in rounds[:1]),
        "newer_unit": found.unit.newer,
        "changed": changed_parts(found),
        "uses": uses_of(found),
        "others": others,
        "newest": newer[0] if newer else None,
        "by_me": by_me,
        "may_sign": request.user.has_perm("assessment.sign_off_brief") and not by_me,
        "may_write": request.user.has_perm("assessment.write_brief"),
        "signers": User.objects.holding(Role.VERIFIER, Role.LEAD_VERIFIER).exclude(pk=found.author_id),
        "trail": [(TRAIL[0], reverse(TRAIL[1])), (found.title, "")],
    }


def write(request: PersonRequest) -> HttpResponse:
    """Write a first edition; which unit it is for comes in the address, or is the only one."""
    units = list(Unit.objects.newest_editions().with_criteria())
    wanted = request.GET.get("unit", "")
    unit = next((unit for unit in units if str(unit.uuid) == wanted or len(units) == 1), None)
    if unit is None:
        return render(request, "assessment/briefs/choose_unit.html", {"units": units})
    form = BriefForm(unit, request.POST or None)
    if request.method == "POST" and form.is_valid():
        answer = _save(request, form, unit, None)
        if answer:
            return answer
    return render(request, "assessment/briefs/write.html", {"form": form, "unit": unit})


def edit(request: PersonRequest, uuid: UUID) -> HttpResponse:
    shown = get_object_or_404(readable_briefs(request.user).whole(), uuid=uuid)
    newest = readable_briefs(request.user).whole().filter(slug=shown.slug).latest("edition")
    if request.method != "POST":
        if newest.pk != shown.pk:
            messages.info(request, f"This is edition {newest.edition}, the newest; only that can be edited.")
            return redirect("briefs:edit_brief", newest.uuid)
        return _edit_page(request, BriefForm.of(shown, _unit_of(request, shown)), shown)
    unit = _unit_of(request, shown)
    form = BriefForm(unit, request.POST)
    if form.is_valid():
        # After a stale try the form is based on the edition it was then compared with.
        based_on = newest if form.cleaned_data["based_on"] == newest.uuid else shown
        answer = _save(request, form, unit, based_on)
        if answer:
            return answer
    return _edit_page(request, form, shown)


def _unit_of(request: PersonRequest, brief: Brief) -> Unit:
    """The edition of the unit that the brief is for, or the newest one if the address asks for it."""
    newer = brief.unit.newer if "newest_unit" in request.GET else None
    return newer or brief.unit


def _edit_page(request: PersonRequest, form: BriefForm, shown: Brief) -> HttpResponse:
    trail = [
        (TRAIL[0], reverse(TRAIL[1])),
        (shown.title, reverse("briefs:brief", args=[shown.uuid])),
        ("Edit", ""),
    ]
    unit = _unit_of(request, shown)
    newer = None if unit != shown.unit else unit.newer
    context = {"form": form, "unit": unit, "newer_unit": newer, "brief": shown, "trail": trail}
    return render(request, "assessment/briefs/write.html", context)


def _save(request: PersonRequest, form: BriefForm, unit: Unit, edits: Brief | None) -> HttpResponse | None:
    """Save and answer; None when something was wrong, which the form then says."""
    try:
        saved = write_brief(by=request.user, unit=unit, edits=edits, now=timezone.now(), **form.texts())
    except NewerEdition as error:
        form.compare_with(error.newest)
        form.add_error(None, error)
        return None
    except ValidationError as error:
        form.add_error(None, error)
        return None
    if edits is not None and saved.pk == edits.pk:
        messages.info(request, "Nothing was changed, so the edition and its sign-off stay.")
    else:
        messages.success(request, f"{saved} is kept. It needs a sign-off before it can be issued.")
    return redirect("briefs:brief", saved.uuid)


def sign_off(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """One round of looking at a brief, which either signs it off or asks the author for changes."""
    found = get_object_or_404(readable_briefs(request.user).whole(), uuid=uuid)
    if found.signed_off_at:
        messages.info(request, "This edition is signed off.")
        return redirect("briefs:brief", found.uuid)
    form = ReviewForm(request.POST or None)
    if request.method == "POST" and form.is_valid() and _keep_round(request, form, found):
        return redirect("briefs:brief", found.uuid)
    return render(request, "assessment/briefs/sign_off.html", _around(request, found) | {"form": form})


def _keep_round(request: PersonRequest, form: ReviewForm, found: Brief) -> bool:
    looked = {"points": form.points(), "comment": form.cleaned_data["comment"], "now": timezone.now()}
    try:
        if form.cleaned_data["verdict"] == FIT:
            sign_off_brief(by=request.user, brief=found, **looked)
            messages.success(request, f"{found} is signed off.")
        else:
            review_brief(by=request.user, brief=found, verdict=CHANGES, **looked)
            messages.success(request, f"Your round is kept. {found.author} sees what is to be changed.")
    except ValidationError as error:
        form.add_error(None, error)
        return False
    return True
