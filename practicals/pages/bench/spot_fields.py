"""The fields of a spot that are no plain length: the own R_f, the half-width of the centre, the colour."""

from decimal import Decimal
from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from practicals.calculations.entry import WIDEST_JUDGED_MM
from practicals.calculations.slips import NotAnRfError, read_stated
from practicals.models.readings import LONGEST_COLOUR
from reagents.calculations.quantities import NotAQuantity
from reagents.fields import LengthField

LONGEST_RF = 20
#: Offered while one types; whatever else was seen may be written.
COLOURS = (
    "purple",
    "violet",
    "pink",
    "blue",
    "yellow",
    "orange",
    "brown",
    "red",
    "green",
    "grey",
    "none seen",
)
_PLUS_MINUS = ("\N{PLUS-MINUS SIGN}", "+/-", "+-", "+\N{MINUS SIGN}")


class OwnRfField(forms.CharField):
    """The learner's own R_f, kept as it was written."""

    widget = forms.TextInput(attrs={"inputmode": "decimal", "autocomplete": "off"})

    def to_python(self, value: Any) -> str:
        text = str(super().to_python(value) or "")
        if not text:
            return ""
        if len(text) > LONGEST_RF:
            raise ValidationError(
                f"“{text[:LONGEST_RF]}…” is too long for an R_f. Enter a decimal such as 0.42."
            )
        try:
            read_stated(text)
        except NotAnRfError as error:
            raise ValidationError(str(error)) from error
        return text


class HalfWidthField(LengthField):
    """How far either way the centre may lie: "1.5", "± 1,5 mm" or "+/- 0.15 cm"."""

    example = "a half-width such as 1.5 mm"

    def __init__(self, **more: Any) -> None:
        super().__init__(required=False, largest=WIDEST_JUDGED_MM, above_zero=True, **more)

    def read(self, text: str) -> Decimal:
        bare = text.strip()
        sign = next((sign for sign in _PLUS_MINUS if bare.startswith(sign)), "")
        bare = bare.removeprefix(sign)
        if sign and bare.lstrip().startswith(("+", "-", "\N{MINUS SIGN}", "\N{PLUS-MINUS SIGN}")):
            raise NotAQuantity(text, f"“{text[:LONGEST_RF]}” has two signs; write {self.example}.")
        return super().read(bare)


class ColourField(forms.CharField):
    """A colour as the learner calls it, in one line; words are offered, none is asked for."""

    def __init__(self, **more: Any) -> None:
        super().__init__(required=False, **more)
        self.widget.attrs |= {"list": "colours", "autocomplete": "off", "maxlength": str(LONGEST_COLOUR)}

    def to_python(self, value: Any) -> str:
        text = " ".join(str(super().to_python(value) or "").split())
        if len(text) > LONGEST_COLOUR:
            raise ValidationError(
                f"“{text[:LONGEST_COLOUR]}…” is too long. Name the colour in at most {LONGEST_COLOUR}"
                " characters, for example “pale purple”."
            )
        if text and not any(letter.isalpha() for letter in text):
            raise ValidationError(
                f"“{text}” names no colour. Write what you see, for example “yellow” or “none seen”."
            )
        if not text.isprintable():
            raise ValidationError("Something in this colour cannot be printed. Type it again in plain words.")
        return text
