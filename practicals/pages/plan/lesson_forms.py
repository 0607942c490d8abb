"""One row of a form for each lesson: date, start, length, room, leader."""

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from django import forms
from django.utils import timezone

from practicals.actions.plan_session import LessonPlan
from practicals.models import Lesson, Role, User
from reagents.fields import NumberField

FIRST_DAY, LAST_DAY = date(2000, 1, 1), date(2100, 12, 31)
DATE_FORMATS = ["%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y", "%d %b %Y", "%d %B %Y"]
TIME_FORMATS = ["%H:%M", "%H:%M:%S", "%H.%M"]


def lesson_leaders() -> Any:
    return User.objects.holding(Role.TEACHER, Role.LESSON_ONLY)


def day_field(**more: Any) -> forms.DateField:
    return forms.DateField(
        input_formats=DATE_FORMATS,
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
        error_messages={
            "required": "Give the day, such as 8 Dec 2026.",
            "invalid": "This is not a day. Write it such as 8 Dec 2026 or 2026-12-08.",
        },
        **more,
    )


def time_field(**more: Any) -> forms.TimeField:
    return forms.TimeField(
        input_formats=TIME_FORMATS,
        widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"}),
        error_messages={
            "required": "Give the time, such as 10:15.",
            "invalid": "This is not a time of day. Write it such as 10:15.",
        },
        **more,
    )


def sensible_day(day: date) -> date:
    if not FIRST_DAY <= day <= LAST_DAY:
        raise forms.ValidationError(f"The year {day.year} cannot be right. Give a day between 2000 and 2100.")
    return day


class LessonForm(forms.Form):
    """A lesson. An optional row counts only when it has a day or a time; the rest may follow the first."""

    day = day_field(label="Date")
    start = time_field(label="Starts at")
    minutes = NumberField(label="Length", whole=True, smallest=10, largest=600)
    room = forms.CharField(
        label="Room", max_length=60, error_messages={"required": "Give the room, such as Lab 2."}
    )
    leader = forms.ModelChoiceField(
        label="Leader",
        queryset=User.objects.none(),
        to_field_name="uuid",
        error_messages={
            "required": "Choose who leads the lesson.",
            "invalid_choice": "Choose one of the list.",
        },
    )

    def __init__(
        self,
        data: Mapping[str, Any] | None = None,
        *,
        optional: bool = False,
        lesson: Lesson | None = None,
        leaders: list[tuple[Any, str]] | None = None,
        **more: Any,
    ) -> None:
        if lesson is not None:
            more["initial"] = initial_of(lesson)
        super().__init__(data, use_required_attribute=not optional, **more)
        self.optional, self.lesson = optional, lesson
        self.fields["minutes"].unit = "min"  # type: ignore[attr-defined]
        leader = self.fields["leader"]
        leader.queryset = lesson_leaders()  # type: ignore[attr-defined]
        if leaders is not None:
            leader.choices = [("", "as the first lesson") if optional else ("", "choose"), *leaders]  # type: ignore[attr-defined]
        if optional:
            for field in self.fields.values():
                field.required = False

    def clean_day(self) -> date | None:
        day = self.cleaned_data["day"]
        return sensible_day(day) if day else None

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        if self.optional and self.is_used:
            for name, sentence in (("day", "Give the day of this lesson."), ("start", "Give its start.")):
                if cleaned.get(name) is None and name not in self.errors:
                    self.add_error(name, f"{sentence} Or empty both date and start, and the row is left out.")
        return cleaned

    @property
    def is_used(self) -> bool:
        return any(str(self.data.get(self.add_prefix(name), "")).strip() for name in ("day", "start"))

    def plan(self, first: LessonPlan | None = None) -> LessonPlan | None:
        """The lesson, with what was left empty as in the first; None for a row that was left out."""
        typed = self.cleaned_data
        if typed.get("day") is None or typed.get("start") is None:
            return None
        if first is None:
            return LessonPlan(
                starts_at=_moment(typed), minutes=typed["minutes"], room=typed["room"], leader=typed["leader"]
            )
        return LessonPlan(
            starts_at=_moment(typed),
            minutes=typed["minutes"] or first.minutes,
            room=typed["room"] or first.room,
            leader=typed["leader"] or first.leader,
        )


def _moment(typed: dict[str, Any]) -> datetime:
    return timezone.make_aware(datetime.combine(typed["day"], typed["start"]))


def initial_of(lesson: Lesson) -> dict[str, Any]:
    at = timezone.localtime(lesson.starts_at)
    return {
        "day": at.date(),
        "start": at.time(),
        "minutes": lesson.minutes,
        "room": lesson.room,
        "leader": lesson.leader.uuid,
    }


class LessonRows:
    """The lessons of a session in one form: those that stand, and empty rows for more."""

    def __init__(
        self,
        data: Mapping[str, Any] | None,
        *,
        lessons: list[Lesson],
        blank: int,
        leader: User,
        first_needed: bool = False,
    ) -> None:
        leaders = [(person.uuid, person.name) for person in lesson_leaders()]
        standing = [
            LessonForm(data, lesson=lesson, prefix=f"lesson-{lesson.uuid}", leaders=leaders)
            for lesson in lessons
        ]
        more = []
        for number in range(blank):
            leads = not standing and number == 0
            more.append(
                LessonForm(
                    data,
                    prefix=f"lesson{number}",
                    optional=not (leads and first_needed),
                    leaders=leaders,
                    initial={"leader": leader.uuid, "minutes": 90} if leads else None,
                )
            )
        self.forms = [*standing, *more]

    def is_valid(self) -> bool:
        checked = [form.is_valid() for form in self.forms]  # each one, so that all errors show
        return all(checked) and self._first_is_whole()

    def _first_is_whole(self) -> bool:
        """Only later lessons can follow the first: the first that is used says all of its own."""
        first = next((form for form in self.forms if not form.optional or form.is_used), None)
        if first is not None:
            for name, field in first.fields.items():
                if first.cleaned_data.get(name) in (None, ""):
                    first.add_error(name, str(field.error_messages["required"]))
        return first is None or not first.errors

    @property
    def has_errors(self) -> bool:
        return any(form.is_bound and form.errors for form in self.forms)

    def plans(self) -> list[tuple[Lesson | None, LessonPlan]]:
        """Each lesson with what was typed for it; None beside those that are new."""
        first: LessonPlan | None = None
        found: list[tuple[Lesson | None, LessonPlan]] = []
        for form in self.forms:
            plan = form.plan(first)
            if plan is not None:
                first = first or plan
                found.append((form.lesson, plan))
        return found
