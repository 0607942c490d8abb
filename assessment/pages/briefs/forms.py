from datetime import date, datetime, time, timedelta
from itertools import groupby
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.forms.utils import from_current_timezone
from django.utils import timezone

from assessment.calculations.brief_points import ANSWERS, CHANGES, FIT, NO, POINTS, YES
from assessment.models import Brief, Criterion, Unit
from practicals.models import Session, User

LONGEST_UNIT_TEXT, LONGEST_TEXT = 200_000, 20_000
DUE_IN = timedelta(days=14)
FURTHEST_DUE = timedelta(days=3 * 366)
LAST_MINUTE = time(23, 59)


def _area(rows: int, **attrs: Any) -> forms.Textarea:
    return forms.Textarea(attrs={"rows": rows, **attrs})


class UnitForm(forms.Form):
    text = forms.CharField(
        label="The unit's file, in TOML",
        strip=False,
        max_length=LONGEST_UNIT_TEXT,
        widget=_area(24, spellcheck="false"),
        error_messages={"required": "Nothing is entered. Paste the text of the unit's file here."},
    )

    def clean_text(self) -> str:
        # A browser sends its own line ends; the same file must stay the same text.
        return str(self.cleaned_data["text"]).replace("\r\n", "\n")


class CriteriaField(forms.ModelMultipleChoiceField):  # type: ignore[type-arg]
    """Criteria as ticks, under the name of their level."""

    def label_from_instance(self, obj: Any) -> str:
        return f"{obj.code}: {obj.text}"

    def by_level(self, criteria: list[Criterion]) -> None:
        self.queryset = Criterion.objects.filter(pk__in=[criterion.pk for criterion in criteria])
        self.choices = [
            (level, [(criterion.pk, self.label_from_instance(criterion)) for criterion in group])
            for level, group in groupby(criteria, key=lambda criterion: criterion.level)
        ]


