"""CAS numbers: their form and their check digit."""

import re

_HYPHENS = str.maketrans(dict.fromkeys("\u2212\u2010\u2011\u2012\u2013\u2014", "-"))


class NotACasNumber(ValueError):
    """A CAS number of the wrong form, or with a wrong check digit; the message says which is expected."""

    def __init__(self, cas: str, message: str) -> None:
        super().__init__(message)
        self.cas = cas


def check_cas(cas: str) -> bool:
    """Whether a CAS number is well formed and its check digit holds.

    The last digit is the sum of the others, each times its place from the right, modulo 10.

    Parameters
    ----------
    cas : str
        Such as "71-36-3" [-].

    Returns
    -------
    bool
        True when the form and the digit are right.

    References
    ----------
    .. [1] CAS, Check Digit Verification of CAS Registry Numbers (from memory).
    """
    if not re.fullmatch(r"[1-9][0-9]{1,6}-[0-9]{2}-[0-9]", cas):
        return False
    *digits, check = (int(digit) for digit in cas.replace("-", ""))
    return sum(place * digit for place, digit in enumerate(reversed(digits), start=1)) % 10 == check


def check_digit_of(cas: str) -> int:
    """The check digit that belongs to the other digits of a CAS number.

    Parameters
    ----------
    cas : str
        Such as "71-36-3"; its last digit is not looked at [-].

    Returns
    -------
    int
        The digit that should stand last [-].

    References
    ----------
    .. [1] CAS, Check Digit Verification of CAS Registry Numbers (from memory).
    """
    digits = [int(digit) for digit in cas if digit.isascii() and digit.isdigit()][:-1]
    return sum(place * digit for place, digit in enumerate(reversed(digits), start=1)) % 10


def checked_cas(cas: str) -> str:
    """A CAS number as it was typed, without spaces, when its form and check digit are right.

    Parameters
    ----------
    cas : str
        What was typed [-].

    Returns
    -------
    str
        The number.

    Raises
    ------
    NotACasNumber
        With the digit that was expected.

    References
    ----------
    .. [1] `check_digit_of`.
    """
    tidy = re.sub(r"[\s\u200b]", "", cas).translate(_HYPHENS)
    if check_cas(tidy):
        return tidy
    if not re.fullmatch(r"[1-9][0-9]{1,6}-[0-9]{2}-[0-9]", tidy):
        raise NotACasNumber(
            cas, f"“{cas.strip()[:30]}” is not a CAS number; write it with its two hyphens, such as 71-36-3."
        )
    digit = check_digit_of(tidy)
    raise NotACasNumber(
        cas,
        f"The CAS number {tidy} is mistyped: its last digit should be {digit}, or another digit is wrong. "
        "Compare it with the bottle.",
    )
