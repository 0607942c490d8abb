"""Text with a unit, as a person types or pastes it, becomes a number; the process's one pint registry.

Only the units of `spellings.py` are read. Handing typed text to pint itself would also accept
"mL**99999" or "5 mL + 2", and "5 ML" would be five megalitres.
"""

import re
from decimal import ROUND_HALF_UP, Decimal, localcontext
from functools import lru_cache
from typing import Any

import pint

from reagents.calculations.spellings import BY_FOLDED, BY_SPELLING, KINDS

MOST_CHARACTERS = 60
MOST_DIGITS = 15
LARGEST = Decimal(1_000_000)


class NotAQuantity(ValueError):
    """What was typed cannot be read as the quantity needed; the message is a sentence for the person."""

    def __init__(self, text: str, message: str) -> None:
        super().__init__(message)
        self.text = text


_CHARACTERS = str.maketrans(
    {
        **dict.fromkeys(
            "\u00a0\u2000\u2001\u2002\u2003\u2004\u2005\u2006\u2007\u2008\u2009\u200a\u202f\u205f\u3000\t\n\r",
            " ",
        ),
        **dict.fromkeys("\u200b\u200c\u200d\u2060\ufeff\u200e\u200f"),
        **dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\u2014\ufe63\uff0d", "-"),
        "\u00b5": "μ",
        "\u2044": "/",
        "\u2215": "/",
        "\u2113": "L",
        "·": " ",
    }
)
_RAISED = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹⁻", "0123456789-")
_NUMBER = re.compile(r"[+-]?(?:[0-9]+(?:[.,][0-9]*)?|[.,][0-9]+)(?:[eE][+-]?[0-9]+)?(?![0-9.,])")
_THOUSANDS = re.compile(r"[+-]?[1-9][0-9]{0,2},[0-9]{3}")
_SPLIT_NUMBER = re.compile(r"[+-]?[0-9.,]+ +[0-9]")


@lru_cache(maxsize=1)
def registry() -> "pint.UnitRegistry[Any]":
    """The one unit registry of the process, made when first asked for.

    Returns
    -------
    pint.UnitRegistry
        A registry in decimal arithmetic that also knows `percent_wv`, grams in 100 mL.

    References
    ----------
    .. [1] 1 % w/v is 1 g in 100 mL of solution: convention of the trade, 10 g/L.
    """
    units: pint.UnitRegistry[Any] = pint.UnitRegistry(non_int_type=Decimal)
    units.define("percent_wv = 10 * gram / liter")
    return units


def _tidy(text: str) -> str:
    pointed = re.sub(r"(?<=[0-9])·(?=[0-9])", ".", str(text))  # a raised point, as in older British print
    return re.sub(r" +", " ", pointed.translate(_CHARACTERS)).strip()


def _shown(text: str) -> str:
    """What was typed, short enough to repeat in a sentence."""
    return text if len(text) <= MOST_CHARACTERS else text[: MOST_CHARACTERS - 1] + "…"


def _a(words: str) -> str:
    return f"an {words}" if words[0] in "aeiou" else f"a {words}"


def _split(text: str, tidy: str, needed: str) -> tuple[Decimal, str]:
    """Number and rest of a tidied text; `needed` ends each sentence, such as "a volume such as 25 mL"."""
    shown = _shown(tidy)
    if not tidy:
        raise NotAQuantity(text, f"Nothing is entered; {needed} is needed here.")
    if len(tidy) > MOST_CHARACTERS:
        raise NotAQuantity(text, f"“{shown}” is too long; {needed} is needed here.")
    if _SPLIT_NUMBER.match(tidy):
        raise NotAQuantity(
            text, f"“{shown}” holds more than one number; write one, without spaces inside it."
        )
    found = _NUMBER.match(tidy)
    if found is None:
        raise NotAQuantity(text, f"“{shown}” does not start with a plain number; {needed} is needed here.")
    written = found[0]
    if _THOUSANDS.fullmatch(written):
        whole, _, rest = written.partition(",")
        raise NotAQuantity(
            text, f"“{shown}” could mean {whole}{rest} or {whole}.{rest}; write it without the comma."
        )
    return _decimal(text, written, shown), tidy[found.end() :].strip()


