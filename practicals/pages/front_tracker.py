"""The front tracker's page, the same at the bench and from the board."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from practicals.actions.mark_front import mark_front
from practicals.actions.start_development import CannotFollow, start_development
from practicals.actions.take_out import take_out
from practicals.actions.withdraw_front_mark import withdraw_front_mark
from practicals.models import FrontMark, Paper, User
from practicals.models.front_run import FrontRun, front_run
from practicals.pages.front_forms import HeightForm, OutForm, PutInForm


@dataclass(frozen=True, slots=True)
class Sent:
    """What a form asked for: its form, if it has one, how it is kept, and what is said then."""

    form: forms.Form | None
    keep: Callable[[], Any]
    said: str


class Tracker:
    """One paper's run, its forms as typed, and what a sent one does."""

    def __init__(self, by: User, paper: Paper, data: Any, now: datetime) -> None:
        self.by, self.paper, self.now = by, paper, now
        self.run: FrontRun = front_run(paper, now)
        self.data, self.what = data, data.get("do", "") if data else ""
        begun = self.run.development
        depth_mm = begun.immersed_mm if begun else paper.group.session.practical.chamber_depth_mm
        started_at = begun.started_at if begun else None
        self.put_in = PutInForm(self._typed("put_in"), depth_mm=depth_mm, started_at=started_at)
        self.height = HeightForm(self._typed("height"), immersed_mm=depth_mm)
        self.out = OutForm(self._typed("out"))

    def sent(self) -> Sent | None:
        """What was asked for, or None if it is nothing that this page knows."""
        who: dict[str, Any] = {"by": self.by, "now": self.now}
        put_in, height, out = (form.cleaned_data if form.is_valid() else {} for form in self._forms())
        known = {
            "put_in": Sent(
                self.put_in,
                lambda: start_development(
                    **who, paper=self.paper, immersed_mm=put_in["immersed"], started_at=put_in["at"]
                ),
                "Kept. Read the front’s height when it has risen a third of the way.",
            ),
            "height": Sent(
                self.height,
                lambda: mark_front(
                    **who, paper=self.paper, height_mm=height["above_surface"], at=height["at"]
                ),
                "The height is kept.",
            ),
            "out": Sent(
                self.out,
                lambda: take_out(**who, paper=self.paper, at=out["at"]),
                "Kept. Mark the front with a pencil at once, before it dries.",
            ),
            "back": Sent(
                None,
                lambda: take_out(**who, paper=self.paper, taken_back=True),
                "The paper is in its chamber after all.",
            ),
            "withdraw": Sent(
                None,
                lambda: withdraw_front_mark(**who, mark=self._mark()),
                "The height is withdrawn; it no longer counts.",
            ),
        }
        return known.get(self.what)

    def _forms(self) -> tuple[forms.Form, forms.Form, forms.Form]:
        return self.put_in, self.height, self.out

    def _typed(self, what: str) -> Any:
        return self.data if self.what == what else None

    def _mark(self) -> FrontMark:
        try:
            wanted = UUID(self.data.get("mark", ""))
        except ValueError:
            wanted = UUID(int=0)
        marks = FrontMark.objects.filter(paper=self.paper).select_related("paper__group")
        return get_object_or_404(marks, uuid=wanted)


def answer(
    request: HttpRequest, by: User, paper: Paper, *, address: str, template: str, around: dict[str, Any]
) -> HttpResponse:
    """The page; or keep what was sent and show it anew."""
    tracker = Tracker(by, paper, request.POST if request.method == "POST" else None, timezone.now())
    sent = tracker.sent()
    if sent is not None and (sent.form is None or sent.form.is_valid()):
        try:
            sent.keep()
        except CannotFollow as problem:
            if sent.form is None:
                messages.error(request, str(problem))
                return redirect(address, uuid=paper.uuid)
            sent.form.add_error(None, str(problem))
        else:
            messages.success(request, sent.said)
            return redirect(address, uuid=paper.uuid)
    return render(request, template, {**around, "tracker": tracker, "run": tracker.run, "address": address})
