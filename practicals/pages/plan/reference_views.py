"""Published values of a practical's system: read, add one with its source, withdraw one."""

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from practicals.actions.add_reference_value import CannotAddReference, add_reference_value
from practicals.actions.withdraw_reference_value import CannotWithdrawReference, withdraw_reference_value
from practicals.gate import PersonRequest
from practicals.models import Practical, ReferenceValue
from practicals.models.reference_values import reference_rows, standards_to_name, system_of, warnings_for
from practicals.pages.plan.practical_views import trail_to
from practicals.pages.plan.reference_forms import ReferenceForm, WithdrawReferenceForm


def published(request: PersonRequest, uuid: str) -> HttpResponse:
    return _page(request, _practical(uuid))


def add_reference(request: PersonRequest, uuid: str) -> HttpResponse:
    """Add a value. What is odd about it is said, and it is kept all the same."""
    practical = _practical(uuid)
    form = ReferenceForm(request.POST or None, standards=standards_to_name(practical))
    if request.method == "POST" and form.is_valid():
        kept = _add(request, practical, form)
        if kept is not None:
            messages.success(request, f"The value for {kept.analyte} is kept.")
            for warning in warnings_for(kept, practical):
                messages.warning(request, f"{kept.analyte}: {warning}")
            return redirect("plan:published", uuid)
    context = {"practical": practical, "system": system_of(practical), "form": form}
    trail = trail_to(practical, "Add a published value")
    return render(request, "practicals/plan/add_reference.html", {**context, "trail": trail})


def withdraw_reference(request: PersonRequest, uuid: str, value: str) -> HttpResponse:
    """Withdraw a value with a reason; without one the page comes back and says so."""
    practical = _practical(uuid)
    found = get_object_or_404(ReferenceValue, uuid=value)
    if request.method != "POST":
        return redirect("plan:published", uuid)
    form = WithdrawReferenceForm(request.POST)
    if form.is_valid():
        reason = form.cleaned_data["reason"]
        try:
            withdraw_reference_value(by=request.user, value=found, reason=reason, now=timezone.now())
        except CannotWithdrawReference as problem:
            form.add_error("reason", str(problem))
        else:
            messages.success(request, f"The value for {found.analyte} is withdrawn.")
            return redirect("plan:published", uuid)
    for problem_text in form.errors.get("reason", []):
        messages.error(request, f"Not withdrawn. {problem_text}")
    return _page(request, practical, typed=(found, str(form.data.get("reason", ""))))


def _practical(uuid: str) -> Practical:
    return get_object_or_404(Practical.objects.select_related("mobile_phase"), uuid=uuid)


def _add(request: PersonRequest, practical: Practical, form: ReferenceForm) -> ReferenceValue | None:
    cleaned = form.cleaned_data
    low = cleaned["rf_low"]
    high = low if cleaned["rf_high"] is None else cleaned["rf_high"]
    try:
        return add_reference_value(
            by=request.user,
            practical=practical,
            analyte=form.standards[cleaned["analyte"]],
            rf_low=low,
            rf_high=high,
            source=cleaned["source"],
            confirmed=cleaned["confirmed"],
            now=timezone.now(),
        )
    except CannotAddReference as problem:
        form.add_error(None, str(problem))
        return None


def _page(
    request: PersonRequest, practical: Practical, typed: tuple[ReferenceValue, str] | None = None
) -> HttpResponse:
    context = {
        "practical": practical,
        "rows": reference_rows(practical),
        "may_edit": request.user.has_perm("practicals.edit_practical"),
        "typed_for": typed[0].pk if typed else None,
        "typed": typed[1] if typed else "",
        "trail": trail_to(practical, "Published values"),
    }
    return render(request, "practicals/plan/published.html", context)