def _decimal(text: str, written: str, shown: str) -> Decimal:
    mantissa, _, exponent = written.replace(",", ".").lower().partition("e")
    if exponent and abs(int(exponent)) > MOST_DIGITS:
        size = "large" if int(exponent) > 0 else "small"
        raise NotAQuantity(text, f"“{shown}” is too {size} to be right; check the figure.")
    if len(mantissa.strip("+-0.").replace(".", "")) > MOST_DIGITS:
        raise NotAQuantity(text, f"“{shown}” has more digits than anything here can measure; round it.")
    value = Decimal(f"{mantissa}E{exponent}" if exponent else mantissa)
    if not value:
        value = abs(value)
    # An exponent is a way of writing; 1E+3 and 1000 are one value and must be kept alike.
    return value if not exponent else Decimal(format(value, "f"))


def _unit(text: str, typed: str, shown: str, expects: str) -> tuple[str, str]:
    """Kind of quantity and pint name for a typed unit."""
    wanted = KINDS[expects]
    unit = typed.translate(_RAISED)
    if unit in wanted.spellings:
        return expects, wanted.spellings[unit]
    found = (
        BY_SPELLING.get(unit)
        or BY_SPELLING.get(unit.rstrip("."))
        or BY_FOLDED.get(unit.casefold().rstrip("."))
    )
    if found is None:
        raise NotAQuantity(
            text, f"“{_shown(typed)}” in “{shown}” is not a unit known here; write {wanted.units}."
        )
    return found


def _within(
    text: str, value: Decimal, unit: str, smallest: Decimal | None, largest: Decimal | None
) -> Decimal:
    shown = _shown(_tidy(text))
    if smallest is not None and value < smallest:
        if smallest == 0:
            raise NotAQuantity(text, f"“{shown}” is below zero; check the sign.")
        raise NotAQuantity(text, f"“{shown}” is too small; the least is {format_quantity(smallest, unit)}.")
    if largest is not None and value > largest:
        raise NotAQuantity(text, f"“{shown}” is too large; the most is {format_quantity(largest, unit)}.")
    return value


def parse_quantity(
    text: str,
    *,
    expects: str,
    default_unit: str | None = None,
    smallest: Decimal | None = None,
    largest: Decimal | None = LARGEST,
) -> Decimal:
    """Read a quantity as a person typed it.

    A comma is a decimal comma, except in figures such as "1,000", which are refused because they
    could also be thousands. Spaces of any width, µ in either form and a real minus are read.

    Parameters
    ----------
    text : str
        What was typed, such as "0,5 l" [-].
    expects : str
        "length", "volume", "mass", "amount", "amount concentration", "mass concentration", "mass fraction",
        "volume fraction", "percentage", "density", "molar mass", "time" or "temperature" [-].
    default_unit : str, optional
        Unit of a bare number; without it a bare number is refused [-].
    smallest, largest : Decimal, optional
        Bounds, both allowed values themselves, in the unit returned
        [mm, mL, g, mol, mol/L, g/L, %, g/mL, g/mol, min or °C].
        `smallest` is 0 unless given, except for a temperature.

    Returns
    -------
    Decimal
        The value [mm, mL, g, mol, mol/L, g/L, %, g/mL, g/mol, min or °C, by `expects`].

    Raises
    ------
    NotAQuantity
        With a sentence that says what is wrong and what to write.

    References
    ----------
    .. [1] BIPM, The International System of Units, 9th edition (2019), section 5: unit symbols,
       decimal comma or point.
    """
    wanted = KINDS[expects]
    tidy = _tidy(text)
    value, typed = _split(text, tidy, f"{_a(expects)} such as {wanted.example}")
    if not typed:
        if default_unit is None:
            raise NotAQuantity(text, f"“{_shown(tidy)}” has no unit; write {wanted.units} after it.")
        typed = default_unit
    kind, unit = _unit(text, typed, _shown(tidy), expects)
    if kind != expects:
        raise NotAQuantity(
            text, f"{_shown(tidy)} is {_a(kind)}; {_a(expects)} such as {wanted.example} is needed here."
        )
    if smallest is None and expects != "temperature":
        smallest = Decimal(0)
    return _within(text, _convert(value, unit, wanted.base), wanted.shown, smallest, largest)


def _convert(value: Decimal, unit: str, base: str) -> Decimal:
    """Convert and keep the digits that were typed: 3.4 cm is 34 mm, 3.40 cm is 34.0 mm."""
    if unit == base:
        return value
    if base != "degC":
        factor = Decimal(registry().convert(Decimal(1), unit, base)).normalize()
        if len(factor.as_tuple().digits) <= MOST_DIGITS:
            return Decimal(format(value * factor, "f"))
    converted = Decimal(registry().convert(value, unit, base))
    with localcontext() as rounded:
        rounded.prec = MOST_DIGITS - 3
        return Decimal(format((+converted).normalize(), "f"))


