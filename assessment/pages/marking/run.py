"""The marking run: one criterion across the class, learner by learner."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone

from assessment.access import decidable_works, readable_assignments
from assessment.actions.decide_criteria import SomeRefused, decide_criteria
from assessment.models import Assignment, Criterion, Work
from assessment.models.drafts import decision_starts
from assessment.models.marking_run import REPEATED_FROM, MarkingRun, Place, marking_run
from assessment.pages.marking.deciding import keep_drafts
from assessment.pages.marking.forms import DecisionForm
from assessment.pages.marking.portfolio_page import EvidenceShown, criteria_shown, evidence_shown
from assessment.pages.marking.references import references_for
from practicals.gate import PersonRequest


def run(request: PersonRequest, uuid: UUID, code: str) -> HttpResponse:
    assignment = get_object_or_404(readable_assignments(request.user).for_page(), uuid=uuid)
    criterion = _criterion(assignment, code)
    going = _run(request, assignment, criterion)
    place = going.at(request.POST.get("work") or request.GET.get("at", ""))
    if place is None:
        return render(request, "assessment/marking/run_done.html", _context(assignment, going))
    work = get_object_or_404(decidable_works(request.user).for_page(), pk=place.work.pk)
    evidence = evidence_shown(work, place.submission)
    form = _form(request, criterion, place, evidence)
    if request.method == "POST" and form.is_valid() and _keep(request, going, place, form):
        after = going.to_decide_after(place.work)
        here = reverse("marking:run", args=[assignment.uuid, criterion.code])
        return redirect(f"{here}?at={after.work.uuid}" if after else here)
    context = _context(assignment, going) | _place(work, going, place, evidence, form)
    return render(request, "assessment/marking/run.html", context)


def _criterion(assignment: Assignment, code: str) -> Criterion:
    found = {criterion.code: criterion for criterion in assignment.brief.criteria.all()}
    if code not in found:
        raise Http404
    return found[code]


def _run(request: PersonRequest, assignment: Assignment, criterion: Criterion) -> MarkingRun:
    works = decidable_works(request.user).in_class_order(assignment).for_marking()
    return marking_run(criterion, list(works))


def _form(
    request: PersonRequest, criterion: Criterion, place: Place, evidence: EvidenceShown
) -> DecisionForm:
    # Another attempt may have come since the page was shown; the form names the one that it was about.
    data = request.POST if request.method == "POST" else None
    if data is not None and data.get("submission") != str(place.submission.uuid):
        raise Http404
    start = decision_starts(place.submission, request.user)[criterion.pk]
    form = DecisionForm(criterion, start, data, references=references_for(criterion, evidence))
    form.focus_on_answers()
    return form


def _keep(request: PersonRequest, going: MarkingRun, place: Place, form: DecisionForm) -> bool:
    if form.as_draft:
        return keep_drafts(request, place.submission, [form])
    seen = {str(decision.uuid): decision for decision in place.submission.decisions.all()}
    chosen = form.chosen(seen)
    if chosen is None:
        return True
    try:
        decide_criteria(by=request.user, submission=place.submission, decisions=[chosen], now=timezone.now())
    except SomeRefused as refused:
        form.refuse(refused.errors[going.criterion.pk])
        return False
    messages.success(request, f"{going.criterion.code}, {place.work.learner}: {chosen.outcome}.")
    _warn_of_same_words(request, going, place.work, chosen.comment)
    return True


def _warn_of_same_words(request: PersonRequest, going: MarkingRun, work: Work, comment: str) -> None:
    same = going.same_comment(comment, work)
    if len(same) + 1 >= REPEATED_FROM:
        messages.warning(
            request,
            f"The same comment on {going.criterion.code} now stands with {len(same) + 1} learners. A comment "
            "should say where this learner's evidence is and why it is enough or not.",
        )


def _context(assignment: Assignment, going: MarkingRun) -> dict[str, Any]:
    page = reverse("marking:assignment", args=[assignment.uuid])
    return {
        "assignment": assignment,
        "run": going,
        "criterion": going.criterion,
        "criteria": assignment.brief.criteria.all(),
        "trail": [
            ("Marking", reverse("marking:assignments")),
            (str(assignment), page),
            (f"{going.criterion.code} across the class", ""),
        ],
    }


def _place(
    work: Work, going: MarkingRun, place: Place, evidence: EvidenceShown, form: DecisionForm
) -> dict[str, Any]:
    before, after = going.beside(place.work)
    shown = criteria_shown(work, place.submission, evidence, [form])
    return {
        "work": work,
        "submission": place.submission,
        "evidence": evidence,
        "shown": next(one for one in shown if one.criterion.pk == going.criterion.pk),
        "form": form,
        "before": before,
        "after": after,
        "kinds": {need.kind for need in going.criterion.evidence_needs()},
    }
