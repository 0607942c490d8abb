"""The front of one paper, followed by who leads the lesson."""

from uuid import UUID

from django.http import HttpResponse
from django.shortcuts import get_object_or_404
from django.urls import reverse

from practicals.access import led_papers
from practicals.models import Paper
from practicals.pages.board.around import StaffRequest, trail_from
from practicals.pages.front_tracker import answer


def front(request: StaffRequest, uuid: UUID) -> HttpResponse:
    papers = Paper.objects.for_bench().filter(pk__in=led_papers(request.user).values("pk"))
    paper = get_object_or_404(papers, uuid=uuid)
    session, name = paper.group.session, f"Group {paper.group.number}, paper {paper.letter}"
    to_paper = (name, reverse("board:paper", args=[uuid]))
    around = {"session": session, "paper": paper, "name": name}
    return answer(
        request,
        request.user,
        paper,
        address="board:front",
        template="practicals/front/board.html",
        around={**around, "trail": trail_from(session, to_paper, ("Solvent front", ""))},
    )