def parse_length(
    text: str,
    *,
    default_unit: str,
    smallest: Decimal | None = None,
    largest: Decimal | None = LARGEST,
) -> Decimal:
    """Read a length in exact decimal arithmetic.

    Parameters
    ----------
    text : str
        What was typed, such as "3.4 cm" or "34" [-].
    default_unit : str
        "mm" or "cm": unit of a bare number [-].
    smallest, largest : Decimal, optional
        Bounds, both allowed values themselves; `smallest` is 0 unless given [mm].

    Returns
    -------
    Decimal
        The length [mm].

    Raises
    ------
    NotAQuantity
        With a sentence that says what is wrong and what to write.

    References
    ----------
    .. [1] 1 cm = 10 mm exactly: BIPM, The International System of Units, 9th edition (2019), table 7.
    """
    return parse_quantity(
        text, expects="length", default_unit=default_unit, smallest=smallest, largest=largest
    )


def parse_number(text: str, *, smallest: Decimal | None = None, largest: Decimal | None = LARGEST) -> Decimal:
    """Read a plain number with the same care as a quantity.

    Parameters
    ----------
    text : str
        What was typed, such as "12,5" [-].
    smallest, largest : Decimal, optional
        Bounds, both allowed values themselves; a negative number is allowed unless `smallest` says
        otherwise [-].

    Returns
    -------
    Decimal
        The number [-].

    Raises
    ------
    NotAQuantity
        With a sentence that says what is wrong and what to write.

    References
    ----------
    .. [1] BIPM, The International System of Units, 9th edition (2019), section 5.4.4: decimal marker.
    """
    tidy = _tidy(text)
    value, rest = _split(text, tidy, "a number such as 12.5")
    if rest:
        raise NotAQuantity(
            text, f"“{_shown(tidy)}” is not a plain number; a number such as 12.5 is needed here."
        )
    return _within(text, value, "", smallest, largest)


def parse_ratio(text: str) -> tuple[Decimal, ...]:
    """Read a ratio of parts.

    Parameters
    ----------
    text : str
        What was typed, such as "6 : 1.5 : 2.5" [-].

    Returns
    -------
    tuple of Decimal
        The parts in the order typed [-].

    Raises
    ------
    NotAQuantity
        When there are fewer than two parts, or a part is not a number above zero.

    References
    ----------
    .. [1] Notation of mobile phases as volume ratios: common practice, no source.
    """
    tidy = _tidy(text).replace("\u2236", ":").replace("\uff1a", ":")
    pieces = tidy.split(":")
    if len(pieces) < 2:
        raise NotAQuantity(
            text, f"“{_shown(tidy)}” is not a ratio; write the parts with colons, such as 12:3:5."
        )
    if len(pieces) > 10:
        raise NotAQuantity(
            text, "A ratio of more than ten parts is not expected here; check what was entered."
        )
    parts = []
    for piece in pieces:
        value, rest = _split(text, piece.strip(), "a number for each part, such as 12:3:5,")
        if rest or value <= 0:
            raise NotAQuantity(
                text, f"“{_shown(piece.strip())}” is not a part of a ratio; each part is a number above zero."
            )
        parts.append(value)
    return tuple(parts)


#: Kinds in which a strength is written, and the unit in which it is kept.
_STRENGTHS = {
    "amount concentration": "mol/L",
    "mass concentration": "% w/v",
    "mass fraction": "% w/w",
    "volume fraction": "% v/v",
}
_BARE_PERCENT = KINDS["percentage"].spellings
_STRENGTH_WANTED = "a strength such as 0.01 mol/L, 0.2 % w/v or 99.7 % w/w"


