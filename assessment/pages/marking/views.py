from typing import Any
from uuid import UUID

from django.core.paginator import Paginator
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, render
from django.urls import reverse

from assessment.access import decidable_works, readable_assignments, readable_works
from assessment.actions.declare_assessor import WORDS
from assessment.models import Submission, Work
from assessment.models.attached_files import files_of
from assessment.models.attempt_state import grant_of, standing_result
from assessment.models.holding import held
from assessment.models.marking import newest_submission, with_counts
from assessment.models.questions import questions_about
from assessment.models.results import grade_of
from assessment.pages.marking.forms import DecisionForm, FeedbackForm, decision_forms, feedback_form
from assessment.pages.marking.grid import DECIDED, rows_of, state_of
from assessment.pages.marking.portfolio_page import criteria_shown, evidence_shown
from practicals.gate import PersonRequest

PER_PAGE = 50
TRAIL = ("Marking", "marking:assignments")


def assignments(request: PersonRequest) -> HttpResponse:
    found = with_counts(readable_assignments(request.user), request.user)
    page = Paginator(found, PER_PAGE).get_page(request.GET.get("page"))
    return render(request, "assessment/marking/assignments.html", {"page_obj": page})


def assignment(request: PersonRequest, uuid: UUID) -> HttpResponse:
    found = get_object_or_404(readable_assignments(request.user).for_page(), uuid=uuid)
    works = list(readable_works(request.user).filter(assignment=found).for_marking())
    criteria = list(found.brief.criteria.all())
    rows = rows_of(works, criteria, request.user)
    context = {
        "assignment": found,
        "criteria": criteria,
        "rows": rows,
        "releasable": any(row.mine and row.state.word == DECIDED for row in rows),
        "trail": [(TRAIL[0], reverse(TRAIL[1])), (str(found), "")],
    }
    return render(request, "assessment/marking/assignment.html", context)


def work(request: PersonRequest, uuid: UUID) -> HttpResponse:
    return work_page(request, get_object_or_404(readable_works(request.user).for_page(), uuid=uuid))


def work_page(
    request: PersonRequest,
    found: Work,
    *,
    forms: list[DecisionForm] | None = None,
    feedback: FeedbackForm | None = None,
) -> HttpResponse:
    """The page of one learner's work; `forms` and `feedback` carry what was typed and refused."""
    submission = newest_submission(found)
    mine = decidable_works(request.user).filter(pk=found.pk).exists()
    evidence = evidence_shown(found, submission)
    if mine and submission:
        forms = forms or decision_forms(submission, request.user)
    context = {
        "work": found,
        "submission": submission,
        "state": state_of(found, submission),
        "evidence": evidence,
        "files": files_of(found, submission),
        "questions": questions_about(found),
        "criteria": criteria_shown(found, submission, evidence, forms or []),
        "mine": mine,
        "grant": grant_of(submission) if submission else None,
        "counts": standing_result(found),
        "refused": [form.criterion for form in forms or [] if form.errors],
        "other": _next_of_class(request, found),
        "trail": [
            (TRAIL[0], reverse(TRAIL[1])),
            (str(found.assignment), reverse("marking:assignment", args=[found.assignment.uuid])),
            (found.learner.name, ""),
        ],
    }
    if submission:
        context |= _result(submission, feedback)
    return render(request, "assessment/marking/work.html", context)


def _result(submission: Submission, form: FeedbackForm | None) -> dict[str, Any]:
    given = getattr(submission, "feedback", None)
    grade = grade_of(submission)
    if grade.undecided:
        step = "decide"
    elif not hasattr(submission, "assessor_declaration"):
        step = "declare"
    elif given is None:
        step = "feedback"
    else:
        step = "done" if given.released_at else "release"
    return {
        "grade": grade,
        "given": given,
        "declared": getattr(submission, "assessor_declaration", None),
        "declaration_words": WORDS,
        "held": step == "release" and held(submission),
        "feedback_form": form or feedback_form(given),
        "next_step": step,
    }


def _next_of_class(request: PersonRequest, found: Work) -> Work | None:
    """The next learner in the class's order, for going through it one by one."""
    works = list(readable_works(request.user).in_class_order(found.assignment))
    places = [work.pk for work in works]
    after = works[places.index(found.pk) + 1 :] if found.pk in places else []
    return after[0] if after else None
