"""The learner's own portfolio: what they handed in and, once it is released, the result."""

from uuid import UUID

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse
from django.views.decorators.cache import never_cache

from assessment.access import own_works
from assessment.pages.portfolio_answer import portfolio_answer


@never_cache
def portfolio(request: HttpRequest, uuid: UUID) -> HttpResponse:
    if getattr(request.user, "bench_session", None):
        raise Http404  # a bench code opens the bench; results need one's own passphrase
    work = get_object_or_404(own_works(request.user), uuid=uuid)
    return portfolio_answer(request, work.submissions.last(), back=reverse("my_work:work", args=[uuid]))