def parse_strength(text: str, *, bare_percent: str | None = None) -> tuple[Decimal, str]:
    """Read the strength of a solution, whichever way it is written.

    Parameters
    ----------
    text : str
        What was typed, such as "2 M", "0,2 % w/v", "5 g/L" or "10 mmol/L" [-].
    bare_percent : str, optional
        What a percentage without more is: "% w/v", "% w/w" or "% v/v"; without it that is asked for [-].

    Returns
    -------
    tuple of Decimal and str
        The value and its unit: "mol/L", "% w/v" (also of what was typed in g/L), "% w/w" or "% v/v".

    Raises
    ------
    NotAQuantity
        Not above zero, above 100 %, or no strength; with a sentence that says what to write.

    References
    ----------
    .. [1] 1 % w/v is 1 g in 100 mL of solution, 10 g/L: convention of the trade.
    """
    tidy = _tidy(text)
    value, typed = _split(text, tidy, _STRENGTH_WANTED)
    shown = _shown(tidy)
    if not typed:
        raise NotAQuantity(text, f"“{shown}” has no unit; write {_STRENGTH_WANTED}.")
    if value <= 0:
        raise NotAQuantity(text, f"“{shown}” is not above zero; write {_STRENGTH_WANTED}.")
    if typed in _BARE_PERCENT:
        if bare_percent is None:
            raise NotAQuantity(
                text,
                f"“{shown}” could be % w/v, % w/w or % v/v; write which, as on the bottle or in the recipe.",
            )
        kind, strength, unit = "percentage", value, bare_percent
    else:
        kind, pint_unit = _unit(text, typed, shown, "amount concentration")
        if kind not in _STRENGTHS:
            raise NotAQuantity(text, f"{shown} is {_a(kind)}; {_STRENGTH_WANTED} is needed here.")
        strength, unit = _convert(value, pint_unit, KINDS[kind].base), _STRENGTHS[kind]
        strength = strength / 10 if kind == "mass concentration" else strength
    return _within(text, strength, unit, None, Decimal(100)), unit


_ONE_IN = re.compile(r"1 ?(?::|/|in) ?([0-9.,]+)")
_ONE_AND = re.compile(r"1 ?\+ ?([0-9.,]+)")
_FOLD = re.compile(r"(?:[x×] ?)?([0-9.,]+) ?(?:[x×]|-? ?fold)?", re.IGNORECASE)
MOST_DILUTED = Decimal(1_000_000)


def parse_dilution(text: str) -> Decimal:
    """Read how many times something is diluted.

    "1:10" and "1 in 10" are read as 1 part made up to 10 parts, which is 1 + 9.

    Parameters
    ----------
    text : str
        What was typed, such as "1:10", "1 in 10", "1 + 9", "10-fold", "10x" or "10" [-].

    Returns
    -------
    Decimal
        How many times weaker it becomes, above 1 and at most a million [-].

    Raises
    ------
    NotAQuantity
        With a sentence that says what to write.

    References
    ----------
    .. [1] 1 in 10 is 1 part made up to 10: common practice, no source.
    """
    tidy = _tidy(text).replace("\u2236", ":").replace("\uff1a", ":")
    wanted = "a dilution such as 1:10 (1 part made up to 10), 1 + 9 or 10"
    for pattern, added in ((_ONE_IN, 0), (_ONE_AND, 1), (_FOLD, 0)):
        found = pattern.fullmatch(tidy)
        if found:
            value, _ = _split(text, found[1], wanted)
            if value + added <= 1:
                raise NotAQuantity(text, f"“{_shown(tidy)}” dilutes nothing; write {wanted}.")
            return _within(text, value + added, "times", None, MOST_DILUTED)
    raise NotAQuantity(
        text,
        f"“{_shown(tidy)}” is not a dilution; write {wanted}."
        if tidy
        else f"Nothing is entered; write {wanted}.",
    )


def format_quantity(value: Decimal, unit: str, *, digits: int = 6) -> str:
    """Write a quantity for a British reader: decimal point, real minus, space before the unit.

    Digits before the point are never rounded away; zeros that were typed are kept.

    Parameters
    ----------
    value : Decimal
        The value in `unit` [any].
    unit : str
        Symbol to write after it; "" for a plain number [-].
    digits : int, optional
        Significant digits kept at most, so that a division does not print 28 of them [-].

    Returns
    -------
    str
        Such as "12.5 mL", with a no-break space, or "−3 °C".

    Raises
    ------
    NotAQuantity
        When the value is not a finite number.

    References
    ----------
    .. [1] BIPM, The International System of Units, 9th edition (2019), section 5.4.3: space between
       number and unit.
    """
    if not value.is_finite():
        raise NotAQuantity(str(value), "There is no figure to show.")
    if value and len(value.as_tuple().digits) > digits:
        last = min(0, value.adjusted() - digits + 1)
        with localcontext() as wide:
            wide.prec = 60
            value = value.quantize(Decimal(1).scaleb(last), rounding=ROUND_HALF_UP)
            value = value.normalize()
    written = format(value + 0 if value else abs(value), "f").replace("-", "\u2212")
    return f"{written}\u00a0{unit}" if unit else written
