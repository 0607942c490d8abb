"""Fields of the calculators: a strength, a dilution and a molar mass as a person writes them."""

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from reagents.calculations.formulas import NotAFormula, molar_mass_of
from reagents.calculations.quantities import NotAQuantity, parse_dilution, parse_quantity, parse_strength
from reagents.fields import NumberField


class StrengthField(forms.CharField):
    """A strength such as 2 mol/L or 0.2 % w/v; cleaned to value and unit."""

    def __init__(self, **more: Any) -> None:
        super().__init__(**more)
        self.widget.attrs.setdefault("autocomplete", "off")
        self.error_messages["required"] = (
            "Nothing is entered; a strength such as 0.01 mol/L, 0.2 % w/v or 99.7 % w/w is needed here."
        )

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        if text in self.empty_values:
            return None
        try:
            return parse_strength(str(text))
        except NotAQuantity as error:
            raise ValidationError(str(error), code="unreadable") from error


class DilutionField(forms.CharField):
    """A dilution such as 1:10 or 1 + 9; cleaned to how many times weaker."""

    def __init__(self, **more: Any) -> None:
        super().__init__(**more)
        self.widget.attrs.setdefault("autocomplete", "off")
        self.error_messages["required"] = "Nothing is entered; write a dilution such as 1:10 or 1 + 9."

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        if text in self.empty_values:
            return None
        try:
            return parse_dilution(str(text))
        except NotAQuantity as error:
            raise ValidationError(str(error), code="unreadable") from error


class MolarMassField(forms.CharField):
    """A molar mass in g/mol, or a formula it is worked out from; cleaned to g/mol."""

    def __init__(self, **more: Any) -> None:
        super().__init__(**more)
        self.widget.attrs.setdefault("autocomplete", "off")

    def to_python(self, value: Any) -> Any:
        text = str(super().to_python(value))
        if not text:
            return None
        try:
            if text[0].isalpha() or text[0] == "(":
                return molar_mass_of(text)
            return parse_quantity(
                text, expects="molar mass", default_unit="g/mol", smallest=Decimal(1), largest=Decimal(10_000)
            )
        except (NotAQuantity, NotAFormula) as error:
            raise ValidationError(str(error), code="unreadable") from error


class DensityField(forms.CharField):
    """A density; cleaned to g/mL."""

    unit = "g/mL"

    def __init__(self, **more: Any) -> None:
        super().__init__(**more)
        self.widget.attrs.setdefault("autocomplete", "off")

    def to_python(self, value: Any) -> Any:
        text = str(super().to_python(value))
        if not text:
            return None
        try:
            return parse_quantity(
                text, expects="density", default_unit="g/mL", smallest=Decimal("0.3"), largest=Decimal(20)
            )
        except NotAQuantity as error:
            raise ValidationError(str(error), code="unreadable") from error


class AmountField(forms.CharField):
    """How much to make: a volume, or a mass; cleaned to a pair of mL or None and g or None."""

    def __init__(self, **more: Any) -> None:
        super().__init__(**more)
        self.widget.attrs.setdefault("autocomplete", "off")
        self.error_messages["required"] = "Nothing is entered; write how much to make, such as 250 mL."

    def to_python(self, value: Any) -> Any:
        text = str(super().to_python(value))
        if not text:
            return None
        try:
            if re.search(r"\d\s*(?:[kmµμ]?g|grams?|kilograms?)\.?\s*$", text, re.IGNORECASE):
                return None, parse_quantity(text, expects="mass")
            return parse_quantity(text, expects="volume", default_unit="mL"), None
        except NotAQuantity as error:
            raise ValidationError(str(error), code="unreadable") from error


class PercentField(NumberField):
    """A percentage, with or without its sign."""

    unit = "%"
    example = "a percentage such as 98.5"

    def read(self, text: str) -> Decimal:
        return parse_quantity(
            text, expects="percentage", default_unit="%", smallest=self.smallest, largest=self.largest
        )
