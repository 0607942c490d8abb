"""Two readers whose figures agree to the last digit, and how often chance alone would do that.

Honest readers of one paper with one ruler often agree. The chance given here is worked out for that
paper and that ruler and multiplied by the number of pairs compared. The result is a question to
people, never a verdict.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from itertools import combinations
from math import comb, erf, exp, hypot, pi, sqrt
from operator import eq

# How closely one person places one reading again: assumed, about the
# standard deviation of the rounding to a whole millimetre (0.29 mm).
READER_SD_MM = 0.3
FROM_READINGS = 4
_SHOWN_AT_MOST = 0.05


@dataclass(frozen=True, slots=True)
class ReadSet:
    """One person's readings of one paper [mm], by name of the reading ("front", "lane 1 spot 1").

    Leave out what the practical fixes, such as an origin line drawn at a stated height: all agree there.
    """

    reader: str
    paper: str
    readings: Mapping[str, Decimal]


@dataclass(frozen=True, slots=True)
class SameFigures:
    """Two sets that agree: in how many of how many readings, and the chance of that [-].

    `chance` is for this one pair; `at_most` bounds the chance that any of the pairs compared would
    agree so well (Bonferroni: chance times pairs, never above 1).
    """

    first: str
    second: str
    papers: tuple[str, ...]
    agreeing: int
    readings: int
    chance: float
    at_most: float
    pairs: int
    division_mm: float
    reader_sd_mm: float

    @property
    def sentence(self) -> str:
        """A question, with the chance."""
        every = self.agreeing == self.readings
        how_many = f"all {self.readings}" if every else f"{self.agreeing} of {self.readings}"
        same = "of this paper" if len(self.papers) == 1 else "of two different papers"
        ruler = f"to about {self.reader_sd_mm:g} mm with a ruler in {self.division_mm:g} mm"
        return (
            f"Two sets of readings {same} agree to the last digit in {how_many} readings. Two people who each"
            f" read {ruler} agree so well {in_words(self.chance)} by chance; that any of the {self.pairs}"
            f" pairs compared does, happens at most {in_words(self.at_most)}. Did both read for themselves?"
        )


def in_words(chance: float) -> str:
    """A chance as people say it.

    Parameters
    ----------
    chance : float
        Probability [-].

    Returns
    -------
    str
        "1 time in 26", "19 % of the time", "less than 1 time in 100,000".

    References
    ----------
    .. [1] Common practice, no source.
    """
    if chance >= 0.1:
        return f"{chance:.0%} of the time".replace("%", " %")
    if chance < 1e-5:
        return "less than 1 time in 100,000"
    digits = 2 - len(str(int(1 / chance)))
    return f"1 time in {round(1 / chance, min(0, digits)):,.0f}"


@lru_cache(maxsize=1024)
def agreement_chance(
    *, division_mm: float, reader_sd_mm: float = READER_SD_MM, apart_mm: float = 0.0
) -> float:
    """Chance that two readers write down the same figure for one place.

    Both read the same true place, each with a normal error, to the nearest mark; the place itself lies
    anywhere between two marks, equally likely. Two values that are D apart then fall to one mark with
    probability max(0, 1 - |D| / d), and D is normal with standard deviation s sqrt(2).

    Parameters
    ----------
    division_mm : float
        Division d to which they read [mm].
    reader_sd_mm : float
        Standard deviation s of one reader's placing [mm].
    apart_mm : float
        Standard deviation by which the true places themselves differ, for two different papers [mm].

    Returns
    -------
    float
        Probability [-].

    Raises
    ------
    ValueError
        If the division is not above zero, or a standard deviation is negative.

    References
    ----------
    .. [1] Derived here; JCGM 100:2008, 4.3.7 and F.2.2.1 for the rounding to a mark.

    Examples
    --------
    >>> round(agreement_chance(division_mm=1.0, reader_sd_mm=0.3) ** 4, 3)
    0.194
    """
    if not division_mm > 0:
        raise ValueError(f"A ruler's division must be above 0 mm, not {division_mm}.")
    if reader_sd_mm < 0 or apart_mm < 0:
        raise ValueError("A standard deviation cannot be below 0 mm.")
    sd = hypot(sqrt(2) * reader_sd_mm, apart_mm)
    if sd == 0:
        return 1.0
    reach = division_mm / sd
    within = erf(reach / sqrt(2))
    return within - 2 / reach * (1 - exp(-reach * reach / 2)) / sqrt(2 * pi)


@lru_cache(maxsize=65536)
def chance_of_as_many(agreeing: int, readings: int, single: float) -> float:
    """Chance that at least so many of the readings agree.

    Parameters
    ----------
    agreeing : int
        Readings that agree.
    readings : int
        Readings compared.
    single : float
        Chance of agreement of one reading [-].

    Returns
    -------
    float
        Upper tail of the binomial distribution [-].

    Raises
    ------
    ValueError
        If the counts or the chance are impossible.

    References
    ----------
    .. [1] Binomial distribution: standard result; readings of different places are independent.
    """
    if not 0 <= agreeing <= readings or not 0 <= single <= 1:
        raise ValueError(f"{agreeing} of {readings} readings cannot agree with a chance of {single}.")
    return min(
        1.0,
        sum(
            comb(readings, count) * single**count * (1 - single) ** (readings - count)
            for count in range(agreeing, readings + 1)
        ),
    )


def same_figures(
    sets: Sequence[ReadSet],
    *,
    division_mm: float,
    reader_sd_mm: float = READER_SD_MM,
    between_papers_sd_mm: float | None = None,
    shown_at_most: float = _SHOWN_AT_MOST,
    from_readings: int = FROM_READINGS,
) -> tuple[SameFigures, ...]:
    """Pairs of sets that agree better than chance explains, after allowing for all pairs compared.

    Parameters
    ----------
    sets : Sequence[ReadSet]
        Everybody's readings.
    division_mm : float
        Division to which the session reads [mm]; a ruler in whole millimetres gives 1.
    reader_sd_mm : float
        Standard deviation of one reader's placing of one reading [mm]. Set it too small rather than too
        large: a larger one makes honest agreement look rarer than it is.
    between_papers_sd_mm : float | None
        Where given, sets of different papers are compared too, and the same place is taken to differ by
        this much between two papers [mm].
    shown_at_most : float
        A pair is shown where the corrected chance is at most this [-].
    from_readings : int
        Pairs with fewer readings in common are not compared.

    Returns
    -------
    tuple[SameFigures, ...]
        The rarest first. Pairs that agree in fewer than half of their readings are never shown.

    Raises
    ------
    ValueError
        If the division is not above zero, or a standard deviation is negative.

    References
    ----------
    .. [1] Bonferroni's inequality, which also holds for pairs that share a reader: standard result.
    """
    within = agreement_chance(division_mm=division_mm, reader_sd_mm=reader_sd_mm)
    across = 0.0
    if between_papers_sd_mm is not None:
        across = agreement_chance(
            division_mm=division_mm, reader_sd_mm=reader_sd_mm, apart_mm=between_papers_sd_mm
        )
    pairs, likely = _compared(
        sets, from_readings=from_readings, across_papers=between_papers_sd_mm is not None
    )
    found = []
    for first, second, agreeing, readings in likely:
        chance = chance_of_as_many(agreeing, readings, within if first.paper == second.paper else across)
        if chance * pairs > shown_at_most:
            continue
        found.append(
            SameFigures(
                first=first.reader,
                second=second.reader,
                papers=tuple(dict.fromkeys((first.paper, second.paper))),
                agreeing=agreeing,
                readings=readings,
                chance=chance,
                at_most=min(1.0, chance * pairs),
                pairs=pairs,
                division_mm=division_mm,
                reader_sd_mm=reader_sd_mm,
            )
        )
    return tuple(sorted(found, key=lambda one: (one.chance, one.first, one.second)))


@dataclass(frozen=True, slots=True)
class _Coded:
    """A set whose figures are small whole numbers, so that many pairs are quickly compared.

    A missing reading has a number of its own, which agrees with nobody's; `made` has a bit for each reading.
    """

    of: ReadSet
    figures: tuple[int, ...]
    made: int


def _coded(sets: Sequence[ReadSet]) -> list[_Coded]:
    names = list(dict.fromkeys(name for one in sets for name in one.readings))
    codes: dict[Decimal, int] = {}
    found = []
    for place, one in enumerate(sets, 1):
        figures = [
            codes.setdefault(one.readings[name], len(codes)) if name in one.readings else -place
            for name in names
        ]
        made = sum(1 << bit for bit, name in enumerate(names) if name in one.readings)
        found.append(_Coded(one, tuple(figures), made))
    return found


def _compared(
    sets: Sequence[ReadSet], *, from_readings: int, across_papers: bool
) -> tuple[int, list[tuple[ReadSet, ReadSet, int, int]]]:
    """How many pairs were compared, and those that agree in at least half of their readings."""
    tables: dict[str, list[ReadSet]] = {}
    for one in sets:
        tables.setdefault("" if across_papers else one.paper, []).append(one)
    pairs = 0
    likely = []
    for table in tables.values():
        for first, second in combinations(_coded(table), 2):
            readings = (first.made & second.made).bit_count()
            if readings < from_readings or first.of.reader == second.of.reader:
                continue
            pairs += 1
            agreeing = sum(map(eq, first.figures, second.figures))
            if 2 * agreeing >= readings:
                likely.append((first.of, second.of, agreeing, readings))
    return pairs, likely
