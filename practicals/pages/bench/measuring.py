"""The form of a paper's readings: saved while measuring, amended after locking."""

from typing import Any, TypeVar
from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone

from practicals.actions.amend_readings import NothingChanged, NotLocked, SessionClosed, amend_readings
from practicals.actions.save_readings import (
    BenchWorkEnded,
    NoSuchLane,
    ReadingsLocked,
    SpotWithoutPlace,
    save_readings,
)
from practicals.models import Paper, ReadingSet
from practicals.models.review import drawing_of, entry_of, facts_of, review
from practicals.pages.bench.desk import (
    LearnerRequest,
    around,
    comparison,
    help_shown,
    number_in,
    own_set,
    paper_of,
    photos_of,
    remarks,
    standards_of,
)
from practicals.pages.bench.forms import AmendmentForm, ReadingsForm
from reagents.models import Stale

Form = TypeVar("Form", bound=ReadingsForm)


def readings(request: LearnerRequest, uuid: UUID) -> HttpResponse:
    """Enter and save one's own readings, until they are locked."""
    found = paper_of(request.user, uuid)
    mine = own_set(request.user, found)
    if request.method == "POST":
        return _save(request, found, mine)
    if found.group.session.readings_locked_at or (mine is not None and mine.locked_at):
        return redirect("bench:paper", uuid=uuid)
    form = _form(ReadingsForm, found, mine, another_in=number_in(request.GET.get("more")))
    return _page(request, found, mine, form)


def amend(request: LearnerRequest, uuid: UUID) -> HttpResponse:
    """Change locked readings, with a reason."""
    found = paper_of(request.user, uuid)
    mine = own_set(request.user, found)
    if mine is None or not mine.locked_at:
        return redirect("bench:readings", uuid=uuid)
    if found.group.session.closed_at:
        messages.warning(request, str(SessionClosed()))
        return redirect("bench:paper", uuid=uuid)
    if request.method == "POST":
        return _amend(request, found, mine)
    form = _form(AmendmentForm, found, mine, another_in=number_in(request.GET.get("more")))
    return _page(request, found, mine, form, template="amend")


def _save(request: LearnerRequest, paper: Paper, mine: ReadingSet | None) -> HttpResponse:
    if mine is not None and mine.locked_at:
        return _too_late(request, paper, mine)
    form = _form(ReadingsForm, paper, mine, request.POST, another_in=number_in(request.POST.get("more")))
    if not form.is_valid() or form.entry is None:
        return _page(request, paper, mine, form)
    try:
        save_readings(
            by=request.user,
            paper=paper,
            entry=form.entry,
            seen_version=number_in(request.POST.get("version")),
            now=timezone.now(),
        )
    except Stale as stale:
        return _stale(request, paper, form, stale)
    except ReadingsLocked as locked:
        return _too_late(request, paper, own_set(request.user, paper) or locked.readings)
    except (BenchWorkEnded, NoSuchLane, SpotWithoutPlace) as problem:
        form.add_error(None, str(problem))
        return _page(request, paper, mine, form)
    messages.success(request, "Your readings are saved.")
    return redirect(_next(request, paper, "readings"))


def _amend(request: LearnerRequest, paper: Paper, mine: ReadingSet) -> HttpResponse:
    another_in = number_in(request.POST.get("more"))
    form = _form(AmendmentForm, paper, mine, request.POST, another_in=another_in)
    if another_in:
        form.errors.pop("reason", None)
    if another_in or not form.is_valid() or form.entry is None:
        return _page(request, paper, mine, form, template="amend")
    try:
        amend_readings(
            by=request.user,
            readings=mine,
            entry=form.entry,
            reason=form.cleaned_data["reason"],
            seen_version=number_in(request.POST.get("version")) or 0,
            now=timezone.now(),
        )
    except Stale as stale:
        return _stale(request, paper, form, stale, template="amend")
    except (NothingChanged, NotLocked, SessionClosed, NoSuchLane, SpotWithoutPlace) as problem:
        form.add_error(None, str(problem))
        return _page(request, paper, mine, form, template="amend")
    messages.success(request, "The change is saved with its reason. What stood before is kept as well.")
    return redirect("bench:paper", uuid=paper.uuid)


def _too_late(request: LearnerRequest, paper: Paper, mine: ReadingSet | None) -> HttpResponse:
    """What was typed into a form that is now locked becomes the start of an amendment."""
    form = _form(AmendmentForm, paper, mine, request.POST)
    form.is_valid()
    form.add_error(None, str(ReadingsLocked()))
    return _page(request, paper, mine, form, template="amend")


def _stale(
    request: LearnerRequest, paper: Paper, form: ReadingsForm, stale: Stale, *, template: str = "readings"
) -> HttpResponse:
    """Both texts: what was typed stays in the fields, what is saved stands beside it."""
    now_saved = own_set(request.user, paper)
    form.add_error(None, str(stale))
    differences = comparison(form.entry, entry_of(now_saved)) if now_saved and form.entry else []
    return _page(request, paper, now_saved, form, template=template, differences=differences)


def _page(
    request: LearnerRequest,
    paper: Paper,
    mine: ReadingSet | None,
    form: ReadingsForm,
    *,
    template: str = "readings",
    differences: list[tuple[str, str, str]] | None = None,
) -> HttpResponse:
    checked = review(mine) if mine is not None and not form.is_bound else None
    shown = help_shown(request, paper, checked) if checked else ()
    context = around(paper, "Readings") | {
        "mine": mine,
        "form": form,
        "version": _version(request, mine, differences is not None),
        "remarks": remarks(shown),
        "photos": photos_of(request.user, paper),
        "drawing": drawing_of(paper, checked if shown else None, form.typed_entry()),
        "differences": differences,
    }
    return render(request, f"practicals/bench/{template}.html", context)


def _version(request: LearnerRequest, mine: ReadingSet | None, compared: bool) -> str:
    """The version that this form knows: the newest only when the page shows what is saved now."""
    if request.method == "POST" and not compared:
        return str(number_in(request.POST.get("version")) or "")
    return str(mine.version) if mine else ""


def _form(
    kind: type[Form],
    paper: Paper,
    mine: ReadingSet | None,
    data: Any = None,
    *,
    another_in: int | None = None,
) -> Form:
    return kind(
        data,
        facts=facts_of(paper),
        standards=standards_of(paper.group.session.practical),
        saved=entry_of(mine) if mine is not None else None,
        another_in=another_in,
    )


def _next(request: LearnerRequest, paper: Paper, here: str) -> str:
    """Where saving leads: on to finishing, to one more row, or back to the same page."""
    if "finish" in request.POST:
        return reverse("bench:lock", args=[paper.uuid])
    page = reverse(f"bench:{here}", args=[paper.uuid])
    lane = number_in(request.POST.get("more"))
    return f"{page}?more={lane}#lane-{lane}" if lane else page
