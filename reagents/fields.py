"""Form fields for what people measure, shared by all packages.

A person types "8,5 cm"; the form gives the action a `Decimal` in the base unit; what was typed stays in the
field when something is wrong.
"""

import re
from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from reagents.calculations.cas_numbers import NotACasNumber, checked_cas
from reagents.calculations.quantities import LARGEST, NotAQuantity, parse_number, parse_quantity, parse_ratio
from reagents.calculations.substances import UnknownSubstance, substance

_LIKE_A_CAS_NUMBER = re.compile(r"[\d\s\-\u2010-\u2014\u2212]{5,}")


class _TypedField(forms.CharField):
    """Text that is read as a number; `places` is how many decimals the record can keep."""

    example = "a number such as 12.5"

    def __init__(
        self,
        *,
        smallest: Decimal | int | None = None,
        largest: Decimal | int | None = LARGEST,
        places: int = 3,
        above_zero: bool = False,
        **more: Any,
    ) -> None:
        super().__init__(**more)
        self.smallest = None if smallest is None else Decimal(smallest)
        self.largest = None if largest is None else Decimal(largest)
        self.places = places
        self.above_zero = above_zero
        self.error_messages["required"] = f"Nothing is entered; {self.example} is needed here."
        self.widget.attrs.setdefault("inputmode", "decimal")
        self.widget.attrs.setdefault("autocomplete", "off")

    def read(self, text: str) -> Decimal:
        raise NotImplementedError

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        if text in self.empty_values:
            return None
        try:
            number = self.read(str(text))
        except NotAQuantity as error:
            raise ValidationError(str(error), code="unreadable") from error
        if self.above_zero and number <= 0:
            raise ValidationError(f"“{text}” is not above zero; {self.example} is needed here.", code="zero")
        return self._kept(number, str(text))

    def _kept(self, number: Decimal, text: str) -> Decimal:
        exponent = number.as_tuple().exponent
        if isinstance(exponent, int) and -exponent > self.places:
            fewer = number.quantize(Decimal(1).scaleb(-self.places))
            if fewer != number:
                raise ValidationError(
                    f"“{text}” is finer than can be kept; round it to {self.places or 'no'} decimal places.",
                    code="too fine",
                )
            return fewer
        return number

    def prepare_value(self, value: Any) -> Any:
        """Show a stored decimal without trailing noughts; typed text as it was typed."""
        if not isinstance(value, Decimal):
            return value
        text = f"{value:f}"
        return text.rstrip("0").rstrip(".") if "." in text else text


class NumberField(_TypedField):
    """A plain number; with `whole=True` an `int`."""

    def __init__(self, *, whole: bool = False, **more: Any) -> None:
        self.whole = whole
        if whole:
            self.example = "a whole number such as 3"
            more.setdefault("places", 0)
        super().__init__(**more)
        if whole:
            self.widget.attrs["inputmode"] = "numeric"

    def read(self, text: str) -> Decimal:
        return parse_number(text, smallest=self.smallest, largest=self.largest)

    def to_python(self, value: Any) -> Any:
        number = super().to_python(value)
        return int(number) if self.whole and number is not None else number

    def _kept(self, number: Decimal, text: str) -> Decimal:
        if self.whole and number != number.to_integral_value():
            raise ValidationError(
                f"“{text}” is not a whole number; {self.example} is needed here.", code="whole"
            )
        return super()._kept(number, text)


class _QuantityField(_TypedField):
    expects = "length"

    def __init__(self, *, unit: str = "", **more: Any) -> None:
        super().__init__(**more)
        #: Unit of a bare number, shown beside the field. The cleaned value is always in the base unit.
        self.unit = unit or self.default_unit

    default_unit = "mm"

    def read(self, text: str) -> Decimal:
        return parse_quantity(
            text,
            expects=self.expects,
            default_unit=self.unit,
            smallest=self.smallest,
            largest=self.largest,
        )


class LengthField(_QuantityField):
    """A length; cleaned to millimetres."""

    expects, default_unit, example = "length", "mm", "a length such as 12.5 mm"


class VolumeField(_QuantityField):
    """A volume; cleaned to millilitres."""

    expects, default_unit, example = "volume", "mL", "a volume such as 25 mL"


class MassField(_QuantityField):
    """A mass; cleaned to grams."""

    expects, default_unit, example = "mass", "g", "a mass such as 0.20 g"


class DurationField(_QuantityField):
    """A time; cleaned to minutes."""

    expects, default_unit, example = "time", "min", "a time such as 40 min"


class TemperatureField(_QuantityField):
    """A temperature; cleaned to degrees Celsius."""

    expects, default_unit, example = "temperature", "°C", "a temperature such as 20 °C"


class AirChangeField(_QuantityField):
    """How often the air of a room is changed; cleaned to times per hour."""

    expects, default_unit, example = "air change rate", "per hour", "an air change rate such as 2 per hour"


class SpeedField(_QuantityField):
    """A speed; cleaned to metres per second."""

    expects, default_unit, example = "speed", "m/s", "a speed such as 0.1 m/s"


class RatioField(forms.CharField):
    """Parts with colons, such as 12 : 3 : 5; cleaned to a tuple of decimals. `wanted` is how many parts."""

    def __init__(self, *, wanted: int | None = None, **more: Any) -> None:
        super().__init__(max_length=60, **more)
        self.wanted = wanted
        self.error_messages["required"] = "Nothing is entered; write the parts with colons, such as 12:3:5."
        self.widget.attrs.setdefault("autocomplete", "off")

    def to_python(self, value: Any) -> Any:
        text = super().to_python(value)
        if text in self.empty_values:
            return None
        try:
            parts = parse_ratio(str(text))
        except NotAQuantity as error:
            raise ValidationError(str(error), code="unreadable") from error
        if self.wanted is not None and len(parts) != self.wanted:
            raise ValidationError(f"“{text}” has {len(parts)} parts; {self.wanted} are needed.", code="count")
        return parts


class SubstanceField(forms.CharField):
    """A name or CAS number. A known one is cleaned to its usual name; another name stays as typed."""

    def __init__(self, **more: Any) -> None:
        super().__init__(**{"max_length": 80} | more)
        self.widget.attrs.setdefault("autocomplete", "off")
        self.error_messages["required"] = "Write the name of the substance or its CAS number."

    def to_python(self, value: Any) -> Any:
        text = str(super().to_python(value))
        if not text:
            return ""
        try:
            if _LIKE_A_CAS_NUMBER.fullmatch(text):
                text = checked_cas(text)
            return substance(text).name
        except NotACasNumber as error:
            raise ValidationError(str(error), code="cas") from error
        except UnknownSubstance:
            return text
