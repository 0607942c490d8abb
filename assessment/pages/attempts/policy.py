"""What the centre has settled, and its calendar."""

from dataclasses import asdict
from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from assessment.actions.add_calendar_day import add_calendar_day
from assessment.actions.save_policy import PolicyOvertaken, PolicySettings, save_policy
from assessment.actions.withdraw_calendar_day import withdraw_calendar_day
from assessment.calculations.deadlines import shipped_bank_holidays
from assessment.models import CalendarDay, Policy
from assessment.pages.attempts.forms import CalendarDayForm, PolicyForm
from practicals.gate import PersonRequest
from practicals.models import Centre

EDIT = ["GET", "HEAD", "POST"]


@require_safe
def policy(request: PersonRequest) -> HttpResponse:
    editions = list(Policy.objects.select_related("saved_by")[:20])
    context = {"policy": editions[0] if editions else Policy(edition=1), "editions": editions}
    return render(request, "assessment/attempts/policy.html", context)


@require_http_methods(EDIT)
def edit_policy(request: PersonRequest) -> HttpResponse:
    standing = Policy.objects.current() or Policy(edition=1)
    start = {**asdict(PolicySettings.of(standing)), "seen_edition": standing.edition}
    form = PolicyForm(request.POST or None, initial=start)
    if form.is_valid():
        try:
            save_policy(
                by=request.user,
                settings=form.settings(),
                seen_edition=form.cleaned_data["seen_edition"],
                reason=form.cleaned_data["reason"],
                now=timezone.now(),
            )
        except ValidationError as error:
            form.add_error(None, error)
            if isinstance(error, PolicyOvertaken):
                standing = Policy.objects.current() or standing
                form.data = {
                    **{name: form.data.get(name) for name in form.data},
                    "seen_edition": str(standing.edition),
                }
        else:
            messages.success(request, "The policy is saved. Assignments issued before keep their own.")
            return redirect("attempts:policy")
    return render(request, "assessment/attempts/edit_policy.html", {"form": form, "policy": standing})


@require_http_methods(EDIT)
def calendar(request: PersonRequest) -> HttpResponse:
    may = request.user.has_perm("assessment.keep_calendar")
    form = CalendarDayForm(request.POST or None) if may else None
    if form and form.is_valid():
        try:
            added = add_calendar_day(by=request.user, **form.cleaned_data, now=timezone.now())
        except ValidationError as error:
            form.add_error(None, error)
        else:
            messages.success(
                request, f"{len(added)} day{'' if len(added) == 1 else 's'} entered. Given deadlines stay."
            )
            return redirect("attempts:calendar")
    centre = Centre.here()
    context = {
        "days": CalendarDay.objects.standing().select_related("added_by"),
        "form": form,
        "statement": shipped_bank_holidays().statement(centre.region),
    }
    return render(request, "assessment/attempts/calendar.html", context)


@require_POST
def withdraw_day(request: PersonRequest, uuid: UUID) -> HttpResponse:
    found = get_object_or_404(CalendarDay.objects.standing(), uuid=uuid)
    withdraw_calendar_day(by=request.user, day=found, now=timezone.now())
    messages.success(request, f"{found.name} is taken out of the calendar. Deadlines already given stay.")
    return redirect("attempts:calendar")
