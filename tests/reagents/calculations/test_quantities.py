from contextlib import suppress
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from reagents.calculations.quantities import (
    NotAQuantity,
    format_quantity,
    parse_dilution,
    parse_length,
    parse_number,
    parse_quantity,
    parse_ratio,
    parse_strength,
    registry,
)

READABLE = [
    ("5 mL", "volume", "5"),
    ("5ml", "volume", "5"),
    ("5 ML", "volume", "5"),
    ("0,5 l", "volume", "500"),
    ("0.5 litres", "volume", "500"),
    ("250 µL", "volume", "0.25"),  # micro sign U+00B5
    ("250 μl", "volume", "0.25"),  # Greek mu U+03BC
    ("5\u2009mL", "volume", "5"),  # thin space
    ("5\u00a0mL", "volume", "5"),  # no-break space
    ("\u202f5\u202fmL\n", "volume", "5"),
    ("5 cm³", "volume", "5"),
    ("1 dm3", "volume", "1000"),
    ("12 mm", "length", "12"),
    ("3.4cm", "length", "34"),
    ("12·5 mm", "length", "12.5"),  # raised point, older British print
    (".5 mm", "length", "0.5"),
    ("1 in", "length", "25.4"),
    ("200 mg", "mass", "0.2"),
    ("2e-1 g", "mass", "0.2"),
    ("0.01 mol/L", "amount concentration", "0.01"),
    ("0.01 M", "amount concentration", "0.01"),
    ("10 mM", "amount concentration", "0.01"),
    ("2 mol dm⁻³", "amount concentration", "2"),
    ("2 mol·dm⁻³", "amount concentration", "2"),
    ("0.2 % w/v", "mass concentration", "2"),
    ("0,2%", "mass concentration", "2"),
    ("2 mg/mL", "mass concentration", "2"),
    ("99.7 % w/w", "mass fraction", "99.7"),
    ("997 g/kg", "mass fraction", "99.7"),
    ("70 % v/v", "volume fraction", "70"),
    ("98,5 %", "percentage", "98.5"),
    ("1.05 g/mL", "density", "1.05"),
    ("1049 kg/m³", "density", "1.049"),
    ("1.05 g/mL", "mass concentration", "1050"),
    ("75.07 g mol⁻¹", "molar mass", "75.07"),
    ("5 mmol", "amount", "0.005"),
    ("40 min", "time", "40"),
    ("1,5 h", "time", "90"),
    ("90 s", "time", "1.5"),
    ("20 °C", "temperature", "20"),
    ("\u22125 °C", "temperature", "-5"),
    ("68 °F", "temperature", "20"),
]


@pytest.mark.parametrize(("text", "expects", "value"), READABLE)
def test_reads_what_people_type_and_paste(text, expects, value):
    assert parse_quantity(text, expects=expects) == Decimal(value)


def test_a_bare_number_takes_the_default_unit():
    assert parse_quantity(" 12.5 ", expects="volume", default_unit="L") == Decimal(12500)


def test_a_typed_unit_wins_over_the_default():
    assert parse_quantity("3.4 cm", expects="length", default_unit="mm") == Decimal(34)


def test_a_bare_number_without_default_is_asked_for_its_unit():
    with pytest.raises(NotAQuantity, match="has no unit; write mL or L after it"):
        parse_quantity("12.5", expects="volume")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "Nothing is entered; a volume such as 25 mL is needed here."),
        (" \u00a0 ", "Nothing is entered; a volume such as 25 mL is needed here."),
        ("some", "“some” does not start with a plain number; a volume such as 25 mL is needed here."),
        ("5 grams", "5 grams is a mass; a volume such as 25 mL is needed here."),
        ("5 mm", "5 mm is a length; a volume such as 25 mL is needed here."),
        ("0.1 M", "0.1 M is an amount concentration; a volume such as 25 mL is needed here."),
        ("1,000", "“1,000” could mean 1000 or 1.000; write it without the comma."),
        ("1,250 mL", "“1,250 mL” could mean 1250 or 1.250; write it without the comma."),
        ("1 000 mL", "“1 000 mL” holds more than one number; write one, without spaces inside it."),
        ("5 furlongs", "“furlongs” in “5 furlongs” is not a unit known here; write mL or L."),
        ("-5", "“-5” is below zero; check the sign."),
        ("\u22125", "“-5” is below zero; check the sign."),
        ("1e999", "“1e999” is too large to be right; check the figure."),
        ("1e-999", "“1e-999” is too small to be right; check the figure."),
        ("1e9", "“1e9” is too large; the most is 1000000\u00a0mL."),
        (
            "1234567890.12345678",
            "“1234567890.12345678” has more digits than anything here can measure; round it.",
        ),
    ],
)
def test_a_refusal_is_a_sentence(text, sentence):
    with pytest.raises(NotAQuantity) as refused:
        parse_quantity(text, expects="volume", default_unit="mL")
    assert str(refused.value) == sentence
    assert refused.value.text == text


