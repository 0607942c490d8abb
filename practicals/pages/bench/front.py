"""The front of one's own group's paper on its way up."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404

from practicals.access import followed_papers
from practicals.models import Paper
from practicals.pages.bench.desk import LearnerRequest, around
from practicals.pages.front_tracker import answer


def front(request: LearnerRequest, uuid: UUID) -> HttpResponse:
    papers = Paper.objects.for_bench().filter(pk__in=followed_papers(request.user).values("pk"))
    paper = get_object_or_404(papers, uuid=uuid)
    return answer(
        request,
        request.user,
        paper,
        address="bench:front",
        template="practicals/front/bench.html",
        around=around(paper, "Solvent front"),
    )