class BriefForm(forms.Form):
    title = forms.CharField(max_length=160, error_messages={"required": "Give the brief a title."})
    scenario = forms.CharField(
        required=False,
        max_length=LONGEST_TEXT,
        widget=_area(4),
        help_text="The setting in which the tasks make sense, if there is one.",
    )
    tasks = forms.CharField(
        max_length=LONGEST_TEXT,
        widget=_area(10),
        help_text="What learners do and what they hand in, task by task.",
        error_messages={"required": "Write the tasks that learners are to do."},
    )
    conditions = forms.CharField(
        required=False,
        max_length=LONGEST_TEXT,
        widget=_area(4),
        help_text="Where it is done, with what, how long it takes, which help is given. "
        "Dates are set with each assignment, so that the same brief serves again.",
    )
    criteria = CriteriaField(
        queryset=Criterion.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        help_text="Those that the tasks give evidence for.",
        error_messages={
            "required": "Tick at least one criterion: those that the tasks give evidence for.",
            "invalid_choice": "One of the criteria ticked is not in this unit. Tick them again.",
            "invalid_pk_value": "One of the criteria ticked is not in this unit. Tick them again.",
        },
    )
    based_on = forms.UUIDField(required=False, widget=forms.HiddenInput)

    def __init__(self, unit: Unit, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        field = self.fields["criteria"]
        assert isinstance(field, CriteriaField)  # noqa: S101  (for the type checker)
        field.by_level(list(unit.criteria.all()))

    @classmethod
    def of(cls, brief: Brief, unit: Unit | None = None) -> "BriefForm":
        """Filled with an edition; for another edition of the unit its criteria are ticked by their codes."""
        unit = unit or brief.unit
        codes = {criterion.code for criterion in brief.criteria.all()}
        return cls(
            unit,
            initial={
                "title": brief.title,
                "scenario": brief.scenario,
                "tasks": brief.tasks,
                "conditions": brief.conditions,
                "criteria": [criterion for criterion in unit.criteria.all() if criterion.code in codes],
                "based_on": brief.uuid,
            },
        )

    #: The edition that somebody saved meanwhile, to be compared with what was typed.
    saved_now: Brief | None = None

    def compare_with(self, newer: Brief) -> None:
        """Base the next try on the edition that the person is now shown."""
        self.saved_now = newer
        self.data = {**self.data.dict(), "criteria": self["criteria"].data, "based_on": str(newer.uuid)}  # type: ignore[attr-defined]

    def texts(self) -> dict[str, Any]:
        return {
            name: value.replace("\r\n", "\n") if isinstance(value, str) else value
            for name, value in self.cleaned_data.items()
            if name != "based_on"
        }


class ReviewForm(forms.Form):
    """One round: each point answered, a comment, a verdict."""

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        for point in POINTS:
            answers = ANSWERS if point.may_not_apply else (YES, NO)
            self.fields[f"point_{point.key}"] = forms.ChoiceField(
                label=point.sentence,
                choices=[(answer, answer) for answer in answers],
                widget=forms.RadioSelect,
                error_messages={
                    "required": "Answer this point.",
                    "invalid_choice": f"Answer this point with {' or '.join(answers)}.",
                },
            )
        self.fields["comment"] = forms.CharField(
            max_length=5000,
            widget=_area(5),
            help_text="What you looked at, and what is to be changed and why. The author reads it.",
            error_messages={"required": "Write a sentence at least: the author reads it."},
        )
        self.fields["verdict"] = forms.ChoiceField(
            choices=[(FIT, "fit for purpose: sign this edition off"), (CHANGES, "changes wanted")],
            widget=forms.RadioSelect,
            error_messages={
                "required": "Say whether it is fit for purpose or changes are wanted.",
                "invalid_choice": "Say whether it is fit for purpose or changes are wanted.",
            },
        )

    def points(self) -> dict[str, str]:
        return {point.key: self.cleaned_data[f"point_{point.key}"] for point in POINTS}


class BriefChoice(forms.ModelChoiceField):  # type: ignore[type-arg]
    def label_from_instance(self, obj: Any) -> str:
        return str(obj) if obj.signed_off_at else f"{obj} – not signed off yet"


class SessionChoice(forms.ModelMultipleChoiceField):  # type: ignore[type-arg]
    def label_from_instance(self, obj: Any) -> str:
        first = next(iter(obj.lessons.all()), None)
        when = f", {timezone.localtime(first.starts_at):%a %-d %b %Y}" if first else ""
        return f"{obj.title}{when} ({obj.stage})"


class AssignmentForm(forms.Form):
    brief = BriefChoice(
        queryset=Brief.objects.none(),
        empty_label="Choose a brief",
        error_messages={
            "required": "Choose the brief that learners work to.",
            "invalid_choice": "This brief is not in the list any more. Choose another.",
        },
    )
    sessions = SessionChoice(
        queryset=Session.objects.none(),
        widget=forms.CheckboxSelectMultiple,
        label="Sessions whose evidence it draws on",
        error_messages={
            "required": "Tick at least one session: its readings are the evidence.",
            "invalid_choice": "One of the sessions ticked is not of this class. Tick them again.",
            "invalid_pk_value": "One of the sessions ticked is not of this class. Tick them again.",
        },
    )
    hand_out_on = forms.DateField(
        label="Handed out on",
        required=False,
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
        help_text="The day that is planned; it stands on the brief that learners get.",
        error_messages={"invalid": "This is no date. Write it as 2026-12-08 or 8/12/2026."},
    )
    due_day = forms.DateField(
        label="Due on",
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
        error_messages={
            "required": "Give the day it is due.",
            "invalid": "This is no date. Write it as 2026-12-08 or 8/12/2026.",
        },
    )
    due_time = forms.TimeField(
        label="At",
        widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"}),
        error_messages={"required": "Give the time it is due.", "invalid": "This is no time. Write 23:59."},
    )
    assessor = forms.ModelChoiceField(
        queryset=User.objects.none(),
        empty_label=None,
        error_messages={
            "required": "Choose who assesses the work.",
            "invalid_choice": "The assessor must be a teacher who may sign in. Choose from the list.",
        },
    )

    def __init__(self, *args: Any, briefs: Any, sessions: Any, assessors: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        for name, found in (("brief", briefs), ("sessions", sessions), ("assessor", assessors)):
            field = self.fields[name]
            assert isinstance(field, forms.ModelChoiceField)  # noqa: S101  (for the type checker)
            field.queryset = found

    def clean_hand_out_on(self) -> date | None:
        day: date | None = self.cleaned_data["hand_out_on"]
        today = timezone.localdate()
        if day and not today - FURTHEST_DUE <= day <= today + FURTHEST_DUE:
            raise ValidationError("Choose a day within three years of today.")
        return day

    def clean_due_day(self) -> date:
        day: date = self.cleaned_data["due_day"]
        today = timezone.localdate()
        if not today <= day <= today + FURTHEST_DUE:
            raise ValidationError("Choose a day from today to three years ahead.")
        return day

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if "due_day" in cleaned and (cleaned.get("hand_out_on") or date.min) > cleaned["due_day"]:
            self.add_error("hand_out_on", "It cannot be handed out after it is due. Choose an earlier day.")
        if "due_day" in cleaned and "due_time" in cleaned:
            try:
                cleaned["due_at"] = from_current_timezone(
                    datetime.combine(cleaned["due_day"], cleaned["due_time"])
                )
            except ValidationError:
                self.add_error("due_time", "The clocks change at this time. Choose another one.")
        return cleaned


def due_by_default(now: datetime) -> dict[str, object]:
    """Two weeks from today, at the last minute of the centre's day."""
    today = timezone.localtime(now).date()
    return {"hand_out_on": today, "due_day": today + DUE_IN, "due_time": LAST_MINUTE}