@pytest.mark.parametrize(
    "text",
    ["NaN", "inf", "-Infinity", "1.000,5", "1.2.3", "1,2,3", "0x10", "5²", "2*3", "5 mL**99999", "5 mL + 2",
     "٣", "5 mL 6", "1e", "--5", "5 %%", "=1+1", "<b>5</b>", "5 mL;", "1e99999999999999999999999"],
)  # fmt: skip
def test_anything_else_is_refused_not_guessed(text):
    with pytest.raises(NotAQuantity):
        parse_quantity(text, expects="volume", default_unit="mL")


def test_bounds_are_allowed_themselves_and_named_when_passed():
    def read(text):
        return parse_length(text, default_unit="mm", smallest=Decimal(1), largest=Decimal(400))

    assert read("40 cm") == Decimal(400)
    with pytest.raises(NotAQuantity, match="too large; the most is 400\u00a0mm"):
        read("40.1 cm")
    with pytest.raises(NotAQuantity, match="too small; the least is 1\u00a0mm"):
        read("0.9")


@settings(deadline=None)  # the first conversion makes the registry
@given(st.decimals(min_value=0, max_value=40, places=1, allow_nan=False))
def test_centimetres_are_exactly_ten_millimetres(value):
    # BIPM, The International System of Units, 9th edition (2019), table 7: centi is 10^-2, milli 10^-3.
    assert parse_length(f"{value} cm", default_unit="mm") == value * 10


def test_a_converted_length_keeps_the_digits_typed():
    assert str(parse_length("3.40 cm", default_unit="mm")) == "34.0"
    assert str(parse_length("3.4", default_unit="cm")) == "34"


@settings(deadline=None)
@given(st.text(max_size=80))
def test_no_text_does_worse_than_a_refusal(text):
    for expects in ("length", "volume", "temperature"):
        with suppress(NotAQuantity):
            assert parse_quantity(text, expects=expects).is_finite()


@given(st.from_regex(r"[+-]?[0-9]{0,20}[.,]?[0-9]{0,20}([eE][+-]?[0-9]{1,30})?", fullmatch=True))
def test_no_figure_does_worse_than_a_refusal(text):
    with suppress(NotAQuantity):
        assert Decimal("-1e30") < parse_number(text) <= 1_000_000


def test_a_number_with_a_unit_is_refused():
    with pytest.raises(NotAQuantity, match="“5 mL” is not a plain number"):
        parse_number("5 mL")


def test_a_plain_number_may_be_negative_and_minus_nought_is_nought():
    assert parse_number("\u22123,5") == Decimal("-3.5")
    assert str(parse_number("-0")) == "0"


def test_ratios():
    assert parse_ratio("6 : 1,5 : 2.5") == (Decimal(6), Decimal("1.5"), Decimal("2.5"))
    assert parse_ratio("12∶3∶5") == (Decimal(12), Decimal(3), Decimal(5))


@pytest.mark.parametrize("text", ["", "12", "12:", "12:0:5", "12:-3", "12:3 mL", "a:b", ":".join("1" * 11)])
def test_a_ratio_that_is_none_is_refused(text):
    with pytest.raises(NotAQuantity):
        parse_ratio(text)


