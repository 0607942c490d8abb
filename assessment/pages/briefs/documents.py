"""Briefs as PDF: the verifier's copy of an edition, and the learners' copy of an assignment."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.utils.http import content_disposition_header
from django.utils.text import slugify
from django.views.decorators.cache import never_cache

from assessment.access import own_works, readable_assignments, readable_briefs
from assessment.documents.brief import make_brief
from assessment.models import Assignment, Brief
from practicals.gate import PersonRequest
from reagents.rendering import PdfUnavailable


@never_cache
def brief_pdf(request: PersonRequest, uuid: UUID) -> HttpResponse:
    found = get_object_or_404(readable_briefs(request.user).whole(), uuid=uuid)
    return _answer(request, found, None, back=reverse("briefs:brief", args=[uuid]))


@never_cache
def assignment_pdf(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """As it is handed out, for the teacher to print."""
    found = get_object_or_404(readable_assignments(request.user).for_page(), uuid=uuid)
    return _answer(request, found.brief, found, back=reverse("marking:assignment", args=[uuid]))


@never_cache
def my_brief(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """The same for a learner, of their own work."""
    work = get_object_or_404(own_works(request.user), uuid=uuid)
    found = Assignment.objects.for_page().get(pk=work.assignment_id)
    return _answer(request, found.brief, found, back=reverse("my_work:work", args=[uuid]))


def _answer(
    request: PersonRequest, brief: Brief, assignment: Assignment | None, *, back: str
) -> HttpResponse:
    try:
        issued, content = make_brief(by=request.user, brief=brief, assignment=assignment, now=timezone.now())
    except PdfUnavailable as error:
        context = {"why": str(error), "back": back}
        return render(request, "assessment/briefs/no_pdf.html", context, status=503)
    name = f"{slugify(issued.title, allow_unicode=True)[:80] or 'brief'}.pdf"
    disposition = content_disposition_header(as_attachment=True, filename=name) or "attachment"
    headers = {"Content-Type": "application/pdf", "Content-Disposition": disposition}
    return HttpResponse(content, headers=headers)
