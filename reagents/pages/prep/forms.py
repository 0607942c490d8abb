"""Forms of the prep room."""

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import datetime, time, timedelta
from decimal import Decimal
from typing import Any

from django import forms
from django.utils import timezone

from reagents.actions.record_batch import CLOCK_SLACK, AmountEntry
from reagents.calculations.preparation import Measure, PrepPlan
from reagents.fields import MassField, VolumeField
from reagents.models import RecipePart

MOST_ML = Decimal(100_000)
MOST_G = Decimal(100_000)
OLDEST = timedelta(days=365)
LONGEST_KEPT = timedelta(days=3660)
LOCAL = "%Y-%m-%dT%H:%M"
MOMENTS = [LOCAL, "%Y-%m-%dT%H:%M:%S", "%Y-%m-%d %H:%M", "%d/%m/%Y %H:%M", "%d.%m.%Y %H:%M"]


class MomentField(forms.DateTimeField):
    """Day and time as the browser's own field gives them, or typed where it has none."""

    def __init__(self, **more: Any) -> None:
        more.setdefault("input_formats", MOMENTS)
        widget = forms.DateTimeInput(attrs={"type": "datetime-local"}, format=LOCAL)
        super().__init__(widget=widget, **more)
        self.error_messages["invalid"] = "Write day and time such as 2026-12-08 14:05."
        self.error_messages["required"] = "Nothing is entered; write day and time such as 2026-12-08 14:05."


@dataclass(frozen=True)
class PartFields:
    """One part of the recipe with its fields, for the template."""

    measure: Measure
    measured: Any
    lot: Any
    wanted: Any | None


class RecordBatchForm(forms.Form):
    """The batch as it was really made, prefilled with what the list asks for."""

    made_at = MomentField(label="Made at")
    use_by = MomentField(label="Use by", required=False)
    initials = forms.CharField(
        label="Initials",
        max_length=12,
        help_text="Of whoever measured it: two or three letters.",
        error_messages={"required": "Write the initials of whoever measured it."},
    )
    note = forms.CharField(
        label="Note",
        required=False,
        max_length=2000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Such as “made through a stock”, or “stayed cloudy”. No names of learners.",
    )
    seen_total = forms.CharField(widget=forms.HiddenInput, required=False)

    def __init__(self, *args: Any, plan: PrepPlan, now: datetime, name: str = "", **more: Any) -> None:
        self.plan, self.now = plan, now
        self.total = f"{plan.wanted.total_ml.normalize():f}"
        more.setdefault("initial", self._start(name))
        super().__init__(*args, **more)
        for measure in plan.measures:
            self._add(measure)

    def _start(self, name: str) -> dict[str, Any]:
        return {
            "made_at": timezone.localtime(self.now).replace(second=0, microsecond=0),
            "use_by": self.usual_use_by(),
            "initials": "".join(word[0] for word in name.split() if word[0].isalpha())[:6].upper(),
            "seen_total": self.total,
        }

    def usual_use_by(self) -> datetime | None:
        """By the recipe's shelf life; what is made on the day ends with it."""
        hours = self.plan.wanted.shelf_life_hours
        if hours:
            return timezone.localtime(self.now + timedelta(hours=hours)).replace(second=0, microsecond=0)
        if self.plan.wanted.made_on_the_day:
            return datetime.combine(
                timezone.localtime(self.now).date(), time(23, 59), tzinfo=timezone.get_current_timezone()
            )
        return None

    def _add(self, measure: Measure) -> None:
        label = f"{measure.substance}, measured"
        if measure.fills_up:
            label = f"{measure.substance}, filled up to"
        measured: VolumeField | MassField
        if measure.unit == "mL":
            measured = VolumeField(label=label, largest=MOST_ML, initial=measure.wanted)
        else:
            measured = MassField(label=label, largest=MOST_G, places=6, initial=measure.wanted)
        self.fields[f"measured_{measure.key}"] = measured
        self.fields[f"lot_{measure.key}"] = forms.CharField(
            label=f"{measure.substance}, lot number", required=False, max_length=60
        )
        if measure.wanted is None:
            self.fields[f"wanted_{measure.key}"] = MassField(
                label=f"{measure.substance}, wanted by your own sum",
                largest=MOST_G,
                places=6,
                above_zero=True,
            )

    @property
    def parts(self) -> Iterator[PartFields]:
        for measure in self.plan.measures:
            yield PartFields(
                measure=measure,
                measured=self[f"measured_{measure.key}"],
                lot=self[f"lot_{measure.key}"],
                wanted=self[f"wanted_{measure.key}"] if measure.wanted is None else None,
            )

    def clean_initials(self) -> str:
        letters = re.sub(r"[\s.\-]", "", self.cleaned_data["initials"])
        if not letters.isalpha() or len(letters) > 6:
            raise forms.ValidationError("Initials are one to six letters, such as TT.")
        return letters

    def clean_made_at(self) -> datetime:
        made_at: datetime = self.cleaned_data["made_at"]
        if made_at > self.now + CLOCK_SLACK:
            raise forms.ValidationError("That is in the future; enter when it was made.")
        if made_at < self.now - OLDEST:
            raise forms.ValidationError("That is more than a year ago; check the date.")
        return made_at

    def clean_use_by(self) -> datetime | None:
        use_by: datetime | None = self.cleaned_data["use_by"]
        made_at = self.cleaned_data.get("made_at")
        if use_by and made_at and use_by < made_at:
            raise forms.ValidationError("That is before it was made; check both times.")
        if use_by and use_by > self.now + LONGEST_KEPT:
            raise forms.ValidationError("That is more than ten years from now; check the date.")
        return use_by

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        if self.data.get("seen_total", self.total) != self.total:
            self.data = {**{name: self.data.get(name) for name in self.data}, "seen_total": self.total}
            self.add_error(
                None,
                "What the day asks for changed after you opened this form. The amounts wanted below are the "
                "new ones; compare, then send again.",
            )
        return cleaned

    def amounts(self, parts: list[RecipePart]) -> list[AmountEntry]:
        """What was entered, for the action."""
        by_key = {part.order: part for part in parts}
        return [
            AmountEntry(
                part=by_key[measure.key],
                unit=measure.unit,
                wanted=measure.wanted
                if measure.wanted is not None
                else self.cleaned_data[f"wanted_{measure.key}"],
                measured=self.cleaned_data[f"measured_{measure.key}"],
                lot=self.cleaned_data[f"lot_{measure.key}"],
            )
            for measure in self.plan.measures
        ]


class RecallForm(forms.Form):
    reason = forms.CharField(
        label="Why is it recalled?",
        max_length=300,
        help_text="Such as “cloudy: two layers” or “acid left out”. No names.",
        error_messages={"required": "Write why the batch is recalled."},
    )
