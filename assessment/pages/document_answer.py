"""A document that was just made as an answer: the file, or a page that says why it cannot be had."""

from collections.abc import Callable

from django.core.exceptions import ValidationError
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils.http import content_disposition_header
from django.utils.text import slugify

from assessment.models import IssuedDocument
from reagents.rendering import PdfUnavailable


def document_answer(
    request: HttpRequest, make: Callable[[], tuple[IssuedDocument, bytes]], *, back: str
) -> HttpResponse:
    """Make it and send it as a file. The caller has checked who asks."""
    try:
        issued, content = make()
    except PdfUnavailable as error:
        return _no_pdf(request, str(error), back, 503)
    except ValidationError as error:
        return _no_pdf(request, " ".join(error.messages), back, 409)
    name = f"{slugify(issued.title, allow_unicode=True)[:80] or 'document'}.pdf"
    disposition = content_disposition_header(as_attachment=True, filename=name) or "attachment"
    return HttpResponse(
        content, headers={"Content-Type": "application/pdf", "Content-Disposition": disposition}
    )


def _no_pdf(request: HttpRequest, why: str, back: str, status: int) -> HttpResponse:
    return render(request, "assessment/check/no_pdf.html", {"why": why, "back": back}, status=status)
