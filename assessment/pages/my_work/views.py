"""A learner's own work: read what is asked, write it up, submit it once, read the result."""

from uuid import UUID

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from assessment.access import own_observations_for, own_works, own_works_drawing_on
from assessment.actions.save_writing import AlreadySubmitted, save_writing
from assessment.actions.submit_work import DECLARATION, submit_work
from assessment.models import Submission, Work
from assessment.models.attempt_state import open_attempt, standing_result
from assessment.models.frozen import frozen_evidence
from assessment.pages.my_work.attached import attachment_lines, frozen_lines
from assessment.pages.my_work.forms import DeclarationForm, WritingForm
from assessment.pages.my_work.standing import latest, result_of, standing_of, state_of, whole, work_lines
from practicals.gate import PersonRequest
from practicals.models import User
from reagents.models import Stale


def works(request: PersonRequest) -> HttpResponse:
    """All works; from a session's page straight to the one that draws on it."""
    user = request.user
    found = _drawing_on(user, request.GET.get("session", ""))
    if len(found) == 1:
        return redirect("my_work:work", found[0].uuid)
    return render(request, "assessment/my_work/works.html", {"lines": work_lines(user, timezone.now())})


def _drawing_on(user: User, session: str) -> list[Work]:
    try:
        return list(own_works_drawing_on(user, UUID(session))[:2])
    except ValueError:
        return []


def work(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """The work's page: what is asked and, until it is submitted, the writing; afterwards what was frozen."""
    found = _own_work(request, uuid)
    form = WritingForm(request.POST or None, initial=_saved(found))
    earlier = _attempt_asked_for(request, found)
    if open_attempt(found) is None or earlier:
        return _submitted_page(request, found, form, earlier)
    if request.method != "POST" or not form.is_valid():
        return _open_page(request, found, form)
    try:
        _save(request, found, form)
    except Stale as error:
        return _open_page(request, found, _with_newest(request, error.record), stale=error)
    except AlreadySubmitted:
        return _submitted_page(request, _own_work(request, uuid), form)
    except ValidationError as error:
        form.add_error(None, error)
        return _open_page(request, found, form)
    return redirect("my_work:work", uuid=uuid)


def _attempt_asked_for(request: PersonRequest, found: Work) -> Submission | None:
    """An attempt chosen by its number, to be read again."""
    wanted = request.GET.get("attempt", "") if request.method != "POST" else ""
    return next((one for one in found.submissions.all() if str(one.attempt) == wanted), None)


def submit(request: PersonRequest, uuid: UUID) -> HttpResponse:
    """A check list of what will be frozen, the declaration, and the act itself."""
    user, found = request.user, _own_work(request, uuid)
    form = DeclarationForm(request.POST or None, words=DECLARATION)
    if request.method == "POST":
        try:
            submit_work(
                by=user, work=found, declared=request.POST.get("declared") == "on", now=timezone.now()
            )
        except AlreadySubmitted:
            messages.info(request, "This work was submitted before; nothing was changed.")
            return redirect("my_work:work", uuid=uuid)
        except ValidationError as error:
            form.add_error("declared" if "declared" not in request.POST else None, error)
        else:
            messages.success(request, "Submitted. What you handed in is kept exactly as it stands below.")
            return redirect("my_work:work", uuid=uuid)
    attempt = open_attempt(found)
    if attempt is None:
        return redirect("my_work:work", uuid=uuid)
    context = {
        "attempt": attempt,
        "attachments": attachment_lines(found),
        "work": found,
        "form": form,
        "standing": standing_of(user, found),
        "now": timezone.now(),
    }
    return render(request, "assessment/my_work/submit.html", context)


def _own_work(request: PersonRequest, uuid: UUID) -> Work:
    return get_object_or_404(whole(own_works(request.user)), uuid=uuid)


def _saved(found: Work) -> dict[str, object]:
    return {"conclusion": found.conclusion, "evaluation": found.evaluation, "version": found.version}


def _save(request: PersonRequest, found: Work, form: WritingForm) -> None:
    save_writing(
        by=request.user,
        work=found,
        conclusion=form.cleaned_data["conclusion"],
        evaluation=form.cleaned_data["evaluation"],
        seen_version=form.cleaned_data["version"],
        now=timezone.now(),
    )
    messages.success(request, "Saved. You can go on writing until you submit it.")


def _with_newest(request: PersonRequest, saved: object) -> WritingForm:
    """The typed text under the version that is saved now, so that saving again is a choice."""
    assert isinstance(saved, Work)  # noqa: S101  (only a work is saved here; this tells the type checker)
    data = request.POST.copy()
    data["version"] = str(saved.version)
    return WritingForm(data)


def _open_page(
    request: PersonRequest, found: Work, form: WritingForm, stale: Stale | None = None
) -> HttpResponse:
    user, now = request.user, timezone.now()
    context = {
        "work": found,
        "form": form,
        "stale": stale,
        "saved": stale.record if stale else None,
        "standing": standing_of(user, found),
        "state": state_of(found, now, at_bench=user.bench_session is not None),
        "attempt": open_attempt(found),
        "before": latest(found),
        "records": own_observations_for(user, found).select_related("assessor", "session__practical"),
        "attachments": attachment_lines(found),
    }
    return render(request, "assessment/my_work/work.html", context, status=409 if stale else 200)


def _submitted_page(
    request: PersonRequest, found: Work, form: WritingForm, earlier: Submission | None = None
) -> HttpResponse:
    """What was handed in. Text typed into a page that was still open is shown, but no longer kept."""
    user, submission = request.user, earlier or latest(found)
    assert submission is not None  # noqa: S101  (asked for only then; this tells the type checker)
    at_bench = user.bench_session is not None
    evidence = frozen_evidence(submission)
    context = {
        "work": found,
        "submission": submission,
        "attempts": [one for one in found.submissions.all() if one.pk != submission.pk],
        "still_open": open_attempt(found),
        "counts": None if at_bench else standing_result(found),
        "attachments": frozen_lines(found, evidence.attachments),
        "evidence": evidence,
        "result": None if at_bench else result_of(submission),
        "at_bench": at_bench,
        "state": state_of(found, timezone.now(), at_bench=at_bench),
        "too_late": form if form.is_bound else None,
    }
    status = 409 if form.is_bound else 200
    return render(request, "assessment/my_work/submitted.html", context, status=status)
