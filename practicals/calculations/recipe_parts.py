"""What is wrong with the parts of one recipe, as sentences for whoever wrote the practical."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from decimal import Decimal

from practicals.calculations.practical_definition import RecipePart
from reagents.calculations.cas_numbers import NotACasNumber, checked_cas

_LIKE_A_CAS_NUMBER = re.compile(r"[\d\s-]{5,}")


def mistyped_cas(substance: str) -> str:
    """Why a substance given by its CAS number cannot be that.

    Parameters
    ----------
    substance : str
        A name, or a CAS number [-].

    Returns
    -------
    str
        A sentence; empty for a name and for a number whose check digit is right.

    References
    ----------
    .. [1] Check digit: `reagents.calculations.cas_numbers.check_digit_of`.
    """
    if not _LIKE_A_CAS_NUMBER.fullmatch(substance):
        return ""
    try:
        checked_cas(substance)
    except NotACasNumber as error:
        return str(error)
    return ""


def part_problems(parts: Sequence[RecipePart]) -> Iterator[str]:
    """What no recipe can hold: one substance twice, or shares that are more than the whole.

    Parameters
    ----------
    parts : sequence of RecipePart
        The parts of one recipe [-].

    Yields
    ------
    str
        A sentence for each.

    References
    ----------
    No formula: the shares of a whole add up to 100 % at most.
    """
    named = Counter(part.substance.casefold() for part in parts if part.substance and not part.recipe)
    for name, times in named.items():
        if times > 1:
            yield f"{name} is in it {times} times; put its amounts together."
    for basis in ("% v/v", "% w/w"):
        whole = sum((part.amount or Decimal(0) for part in parts if part.basis == basis), Decimal(0))
        if whole > 100:
            yield f"the amounts in {basis} add up to {whole} %, which is more than the whole."
