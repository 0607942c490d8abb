"""Observation record and witness statement as files."""

from collections.abc import Callable
from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.utils import timezone
from django.utils.http import content_disposition_header
from django.utils.text import slugify

from assessment.access import readable_observations, readable_statements
from assessment.documents.seen_at_bench import make_observation_record, make_witness_statement
from assessment.models import IssuedDocument
from practicals.gate import PersonRequest
from reagents.rendering import PdfUnavailable


def record_pdf(request: PersonRequest, uuid: UUID) -> HttpResponse:
    whole = readable_observations(request.user).select_related("learner", "assessor", "session__practical")
    found = get_object_or_404(whole.prefetch_related("criteria", "notes"), uuid=uuid)
    return _file(request, lambda: make_observation_record(by=request.user, record=found, now=timezone.now()))


def statement_pdf(request: PersonRequest, uuid: UUID) -> HttpResponse:
    whole = readable_statements(request.user).select_related(
        "learner", "witness", "asked_by", "accepted_by", "session__practical"
    )
    found = get_object_or_404(whole.prefetch_related("criteria"), uuid=uuid)
    return _file(
        request, lambda: make_witness_statement(by=request.user, statement=found, now=timezone.now())
    )


def _file(request: PersonRequest, make: Callable[[], tuple[IssuedDocument, bytes]]) -> HttpResponse:
    try:
        issued, content = make()
    except PdfUnavailable as error:
        back = request.META.get("HTTP_REFERER", "/")
        return render(request, "assessment/check/no_pdf.html", {"why": str(error), "back": back}, status=503)
    name = f"{slugify(issued.title, allow_unicode=True)[:80] or 'record'}.pdf"
    disposition = content_disposition_header(as_attachment=True, filename=name) or "attachment"
    return HttpResponse(
        content, headers={"Content-Type": "application/pdf", "Content-Disposition": disposition}
    )
