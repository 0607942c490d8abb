"""The forms of a paper in its chamber: put in, a height read, taken out."""

from datetime import datetime
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError
from django.utils import timezone

from practicals.calculations.clock_time import NotATimeError, read_clock
from practicals.calculations.front_law import NoFitError
from practicals.calculations.front_stop import front_above_surface
from reagents.fields import LengthField


class ClockField(forms.CharField):
    """A time of day that has passed; cleaned to a moment, or None if left empty."""

    widget = forms.TextInput(attrs={"type": "time", "class": "short", "autocomplete": "off"})

    def __init__(self, **more: Any) -> None:
        super().__init__(required=False, **more)

    def to_python(self, value: Any) -> Any:
        text = str(super().to_python(value) or "").strip()
        if not text:
            return None
        try:
            return read_clock(text, now=timezone.localtime())
        except NotATimeError as error:
            raise ValidationError(str(error), code="no time") from error


class PutInForm(forms.Form):
    """When the paper was put in, and how deep."""

    immersed = LengthField(
        label="Immersed depth",
        smallest=0,
        largest=100,
        places=1,
        above_zero=True,
    )
    at = ClockField(label="Put in at, if not now")

    def __init__(self, data: Any, *, depth_mm: Decimal, started_at: datetime | None) -> None:
        shown = f"{timezone.localtime(started_at):%H:%M}" if started_at else ""
        super().__init__(data, prefix="in", initial={"immersed": depth_mm, "at": shown})


class HeightForm(forms.Form):
    """A height of the front, and when it was read."""

    height = LengthField(label="Height of the front", smallest=0, largest=2000, places=2, above_zero=True)
    zero = forms.ChoiceField(
        label="Measured from",
        choices=[("surface", "the liquid’s surface"), ("edge", "the paper’s lower edge")],
        initial="surface",
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose where the ruler’s zero lay.",
            "invalid_choice": "Choose the liquid’s surface or the paper’s lower edge.",
        },
    )
    at = ClockField(label="Read at, if not now")

    def __init__(self, data: Any, *, immersed_mm: Decimal) -> None:
        super().__init__(data, prefix="height")
        self.immersed_mm = immersed_mm

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        if "height" in values and "zero" in values:
            try:
                values["above_surface"] = front_above_surface(
                    values["height"], measured_from=values["zero"], immersed_mm=self.immersed_mm
                )
            except NoFitError as error:
                self.add_error("height", str(error))
        return values


class OutForm(forms.Form):
    """When the paper came out."""

    at = ClockField(label="Taken out at, if not now")

    def __init__(self, data: Any) -> None:
        super().__init__(data, prefix="out")
