"""Agreement of several judges on the same pieces: percent first, Fleiss' kappa beside it."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from assessment.calculations.agreement import FEWEST_FOR_A_WORD, AgreementError, compare, strength_word


@dataclass(frozen=True)
class ManyJudges:
    """`share` is the mean share of pairs of judges who agree; None, like `kappa`, where not defined."""

    judges: int
    pieces: int
    unanimous: int
    share: float | None
    kappa: float | None
    sentence: str


def fleiss_kappa(counts: Sequence[Sequence[int]]) -> float | None:
    """Return Fleiss' kappa.

    Parameters
    ----------
    counts : sequence of sequence of int
        One row per piece: how many judges gave each category [-]. Every row adds up to the same number of
        judges, at least 2.

    Returns
    -------
    float or None
        Kappa [-]; None when all judges gave one and the same category throughout.

    Raises
    ------
    AgreementError
        If there is no piece, a count is negative or the rows do not add up to the same number.

    References
    ----------
    Fleiss J. L. (1971) Psychol. Bull. 76, 378-382.
    """
    judges = _judges(counts)
    total = len(counts) * judges
    columns = [sum(row[j] for row in counts) for j in range(len(counts[0]))]
    by_chance = sum(Fraction(column, total) ** 2 for column in columns)
    if by_chance == 1:
        return None
    return float((_agreeing_pairs(counts, judges) - by_chance) / (1 - by_chance))


def compare_many(readings: Sequence[Sequence[str]], categories: Sequence[str]) -> ManyJudges:
    """Compare what several judges said of the same pieces.

    Parameters
    ----------
    readings : sequence of sequence of str
        One row per piece with each judge's outcome, the judges always in the same order.
    categories : sequence of str
        Every outcome that was possible, in order, used or not.

    Returns
    -------
    ManyJudges
        Counts, the mean share of agreeing pairs, kappa and a sentence. For two judges kappa is Cohen's,
        for more it is Fleiss'.

    Raises
    ------
    AgreementError
        If rows differ in length or an outcome is not among the categories.

    References
    ----------
    Fleiss J. L. (1971) Psychol. Bull. 76, 378-382; Cohen J. (1960) Educ. Psychol. Meas. 20, 37-46.
    """
    judges = len(readings[0]) if readings else 0
    if judges < 2:
        return ManyJudges(judges, len(readings), 0, None, None, "Agreement needs at least two judges.")
    counts = [[list(row).count(category) for category in categories] for row in readings]
    if any(len(row) != judges or sum(count) != judges for row, count in zip(readings, counts, strict=True)):
        raise AgreementError("Every judge needs one of the possible outcomes for every piece.")
    share = _agreeing_pairs(counts, judges)
    unanimous = sum(max(row) == judges for row in counts)
    if judges == 2:
        kappa = compare([(row[0], row[1]) for row in readings], categories).kappa
    else:
        kappa = fleiss_kappa(counts)
    lead = (
        f"{judges} judges agree on {unanimous} of {len(readings)} "
        f"criteri{'on' if len(readings) == 1 else 'a'}; of all pairs of judgements {_percent(share)} % agree"
    )
    sentence = f"{lead}; {_kappa_words(kappa, judges, len(readings))}"
    return ManyJudges(judges, len(readings), unanimous, float(share), kappa, sentence)


def _judges(counts: Sequence[Sequence[int]]) -> int:
    if not counts or any(count < 0 for row in counts for count in row):
        raise AgreementError("Agreement needs at least one piece, and no count below 0.")
    judges = sum(counts[0])
    if judges < 2 or any(sum(row) != judges for row in counts):
        raise AgreementError("Every piece needs the same number of judges, at least two.")
    return judges


def _agreeing_pairs(counts: Sequence[Sequence[int]], judges: int) -> Fraction:
    agreeing = sum(count * (count - 1) for row in counts for count in row)
    return Fraction(agreeing, len(counts) * judges * (judges - 1))


def _percent(share: Fraction) -> int:
    percent = int((Decimal(share.numerator) * 100 / share.denominator).quantize(Decimal(1), ROUND_HALF_UP))
    return percent if share == 1 else min(percent, 99)


def _kappa_words(kappa: float | None, judges: int, pieces: int) -> str:
    name = "Cohen’s kappa" if judges == 2 else "Fleiss’ kappa"
    if kappa is None:
        return f"{name} is not defined, because all gave one and the same outcome throughout."
    value = f"{kappa:.2f}".replace("-", "−")
    if pieces < FEWEST_FOR_A_WORD:
        return f"{name} {value}, from too few judgements to put a word on it."
    return f"{name} {value} ({strength_word(kappa)})."
