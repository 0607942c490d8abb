"""Forms about deadlines, further attempts and the centre's policy."""

from datetime import date, datetime, timedelta
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone
from django.utils.timezone import get_current_timezone

from assessment.actions.attach_file import LARGEST
from assessment.actions.save_policy import PolicySettings
from assessment.calculations.attempts import CONDITIONS
from assessment.models import Attachment, CalendarDay, Policy

DAY_HELP = {"required": "Give the day.", "invalid": "This is no date. Write it as 2026-12-08 or 8/12/2026."}
LONGEST_AHEAD = timedelta(days=3 * 366)


def day_field(label: str, *, required: bool = True, help_text: str = "") -> forms.DateField:
    return forms.DateField(
        label=label,
        required=required,
        help_text=help_text,
        input_formats=["%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y"],
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
        error_messages=DAY_HELP,
    )


class ExtensionForm(forms.Form):
    due_day = day_field("New last day")
    due_time = forms.TimeField(
        label="At",
        widget=forms.TimeInput(format="%H:%M", attrs={"type": "time"}),
        error_messages={"required": "Give the time.", "invalid": "This is no time. Write 23:59."},
    )
    reason = forms.CharField(
        max_length=300,
        help_text="In a few words, without a diagnosis, such as “agreed adjustment” or “absent on Tuesday”.",
        error_messages={"required": "Write why the deadline moves."},
    )
    seen_version = forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=0, max_value=10**6)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        if "due_day" in cleaned and "due_time" in cleaned:
            cleaned["due_at"] = self._moment(cleaned["due_day"], cleaned["due_time"])
        return cleaned

    def _moment(self, day: date, at: Any) -> datetime | None:
        if day > timezone.localdate() + LONGEST_AHEAD:
            self.add_error("due_day", "That is more than three years away. Check the year.")
            return None
        # Where the clock shows the time twice the later one is taken, in the learner's favour; a time that
        # the clock skips is read as the moment after the change.
        return datetime.combine(day, at, tzinfo=get_current_timezone()).replace(fold=1)


class AskForm(forms.Form):
    because = forms.CharField(
        label="Why can this learner do better without further guidance?",
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 4}),
        error_messages={"required": "Write why you think so: the lead verifier decides on it."},
    )


class AuthoriseForm(forms.Form):
    received_on = day_field(
        "The learner received the decision on",
        help_text="The working days are counted from here; this day itself is day 0.",
    )
    ticked = forms.MultipleChoiceField(
        label="All five must hold",
        choices=list(CONDITIONS.items()),
        widget=forms.CheckboxSelectMultiple,
        required=False,
    )


class RefuseForm(forms.Form):
    reason = forms.CharField(
        label="Why is it refused?",
        max_length=300,
        help_text="The assessor reads this.",
        error_messages={"required": "Write why it is refused."},
    )


def _count(label: str, most: int, help_text: str = "", least: int = 0) -> forms.IntegerField:
    wrong = f"Give a whole number from {least} to {most}."
    return forms.IntegerField(
        label=label,
        min_value=least,
        max_value=most,
        help_text=help_text,
        error_messages={"required": wrong, "invalid": wrong, "min_value": wrong, "max_value": wrong},
    )


class PolicyForm(forms.Form):
    """All that a centre settles; field names are those of `PolicySettings`."""

    resubmissions_allowed = _count("Resubmissions of one assignment", 5)
    resubmission_working_days = _count("Working days for a resubmission", 200, least=1)
    term_time_only = forms.BooleanField(
        label="Count term time only: the centre's vacations are no working days", required=False
    )
    late_loses_resubmission = forms.BooleanField(
        label="Late without an extension loses resubmission", required=False
    )
    resubmission_cap = forms.CharField(
        label="Highest level of a resubmission",
        required=False,
        max_length=20,
        help_text="A level as the unit names it, such as pass. Empty: no cap.",
    )
    which_counts = forms.ChoiceField(label="Which result counts", choices=Policy.Counts.choices)
    retake_allowed = forms.BooleanField(label="A retake with a new task is possible", required=False)
    retake_cap = forms.CharField(label="Highest level of a retake", required=False, max_length=20)
    hold_until_verified = forms.BooleanField(
        label="Hold results of sampled work until it is verified", required=False
    )
    sample_by = forms.ChoiceField(label="Usual size of a sample", choices=Policy.SampleBy.choices)
    sample_figure = _count(
        "Number, share or chance", 1000, "A number of portfolios, or per cent; not used for the square root."
    )
    sample_at_least = _count("Never fewer than", 1000)
    reason = forms.CharField(
        label="Why it changes",
        max_length=300,
        error_messages={"required": "Write in a few words why the policy changes."},
    )
    seen_edition = forms.IntegerField(widget=forms.HiddenInput, min_value=0, max_value=10**6)

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        per_cent = {Policy.SampleBy.SHARE, Policy.SampleBy.DETECTION}
        by, figure = cleaned.get("sample_by"), cleaned.get("sample_figure")
        if by in per_cent and figure is not None and not 1 <= figure <= 100:
            self.add_error("sample_figure", "A share or a chance is 1 to 100 %.")
        if by == Policy.SampleBy.NUMBER and figure == 0:
            self.add_error("sample_figure", "Give the number of portfolios, at least 1.")
        return cleaned

    def settings(self) -> PolicySettings:
        names = PolicySettings.__dataclass_fields__
        return PolicySettings(**{name: self.cleaned_data[name] for name in names})


class CalendarDayForm(forms.Form):
    first = day_field("Day, or first day")
    last = day_field("Last day", required=False, help_text="Empty: one day only.")
    kind = forms.ChoiceField(label="What it is", choices=CalendarDay.Kind.choices)
    name = forms.CharField(
        label="Name", max_length=120, error_messages={"required": "Give it a name, such as “staff training”."}
    )
    source = forms.CharField(
        label="Where it was announced",
        required=False,
        max_length=200,
        help_text="Needed for a bank holiday that the shipped list does not have.",
    )


class AttachForm(forms.Form):
    title = forms.CharField(
        max_length=120,
        help_text="Such as “notebook, page 12”.",
        error_messages={"required": "Give it a title, such as “notebook, page 12”."},
    )
    kind = forms.ChoiceField(label="What it is", choices=Attachment.Kind.choices)
    file = forms.FileField(
        label="File",
        help_text="A PDF, a photo or plain text, 20 MB at most. A photo is kept without its place.",
        error_messages={
            "required": "Choose the file.",
            "empty": "The file is empty. Choose another one.",
            "missing": "Choose the file.",
        },
    )

    def clean_file(self) -> bytes:
        chosen = self.cleaned_data["file"]
        if chosen.size > LARGEST:
            raise ValidationError(f"Files have at most {LARGEST // 1024 // 1024} MB. Save a smaller copy.")
        content: bytes = chosen.read()
        return content
