"""The class's values as a learner may see them: without names, one's own marked."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import render
from django.urls import reverse

from practicals.models.class_results import own_results
from practicals.pages.bench.desk import LearnerRequest, session_of


def results(request: LearnerRequest, uuid: UUID) -> HttpResponse:
    session = session_of(request.user, uuid)
    bench = reverse("bench:session", args=[session.uuid])
    context = {
        "session": session,
        "results": own_results(session, request.user),
        "trail": [("My bench", reverse("bench:home")), (session.title, bench), ("The class’s values", "")],
    }
    return render(request, "practicals/bench/results.html", context)
