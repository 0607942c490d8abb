"""Length, volume, mass and number fields: what people really type."""

from decimal import Decimal

import pytest
from django import forms
from django.core.exceptions import ValidationError

from reagents.fields import LengthField, MassField, NumberField, VolumeField


@pytest.mark.parametrize(
    ("text", "mm"),
    [("34", "34"), ("3,4 cm", "34"), (" 34\u00a0mm ", "34"), ("0.034 m", "34"), ("12.50", "12.50")],
)
def test_a_length_is_cleaned_to_millimetres(text, mm):
    assert LengthField().clean(text) == Decimal(mm)


def test_a_bare_number_is_in_the_unit_shown():
    assert LengthField(unit="cm").clean("3.4") == Decimal(34)


def test_a_volume_and_a_mass_are_cleaned_to_their_base_units():
    assert VolumeField().clean("0,5 l") == Decimal(500)
    assert MassField().clean("20 mg") == Decimal("0.02")


@pytest.mark.parametrize("text", ["", "ten", "-3", "1e9", "5 mL", "12.3456", "1,000", "3 4", "\x00", "nan"])
def test_what_is_no_length_is_refused_with_a_sentence(text):
    with pytest.raises(ValidationError) as refused:
        LengthField().clean(text)
    assert refused.value.messages[0].endswith(".")


def test_nought_is_refused_where_something_is_needed():
    with pytest.raises(ValidationError, match="above zero"):
        VolumeField(above_zero=True).clean("0 mL")


@pytest.mark.parametrize("text", ["2.5", "x", "-1", "1e9", ""])
def test_a_whole_number_is_whole_and_within_its_bounds(text):
    with pytest.raises(ValidationError):
        NumberField(whole=True, smallest=1, largest=40).clean(text)


def test_a_whole_number_comes_as_an_int():
    assert NumberField(whole=True, smallest=1, largest=40).clean("3.0") == 3
    assert isinstance(NumberField(whole=True).clean("3"), int)


def test_an_optional_field_left_empty_is_none():
    assert LengthField(required=False).clean("  ") is None


def test_what_was_typed_stays_in_the_form():
    form = type("Form", (forms.Form,), {"depth": LengthField()})({"depth": "eight mm"})
    assert not form.is_valid()
    assert 'value="eight mm"' in str(form["depth"])


def test_a_stored_decimal_is_shown_without_trailing_noughts():
    form = type("Form", (forms.Form,), {"depth": LengthField()})(initial={"depth": Decimal("8.0")})
    assert 'value="8"' in str(form["depth"])
