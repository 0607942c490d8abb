"""A sampled portfolio as PDF, and the page on which anyone checks a document."""

from typing import Any
from uuid import UUID

from django import forms
from django.contrib.auth.decorators import login_not_required
from django.core.files.uploadedfile import UploadedFile
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.csrf import csrf_exempt, csrf_protect

from assessment.access import readable_plans, verifiable_portfolios
from assessment.actions.check_document import LARGEST_BYTES, check_document, check_evidence_hash
from assessment.documents.sampling_report import make_report
from assessment.documents.verification_record import make_record
from assessment.models.samples import whole
from assessment.pages.document_answer import document_answer
from assessment.pages.portfolio_answer import portfolio_answer
from assessment.pages.verify.upload_limit import UploadLimit
from practicals.gate import PersonRequest

TOO_LARGE = (
    f"The file is larger than {LARGEST_BYTES // 1024**2} MB. Take the portfolios out of a class set and "
    "check them one by one."
)


class DocumentForm(forms.Form):
    document = forms.FileField(
        label="The document",
        help_text=f"A portfolio as PDF, or a class set, up to {LARGEST_BYTES // 1024**2} MB. It is not kept.",
        allow_empty_file=True,
        error_messages={"required": "Choose the file that you want to check."},
    )

    def clean_document(self) -> "UploadedFile[Any]":
        document: UploadedFile[Any] = self.cleaned_data["document"]
        if (document.size or 0) > LARGEST_BYTES:
            raise forms.ValidationError(TOO_LARGE)
        return document


@never_cache
def portfolio_pdf(request: HttpRequest, uuid: UUID) -> HttpResponse:
    sampled = get_object_or_404(verifiable_portfolios(request.user).select_related("submission"), uuid=uuid)
    return portfolio_answer(request, sampled.submission, back=reverse("verify:portfolio", args=[uuid]))


@never_cache
def record_pdf(request: PersonRequest, uuid: UUID) -> HttpResponse:
    sampled = get_object_or_404(whole(verifiable_portfolios(request.user)), uuid=uuid)
    back = reverse("verify:portfolio", args=[uuid])
    return document_answer(
        request, lambda: make_record(by=request.user, sampled=sampled, now=timezone.now()), back=back
    )


@never_cache
def report_pdf(request: PersonRequest, uuid: UUID) -> HttpResponse:
    plan = get_object_or_404(readable_plans(request.user).select_related("unit", "widens"), uuid=uuid)
    back = reverse("verify:plan", args=[uuid])
    return document_answer(
        request, lambda: make_report(by=request.user, plan=plan, now=timezone.now()), back=back
    )


@login_not_required
@csrf_exempt  # only so that the limit stands before the body is read: `_check` demands the token
def check(request: HttpRequest) -> HttpResponse:
    """Anyone may ask; the answer names nobody."""
    limit = UploadLimit(request, LARGEST_BYTES)
    if request.method == "POST" and not request.user.is_authenticated:
        # Of someone who is signed in the once-only gate has read the form already.
        request.upload_handlers.insert(0, limit)
    return _check(request, limit)


@csrf_protect
def _check(request: HttpRequest, limit: UploadLimit) -> HttpResponse:
    form = DocumentForm()
    found = None
    if request.method == "POST":
        form = DocumentForm(request.POST, request.FILES)
        if form.is_valid():
            found = check_document(content=form.cleaned_data["document"].read())
        elif limit.reached:
            form.errors["document"] = form.error_class([TOO_LARGE])
    elif evidence := request.GET.get("evidence", "")[:200]:
        found = check_evidence_hash(sha256=evidence)
    context = {"form": form, "found": found, "evidence": request.GET.get("evidence", "")[:200]}
    return render(request, "assessment/check/check.html", context)
