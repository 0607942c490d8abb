"""A class's results for a spreadsheet or for the system that the class came from."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils.text import slugify

from assessment.access import readable_assignments, readable_works
from assessment.documents.results_table import (
    results_archive,
    results_csv,
    results_xlsx,
    unknown_to_the_roster,
)
from assessment.models import Assignment
from assessment.models.results_out import ResultRow, result_rows
from practicals.gate import PersonRequest

XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"


def as_csv(request: PersonRequest, uuid: UUID) -> HttpResponse:
    assignment, rows = _results(request, uuid)
    return _file(assignment, results_csv(assignment, rows), "csv", "text/csv; charset=utf-8")


def as_xlsx(request: PersonRequest, uuid: UUID) -> HttpResponse:
    assignment, rows = _results(request, uuid)
    return _file(assignment, results_xlsx(assignment, rows), "xlsx", XLSX)


def as_roster_results(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """Only for a class that came from a roster: the other system knows no other."""
    assignment, rows = _results(request, uuid)
    identity = getattr(assignment.teaching_class, "roster_identity", None)
    if identity is None or not (identity.school and identity.term):
        messages.error(
            request,
            "This class did not come from a roster with school and term, so the other system would not know "
            "it. Take the results as CSV or XLSX instead.",
        )
        return redirect("marking:assignment", uuid=uuid)
    if len(unknown_to_the_roster(rows)) == len(rows):
        messages.error(request, "No learner of this class came from the roster. Take CSV or XLSX instead.")
        return redirect("marking:assignment", uuid=uuid)
    return _file(assignment, results_archive(assignment, rows, identity), "zip", "application/zip")


def _results(request: PersonRequest, uuid: UUID) -> tuple[Assignment, list[ResultRow]]:
    found = readable_assignments(request.user).for_page().select_related("teaching_class__roster_identity")
    assignment: Assignment = get_object_or_404(found, uuid=uuid)
    return assignment, result_rows(readable_works(request.user), assignment)


def _file(assignment: Assignment, content: bytes, ending: str, media_type: str) -> HttpResponse:
    name = slugify(f"{assignment.teaching_class} {assignment.brief.title} results")[:80]
    return HttpResponse(
        content,
        content_type=media_type,
        headers={"Content-Disposition": f'attachment; filename="{name}.{ending}"'},
    )
