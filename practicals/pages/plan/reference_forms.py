"""Forms for published values: add one with its source, withdraw one with a reason."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms

from practicals.actions.load_reference_values import LONGEST_SOURCE
from practicals.actions.withdraw_reference_value import LONGEST_REASON
from practicals.models import Analyte
from reagents.calculations.quantities import NotAQuantity, parse_number


class RfField(forms.CharField):
    """A number as people type it, also with a decimal comma."""

    def clean(self, value: Any) -> Decimal | None:
        text = super().clean(value)
        if not text:
            return None
        try:
            number = parse_number(text)
        except NotAQuantity as problem:
            raise forms.ValidationError(str(problem)) from problem
        if not 0 <= number <= 1:
            raise forms.ValidationError(
                "An R_f lies between 0 and 1. A percentage is divided by 100 first, for example 0.38."
            )
        return number


class ReferenceForm(forms.Form):
    """One value, or a range over several readings of one source."""

    analyte = forms.ChoiceField(label="Standard")
    rf_low = RfField(
        label="R_f as printed, or the lowest", max_length=20, widget=forms.TextInput({"inputmode": "decimal"})
    )
    rf_high = RfField(
        label="Highest, if a range is printed",
        max_length=20,
        required=False,
        widget=forms.TextInput({"inputmode": "decimal"}),
    )
    source = forms.CharField(
        label="Source",
        max_length=LONGEST_SOURCE,
        widget=forms.Textarea({"rows": 2}),
        help_text="Author, title, year, page. A value without a source cannot be checked by anybody.",
    )
    confirmed = forms.BooleanField(
        label="I have read the source myself, and it is for this support, mixture and ratio",
        required=False,
        help_text="Without this the value is shown as unconfirmed and judges nobody’s work.",
    )

    def __init__(self, *args: Any, standards: Sequence[Analyte], **more: Any) -> None:
        super().__init__(*args, **more)
        self.standards = {analyte.key: analyte for analyte in standards}
        field = self.fields["analyte"]
        assert isinstance(field, forms.ChoiceField)  # noqa: S101 -- for the type checker
        field.choices = [(analyte.key, analyte.name) for analyte in standards]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        low, high = cleaned.get("rf_low"), cleaned.get("rf_high")
        if low is not None and high is not None and low > high:
            self.add_error("rf_high", "The highest is below the lowest. Exchange the two.")
        return cleaned


class WithdrawReferenceForm(forms.Form):
    reason = forms.CharField(label="Reason", max_length=LONGEST_REASON)
