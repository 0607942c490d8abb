"""A portfolio as an answer: the file, or a page that says why it cannot be made here."""

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.utils.http import content_disposition_header
from django.utils.text import slugify

from assessment.documents.make_portfolio import make_portfolio
from assessment.models import Submission
from reagents.rendering import PdfUnavailable


def portfolio_answer(request: HttpRequest, submission: Submission | None, *, back: str) -> HttpResponse:
    """Make it for whoever asks. The caller has found the submission among what they may read."""
    if submission is None:
        raise Http404
    try:
        issued, content = make_portfolio(by=request.user, submission=submission, now=timezone.now())  # type: ignore[arg-type]
    except PdfUnavailable as error:
        return render(request, "assessment/check/no_pdf.html", {"why": str(error), "back": back}, status=503)
    name = f"{slugify(issued.title, allow_unicode=True)[:80] or 'portfolio'}.pdf"
    return HttpResponse(
        content,
        headers={"Content-Type": "application/pdf", "Content-Disposition": _as_file(name)},
    )


def _as_file(name: str) -> str:
    return content_disposition_header(as_attachment=True, filename=name) or "attachment"
