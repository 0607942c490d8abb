"""Two sets of readings that agree beyond chance: the question to the teacher, and the answer."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect
from django.utils import timezone

from practicals.access import endable_sessions
from practicals.actions.answer_same_figures import CannotAnswer, NotBoth, answer_same_figures
from practicals.models import Paper
from practicals.models.equal_figures import EqualFigures, equal_figures
from practicals.models.session import learners_of
from practicals.pages.board.around import StaffRequest
from practicals.pages.board.forms import SameFiguresForm


def questions_on(request: StaffRequest, paper: Paper) -> list[tuple[EqualFigures, SameFiguresForm]]:
    """For whoever may end the bench work, each with a form; nobody else who leads a lesson sees them."""
    if not endable_sessions(request.user).filter(pk=paper.group.session_id).exists():
        return []
    found = equal_figures([paper.group.session_id])
    return [
        (
            one,
            SameFiguresForm(prefix=str(place), initial={"first": one.first.uuid, "second": one.second.uuid}),
        )
        for place, one in enumerate(one for one in found if one.paper == paper.pk)
    ]


def answer(request: StaffRequest, uuid: UUID) -> HttpResponse:
    papers = Paper.objects.filter(group__session__in=endable_sessions(request.user))
    paper = get_object_or_404(papers.select_related("group__session"), uuid=uuid)
    if request.method == "POST":
        _keep(request, paper)
    return redirect("board:paper", uuid=uuid)


def _keep(request: StaffRequest, paper: Paper) -> None:
    form = SameFiguresForm(request.POST, prefix=request.POST.get("place", "0")[:4])
    if not form.is_valid():
        problem = next(iter(form.errors.values()))[0]
        messages.error(request, f"The answer is not kept. {problem}")
        return
    people = {one.uuid: one for one in learners_of(paper.group.session)}
    first, second = (people.get(form.cleaned_data[name]) for name in ("first", "second"))
    if first is None or second is None:
        messages.error(request, f"The answer is not kept. {NotBoth()}")
        return
    try:
        answer_same_figures(
            by=request.user,
            paper=paper,
            first=first,
            second=second,
            text=form.cleaned_data["text"],
            now=timezone.now(),
        )
    except CannotAnswer as problem:
        messages.error(request, f"The answer is not kept. {problem}")
    else:
        messages.success(request, "The answer is kept. The verifier sees the question and the answer.")
