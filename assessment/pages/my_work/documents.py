"""The learner's own portfolio: what they handed in and, once it is released, the result."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache

from assessment.access import own_works
from assessment.documents.feedback_record import make_feedback_record
from assessment.models.marking import released_submission
from assessment.pages.document_answer import document_answer
from assessment.pages.portfolio_answer import portfolio_answer
from practicals.gate import PersonRequest


@never_cache
def portfolio(request: HttpRequest, uuid: UUID) -> HttpResponse:
    if getattr(request.user, "bench_session", None):
        raise Http404  # a bench code opens the bench; results need one's own passphrase
    work = get_object_or_404(own_works(request.user), uuid=uuid)
    return portfolio_answer(request, work.submissions.last(), back=reverse("my_work:work", args=[uuid]))


@never_cache
def feedback_record(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """Of the newest attempt that is released to this learner."""
    if request.user.bench_session:
        raise Http404
    submission = released_submission(get_object_or_404(own_works(request.user), uuid=uuid))
    if submission is None:
        raise Http404
    return document_answer(
        request,
        lambda: make_feedback_record(by=request.user, submission=submission, now=timezone.now()),
        back=reverse("my_work:work", args=[uuid]),
    )
