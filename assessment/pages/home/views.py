"""The page after sign-in."""

from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone

from assessment.pages.home.sections import sections_for
from practicals.gate import PersonRequest


def home(request: PersonRequest) -> HttpResponse:
    """What waits for whoever is signed in. At the bench there is one thing to do: the session."""
    user = request.user
    if user.bench_session:
        return redirect("bench:session", user.bench_session)
    context = {
        "sections": sections_for(user, timezone.now()),
        "may_plan": user.has_perm("practicals.plan_session"),
    }
    return render(request, "assessment/home/home.html", context)