@pytest.mark.parametrize(
    ("value", "unit", "written"),
    [
        (Decimal("12.5"), "mL", "12.5\u00a0mL"),
        (Decimal("34.0"), "mm", "34.0\u00a0mm"),
        (Decimal("5E+2"), "mL", "500\u00a0mL"),
        (Decimal("-3.0"), "°C", "\u22123.0\u00a0°C"),
        (Decimal(100) / 3, "mL", "33.3333\u00a0mL"),
        (Decimal("0.1000000000000000055511151231257827"), "mL", "0.1\u00a0mL"),
        (Decimal("123456789.5"), "mL", "123456790\u00a0mL"),
        (Decimal("0.00002"), "g", "0.00002\u00a0g"),
        (Decimal("-0"), "", "0"),
    ],
)
def test_quantities_are_written_for_a_british_reader(value, unit, written):
    assert format_quantity(value, unit) == written


@given(st.decimals(min_value=0, max_value=Decimal("999.999"), places=3))
def test_what_is_written_reads_back(value):
    assert parse_quantity(format_quantity(value, "mL"), expects="volume") == value


def test_there_is_one_registry():
    assert registry() is registry()


@pytest.mark.parametrize(
    ("text", "value", "unit"),
    [
        ("2 M", "2", "mol/L"),
        ("10 mmol/L", "0.01", "mol/L"),
        ("0.01 mol dm⁻³", "0.01", "mol/L"),
        ("0,2 % w/v", "0.2", "% w/v"),
        ("5 g/L", "0.5", "% w/v"),
        ("2 mg/mL", "0.2", "% w/v"),
        ("99.7 % w/w", "99.7", "% w/w"),
        ("250 g/kg", "25", "% w/w"),
        ("70 % v/v", "70", "% v/v"),
    ],
)
def test_a_strength_is_read_in_whichever_way_it_is_written(text, value, unit):
    assert parse_strength(text) == (Decimal(value), unit)


def test_a_bare_percentage_is_asked_for_its_kind_unless_the_form_says_it():
    assert parse_strength("0,2 %", bare_percent="% w/v") == (Decimal("0.2"), "% w/v")
    with pytest.raises(NotAQuantity, match="could be % w/v, % w/w or % v/v; write which"):
        parse_strength("0.2 %")


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "Nothing is entered; a strength such as"),
        ("strong", "does not start with a plain number"),
        ("0.2", "has no unit; write a strength such as"),
        ("5 g", "5 g is a mass; a strength such as 0.01 mol/L"),
        ("5 mL", "5 mL is a volume; a strength such as"),
        ("0 M", "is not above zero"),
        ("-1 M", "is not above zero"),
        ("120 % w/w", "is too large; the most is 100\u00a0% w/w"),
        ("1e6 mol/L", "is too large"),
        ("2 furlongs", "is not a unit known here"),
        ("NaN M", "does not start with a plain number"),
    ],
)
def test_what_is_no_strength_is_refused_in_a_sentence(text, sentence):
    with pytest.raises(NotAQuantity) as refused:
        parse_strength(text)
    assert sentence in str(refused.value)


@pytest.mark.parametrize(
    "text", ["1:10", "1 : 10", "1 in 10", "1/10", "1 + 9", "10x", "x10", "10-fold", "10 fold", "10", "1∶10"]
)
def test_a_tenfold_dilution_common_practice(text):
    # 1:10 as 1 part made up to 10 parts: common practice, no source.
    assert parse_dilution(text) == 10


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("", "Nothing is entered"),
        ("1:1", "dilutes nothing"),
        ("1 + 0", "dilutes nothing"),
        ("0.5", "dilutes nothing"),
        ("2:5", "is not a dilution"),
        ("a lot", "is not a dilution"),
        ("1:10:100", "is not a dilution"),
        ("1:1.2.3", "plain number"),
        ("1:9999999", "is too large"),
    ],
)
def test_what_is_no_dilution_is_refused_in_a_sentence(text, sentence):
    with pytest.raises(NotAQuantity, match=sentence):
        parse_dilution(text)


@given(st.text(max_size=80))
def test_no_text_does_worse_to_a_strength_or_dilution_than_a_refusal(text):
    for reading in (parse_strength, parse_dilution):
        with suppress(NotAQuantity):
            reading(text)
