"""Pages about a class as a whole: its evidence as a grid, its summary, whether options were fair."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache

from assessment.access import readable_assignments, readable_works
from assessment.documents.class_summary import make_class_summary
from assessment.models import Assignment
from assessment.models.class_evidence import class_evidence
from assessment.models.options_given import fair_options
from assessment.pages.document_answer import document_answer
from practicals.gate import PersonRequest


def evidence(request: PersonRequest, uuid: UUID) -> HttpResponse:
    assignment = _assignment(request, uuid)
    works = list(readable_works(request.user).in_class_order(assignment).for_marking())
    criteria = list(assignment.brief.criteria.all())
    context = {
        "assignment": assignment,
        "criteria": criteria,
        "lines": class_evidence(works, criteria),
        "trail": _trail(assignment, "Evidence of the class"),
    }
    return render(request, "assessment/marking/class_evidence.html", context)


def fair(request: PersonRequest, uuid: UUID) -> HttpResponse:
    assignment = _assignment(request, uuid)
    works = list(readable_works(request.user).in_class_order(assignment).for_marking())
    context = {
        "assignment": assignment,
        "options": fair_options(assignment, works),
        "trail": _trail(assignment, "Fair options"),
    }
    return render(request, "assessment/marking/fair.html", context)


@never_cache
def summary(request: PersonRequest, uuid: UUID) -> HttpResponse:
    assignment = _assignment(request, uuid)
    return document_answer(
        request,
        lambda: make_class_summary(by=request.user, assignment=assignment, now=timezone.now()),
        back=reverse("marking:evidence", args=[uuid]),
    )


def _assignment(request: PersonRequest, uuid: UUID) -> Assignment:
    found: Assignment = get_object_or_404(readable_assignments(request.user).for_page(), uuid=uuid)
    return found


def _trail(assignment: Assignment, here: str) -> list[tuple[str, str]]:
    return [
        ("Marking", reverse("marking:assignments")),
        (str(assignment), reverse("marking:assignment", args=[assignment.uuid])),
        (here, ""),
    ]
