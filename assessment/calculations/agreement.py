"""Agreement between assessor and verifier: percent first, kappa beside it, never kappa alone.

Kappa compares the agreement seen with what the two people's habits would give by chance. The list of
categories is always given in order: an outcome nobody used still holds its place.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction
from typing import Literal

Weights = Literal["none", "linear", "quadratic"]

FEWEST_FOR_A_WORD = 30
"""Pairs below which kappa's interval is about as wide as its scale, so no word is put on it."""

_BANDS = (
    (Decimal(0), "slight"),
    (Decimal("0.20"), "fair"),
    (Decimal("0.40"), "moderate"),
    (Decimal("0.60"), "substantial"),
    (Decimal("0.80"), "almost perfect"),
)


class AgreementError(ValueError):
    """Judgements that cannot be compared; the message says why."""


@dataclass(frozen=True)
class Agreement:
    """How far two judges agree. `share` and `kappa` are None where they are not defined."""

    n: int
    agreed: int
    share: float | None
    kappa: float | None
    weights: Weights
    sentence: str


def compare(
    pairs: Sequence[tuple[str, str]], categories: Sequence[str], weights: Weights = "none"
) -> Agreement:
    """Compare two judges' outcomes, pair by pair.

    Parameters
    ----------
    pairs : sequence of (str, str)
        Outcome of the first and of the second judge for the same piece.
    categories : sequence of str
        Every outcome that was possible, in order from lowest to highest, used or not.
    weights : {"none", "linear", "quadratic"}
        "none" for met and not yet met; for ordered grades a distance can count partly.

    Returns
    -------
    Agreement
        Number of pairs, share that agree, kappa, and a sentence.

    Raises
    ------
    AgreementError
        If the categories are fewer than two or repeated, or an outcome is not among them.

    References
    ----------
    Cohen J. (1960) Educ. Psychol. Meas. 20, 37-46; weights: Cohen J. (1968) Psychol. Bull. 70, 213-220.
    """
    order = {category: place for place, category in enumerate(categories)}
    if len(order) != len(categories):
        raise AgreementError("A category is listed twice; list each possible outcome once.")
    table = [[0] * len(categories) for _ in categories]
    for first, second in pairs:
        for outcome in (first, second):
            if outcome not in order:
                raise AgreementError(f"“{outcome}” is not among the categories {', '.join(categories)}.")
        table[order[first]][order[second]] += 1
    return compare_table(table, weights)


def compare_table(table: Sequence[Sequence[int]], weights: Weights = "none") -> Agreement:
    """Compare two judges from a table of counts.

    Parameters
    ----------
    table : sequence of sequence of int
        Square table [-]; rows the first judge, columns the second, categories in order.
    weights : {"none", "linear", "quadratic"}
        As in `compare`.

    Returns
    -------
    Agreement
        Number of pairs, share that agree, kappa, and a sentence.

    Raises
    ------
    AgreementError
        If the table is not square, smaller than 2 by 2, or holds a negative count.

    References
    ----------
    Cohen J. (1960) Educ. Psychol. Meas. 20, 37-46; weights: Cohen J. (1968) Psychol. Bull. 70, 213-220.
    """
    _check_table(table, weights)
    n = sum(map(sum, table))
    agreed = sum(table[i][i] for i in range(len(table)))
    kappa = _kappa(table, n, weights)
    return Agreement(
        n=n,
        agreed=agreed,
        share=agreed / n if n else None,
        kappa=None if kappa is None else float(kappa),
        weights=weights,
        sentence=_sentence(n, agreed, kappa, weights),
    )


def strength_word(kappa: float) -> str:
    """Return the customary word for a kappa; arbitrary, so the number always stands beside it.

    Parameters
    ----------
    kappa : float
        Kappa, -1 to 1 [-].

    Returns
    -------
    str
        "poor", "slight", "fair", "moderate", "substantial" or "almost perfect".

    Raises
    ------
    AgreementError
        If the value is outside -1 to 1.

    References
    ----------
    Landis J. R., Koch G. G. (1977) Biometrics 33, 159-174 (bands read on a public statistics page).
    """
    if not -1 <= kappa <= 1:
        raise AgreementError(f"Kappa lies between -1 and 1, not at {kappa}.")
    if kappa < 0:
        return "poor"
    # The bands are printed to two decimals (0.21 to 0.40), so the value is rounded before it is placed.
    printed = _two_decimals(Fraction(kappa))
    return next((word for above, word in reversed(_BANDS) if printed > above), "slight")


def _check_table(table: Sequence[Sequence[int]], weights: str) -> None:
    if weights not in ("none", "linear", "quadratic"):
        raise AgreementError(f"“{weights}” is no kind of weights. Use none, linear or quadratic.")
    if len(table) < 2 or any(len(row) != len(table) for row in table):
        raise AgreementError("Agreement needs a square table with at least two categories.")
    if any(count < 0 for row in table for count in row):
        raise AgreementError("A count of judgements cannot be negative.")


def _kappa(table: Sequence[Sequence[int]], n: int, weights: Weights) -> Fraction | None:
    size = range(len(table))
    rows = [sum(table[i]) for i in size]
    columns = [sum(table[i][j] for i in size) for j in size]
    seen = sum(_distance(i, j, weights) * table[i][j] for i in size for j in size)
    by_chance = sum(_distance(i, j, weights) * rows[i] * columns[j] for i in size for j in size)
    return 1 - Fraction(seen * n, by_chance) if by_chance else None


def _distance(i: int, j: int, weights: Weights) -> int:
    if weights == "none":
        return int(i != j)
    return abs(i - j) if weights == "linear" else (i - j) ** 2


def _sentence(n: int, agreed: int, kappa: Fraction | None, weights: Weights) -> str:
    if n == 0:
        return "No pair of judgements yet, so there is no agreement to state."
    percent = int((Decimal(agreed * 100) / n).quantize(Decimal(1), rounding=ROUND_HALF_UP))
    if agreed < n:
        percent = min(percent, 99)
    pairs = "pair of judgements agrees" if n == 1 else "judgements agree"
    lead = f"{agreed} of {n} {pairs} ({percent} %)"
    if kappa is None:
        return f"{lead}; kappa is not defined, because both used one and the same outcome throughout."
    name = "kappa" if weights == "none" else f"kappa with {weights} weights"
    value = str(_two_decimals(kappa)).replace("-", "−")
    if n < FEWEST_FOR_A_WORD:
        return f"{lead}; {name} {value}, from too few pairs to put a word on it."
    return f"{lead}; {name} {value} ({strength_word(float(kappa))})."


def _two_decimals(value: Fraction) -> Decimal:
    return (Decimal(value.numerator) / value.denominator).quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)
