"""One learner at the bench: readings, checks, help, notes, and another paper to measure."""

from collections.abc import Callable
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from practicals.actions.give_help import HelpRefused, give_help
from practicals.actions.give_paper import CannotGive, ended_without_result, give_paper
from practicals.actions.note_at_bench import NoteRefused, note_at_bench
from practicals.actions.release_help import CannotReleaseHelp, release_help
from practicals.models import GroupMember, Paper, Session
from practicals.models.bench_record import learner_record, places
from practicals.models.board import papers_of
from practicals.models.help_setting import help_setting_for, higher_than
from practicals.pages.board.around import StaffRequest, session_led, trail_from
from practicals.pages.board.forms import GivePaperForm, HelpForm, NoteForm, ReleaseHelpForm


def learner(request: StaffRequest, uuid: UUID, learner: UUID) -> HttpResponse:
    session, place = _found(request, uuid, learner)
    return _page(request, session, place)


def note(request: StaffRequest, uuid: UUID, learner: UUID) -> HttpResponse:
    """Keep a note; or, if the form says so, help that was given."""
    session, place = _found(request, uuid, learner)
    if request.POST.get("what") == "help":
        helped = HelpForm(request.POST, prefix="help", papers=_papers(session))

        def keep_help() -> None:
            give_help(
                by=request.user,
                session=session,
                learner=place.learner,
                text=helped.cleaned_data["text"],
                paper=helped.chosen(),
                now=timezone.now(),
            )

        return _answer(request, session, place, helped, keep_help, "The help is recorded.")
    noted = NoteForm(request.POST, prefix="note")

    def keep_note() -> None:
        text = noted.cleaned_data["text"]
        note_at_bench(by=request.user, session=session, learner=place.learner, text=text, now=timezone.now())

    return _answer(request, session, place, noted, keep_note, "The note is kept.")


def give(request: StaffRequest, uuid: UUID, learner: UUID) -> HttpResponse:
    """Another paper to measure."""
    session, place = _found(request, uuid, learner)
    form = GivePaperForm(request.POST, prefix="give", papers=_papers(session))

    def keep() -> None:
        give_paper(
            by=request.user,
            learner=place.learner,
            paper=form.chosen(),
            source=form.cleaned_data["source"],
            reason=form.cleaned_data["reason"],
            now=timezone.now(),
        )

    return _answer(request, session, place, form, keep, "The paper is given to the learner.")


def release(request: StaffRequest, uuid: UUID, learner: UUID) -> HttpResponse:
    """More help by the program, for this learner alone."""
    session, place = _found(request, uuid, learner)
    form = ReleaseHelpForm(request.POST, prefix="release", choices=_settings(session, place))

    def keep() -> None:
        release_help(
            by=request.user,
            session=session,
            learner=place.learner,
            setting=form.cleaned_data["setting"],
            now=timezone.now(),
        )

    return _answer(request, session, place, form, keep, "The learner sees more help now. It is recorded.")


def _settings(session: Session, place: GroupMember) -> list[tuple[str, str]]:
    return higher_than(help_setting_for(session, place.learner))


def _answer(
    request: StaffRequest,
    session: Session,
    place: GroupMember,
    form: forms.Form,
    keep: Callable[[], None],
    said: str,
) -> HttpResponse:
    """Keep what a valid form holds and go back to the learner; else show the page with the form as typed."""
    if request.method != "POST":
        return redirect("board:learner", uuid=session.uuid, learner=place.learner.uuid)
    if form.is_valid():
        try:
            keep()
        except (NoteRefused, HelpRefused, CannotGive, CannotReleaseHelp) as problem:
            form.add_error(None, str(problem))
        else:
            messages.success(request, said)
            return redirect("board:learner", uuid=session.uuid, learner=place.learner.uuid)
    return _page(request, session, place, form)


def _found(request: StaffRequest, uuid: UUID, learner: UUID) -> tuple[Session, GroupMember]:
    session = session_led(request.user, uuid)
    return session, get_object_or_404(places(session), learner__uuid=learner)


def _papers(session: Session) -> list[Paper]:
    return papers_of(session, session.groups.all())


def _page(
    request: StaffRequest, session: Session, place: GroupMember, form: forms.Form | None = None
) -> HttpResponse:
    papers = _papers(session)
    setting = help_setting_for(session, place.learner)
    more_help = higher_than(setting)
    empty = ReleaseHelpForm(prefix="release", choices=more_help)
    context = {
        "session": session,
        "record": learner_record(session, place),
        "note_form": form if isinstance(form, NoteForm) else NoteForm(prefix="note"),
        "help_form": form if isinstance(form, HelpForm) else HelpForm(prefix="help", papers=papers),
        "give_form": form if isinstance(form, GivePaperForm) else GivePaperForm(prefix="give", papers=papers),
        "help_setting": Session.Help(setting).label,
        "more_help": more_help,
        "release_form": form if isinstance(form, ReleaseHelpForm) else empty,
        "may_change": request.user.has_perm("practicals.change_conditions"),
        "needs_no_reason": ended_without_result(session, place.learner),
        "trail": trail_from(session, (place.learner.name, "")),
    }
    return render(request, "practicals/board/learner.html", context)
