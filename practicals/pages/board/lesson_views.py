"""The register of one lesson."""

from uuid import UUID

from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from practicals.access import led_lessons
from practicals.actions.take_register import RegisterChanged, RegisterTaken, UnknownMark, take_register
from practicals.models import Attendance, Lesson
from practicals.models.register import register_of
from practicals.pages.board.around import StaffRequest, trail_from
from practicals.pages.board.forms import RegisterForm


def register(request: StaffRequest, uuid: UUID) -> HttpResponse:
    lesson = get_object_or_404(led_lessons(request.user).select_related("session", "leader"), uuid=uuid)
    kept = register_of(lesson)
    form = RegisterForm(request.POST or None, learners=kept.learners, kept=kept.marks)
    if request.method == "POST" and form.is_valid() and _take(request, lesson, form):
        return redirect("board:board", uuid=lesson.session.uuid)
    trail = trail_from(lesson.session, ("Register", ""))
    context = {"lesson": lesson, "register": kept, "form": form, "trail": trail}
    return render(request, "practicals/board/register.html", context)


def _take(request: StaffRequest, lesson: Lesson, form: RegisterForm) -> bool:
    rest = Attendance.Mark.PRESENT.value if "rest" in request.POST else ""
    try:
        taken = take_register(
            by=request.user, lesson=lesson, marks=form.marks(rest), seen=form.seen(), now=timezone.now()
        )
    except (RegisterChanged, UnknownMark) as problem:
        form.add_error(None, str(problem))
        if isinstance(problem, RegisterChanged):
            form.show_as_seen(register_of(lesson).marks)
        return False
    messages.success(request, _said(taken))
    return True


def _said(taken: RegisterTaken) -> str:
    if not taken.new and not taken.changed:
        return "The register is as it was; nothing changed."
    changed = f" {taken.changed} changed." if taken.changed else ""
    return f"The register is saved: {taken.new} marked.{changed}"
