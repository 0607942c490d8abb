"""Who covers or supports one lesson, and nothing else."""

from typing import Any

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone

from practicals.access import planned_sessions
from practicals.actions.give_lesson import give_lesson, take_lesson_back
from practicals.gate import PersonRequest
from practicals.models import Lesson, LessonHelper, Role, User
from practicals.pages.plan.attempt import attempt
from practicals.pages.plan.session_views import trail_to


class GiveLessonForm(forms.Form):
    person = forms.ChoiceField(
        error_messages={"required": "Choose the person.", "invalid_choice": "Choose one of the list."},
    )
    part = forms.ChoiceField(
        label="What for",
        choices=LessonHelper.Part.choices,
        initial=LessonHelper.Part.SUPPORT,
        widget=forms.RadioSelect,
        error_messages={"required": "Choose one.", "invalid_choice": "Choose one of the two."},
    )

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        self.people = {str(one.uuid): one for one in User.objects.holding(Role.LESSON_ONLY, Role.TEACHER)}
        choices = [("", "Choose…"), *((uuid, str(one)) for uuid, one in self.people.items())]
        self.fields["person"].choices = choices  # type: ignore[attr-defined]

    def clean_person(self) -> User:
        return self.people[self.cleaned_data["person"]]


def lesson_staff(request: PersonRequest, uuid: str) -> HttpResponse:
    lesson = get_object_or_404(
        Lesson.objects.select_related("session", "leader").prefetch_related("helpers__user"),
        uuid=uuid,
        session__in=planned_sessions(request.user),
    )
    taking = request.method == "POST" and "take_back" in request.POST
    if taking:
        return _take_back(request, lesson)
    form = GiveLessonForm(request.POST if request.method == "POST" else None)
    if form.is_valid():
        given = attempt(form, lambda: _give(request, lesson, form))
        if given:
            messages.success(request, f"{given.user} has this lesson as {given.part}.")
            return redirect("plan:lesson_staff", lesson.uuid)
    context = {"lesson": lesson, "form": form, "trail": trail_to(lesson.session, "Cover and support")}
    return render(request, "practicals/plan/lesson_staff.html", context)


def _give(request: PersonRequest, lesson: Lesson, form: GiveLessonForm) -> LessonHelper:
    typed = form.cleaned_data
    return give_lesson(
        by=request.user, lesson=lesson, user=typed["person"], part=typed["part"], now=timezone.now()
    )


def _take_back(request: PersonRequest, lesson: Lesson) -> HttpResponse:
    having = {str(helper.user.uuid): helper.user for helper in lesson.helpers.all()}
    person = having.get(request.POST["take_back"])
    if person:
        take_lesson_back(by=request.user, lesson=lesson, user=person, now=timezone.now())
        messages.success(request, f"{person} no longer has this lesson.")
    return redirect("plan:lesson_staff", lesson.uuid)
