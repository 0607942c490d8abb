"""How a class's values of one quantity lie and spread: n, median, MAD, mean, s, interval of the mean.

Where there are too few values for a figure it is None and `missing` says so in words: a page never
shows "nan". Sums are centred before they are squared, so that values that differ only in their last
digits keep their spread.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from math import fsum, isfinite, sqrt
from statistics import median as _median

Number = Decimal | float

# For a normal distribution 1.4826 MAD estimates the standard deviation: 1 / 0.674490.
MAD_TO_SIGMA = 1.482602218505602


class NotANumberError(ValueError):
    """A value is no ordinary number; the message says which and what to do."""

    def __init__(self, place: int, value: object) -> None:
        super().__init__(
            f"Value {place + 1} ({value}) is not an ordinary number, so nothing can be worked out from it."
            " Correct it or leave it out."
        )
        self.place = place
        self.value = value


@dataclass(frozen=True, slots=True)
class Spread:
    """Summary of values in their own unit; a figure is None where there are too few values for it."""

    n: int
    median: float | None
    mad: float | None
    mean: float | None
    sd: float | None
    lowest: float | None
    highest: float | None
    interval: tuple[float, float] | None
    level: float
    missing: tuple[str, ...]

    @property
    def scaled_mad(self) -> float | None:
        """1.4826 MAD, which estimates s and which a few wrong values hardly move."""
        return None if self.mad is None else MAD_TO_SIGMA * self.mad

    @property
    def u_mean(self) -> float | None:
        """Standard uncertainty of the mean, s / sqrt(n)."""
        return None if self.sd is None else self.sd / sqrt(self.n)

    @property
    def all_equal(self) -> bool:
        """Two or more values, all the same: the ruler's graduation hides any spread."""
        return self.n >= 2 and self.lowest == self.highest


def numbers(values: Sequence[Number]) -> list[float]:
    """The values as floats, each proved to be an ordinary number.

    Parameters
    ----------
    values : Sequence[Number]
        Values [any unit].

    Returns
    -------
    list[float]
        The same values in the same order [the same unit].

    Raises
    ------
    NotANumberError
        If a value is text that is no number, infinite or not a number.

    References
    ----------
    .. [1] Common practice, no source.
    """
    found = []
    for place, value in enumerate(values):
        try:
            number = float(value)
        except (TypeError, ValueError) as error:
            raise NotANumberError(place, value) from error
        if not isfinite(number):
            raise NotANumberError(place, value)
        found.append(number)
    return found


def centred(values: Sequence[float]) -> tuple[float, float]:
    """Mean and sum of squared deviations from it, in two passes.

    The one-pass formula, sum of squares less square of the sum, loses all figures where values agree
    in their leading digits.

    Parameters
    ----------
    values : Sequence[float]
        At least one value [any unit].

    Returns
    -------
    tuple[float, float]
        Mean [unit of the values] and sum of squared deviations [unit squared], never negative.

    References
    ----------
    .. [1] Chan T. F., Golub G. H., LeVeque R. J., Algorithms for computing the sample variance,
       Am. Stat. 37 (1983) 242-247 (two-pass algorithm).
    """
    n = len(values)
    first = values[0]
    # Shifted by the first value: equal values then give exactly zero.
    shift = fsum(value - first for value in values) / n
    deviations = [(value - first) - shift for value in values]
    return first + shift, fsum(deviation * deviation for deviation in deviations)


@lru_cache(maxsize=4096)
def t_quantile(level: float, df: int) -> float:
    """Two-sided critical value of Student's t.

    Parameters
    ----------
    level : float
        Probability within plus and minus the value [-], for example 0.95.
    df : int
        Degrees of freedom, at least one.

    Returns
    -------
    float
        Critical value [-].

    Raises
    ------
    ValueError
        If the level is not between 0 and 1, or the degrees of freedom are fewer than one.

    References
    ----------
    .. [1] JCGM 100:2008, table G.2 (3.18 for 3 degrees of freedom at 95 %).
    """
    if not 0 < level < 1:
        raise ValueError(f"A level must lie between 0 and 1, not {level}.")
    if df < 1:
        raise ValueError(f"Student's t needs at least one degree of freedom, not {df}.")
    from scipy.special import stdtrit

    return float(stdtrit(df, 0.5 + level / 2))


def mad_about(values: Sequence[float], middle: float) -> float:
    """Median absolute deviation from a given middle, not scaled.

    Parameters
    ----------
    values : Sequence[float]
        At least one value [any unit].
    middle : float
        Usually their median [unit of the values].

    Returns
    -------
    float
        Median absolute deviation [unit of the values].

    References
    ----------
    .. [1] Huber P. J., Robust Statistics, 1981, section 5.1 (from memory).
    """
    return _median([abs(value - middle) for value in values])


def spread(values: Sequence[Number], *, level: float = 0.95, of: str = "readings") -> Spread:
    """Summary of one set of values.

    Parameters
    ----------
    values : Sequence[Number]
        Values [any unit], in any order, none left out because it looks odd.
    level : float
        Confidence level of the interval of the mean [-].
    of : str
        What is counted, for the sentences, in the plural.

    Returns
    -------
    Spread
        n, median, MAD, mean, s (n - 1) and the interval mean +- t s / sqrt(n) [unit of the values].
        One value has a mean and a median but no spread; two values have both, with a very wide interval.

    Raises
    ------
    NotANumberError
        If a value is no ordinary number.

    References
    ----------
    .. [1] JCGM 100:2008, 4.2 (mean, experimental standard deviation) and G.3 (interval by t).

    Examples
    --------
    >>> spread([0.61, 0.63, 0.62]).median
    0.62
    >>> spread([0.61]).missing
    ('Not enough readings for a spread: 1, and it takes at least 2.',)
    """
    found = numbers(values)
    n = len(found)
    if n < 2:
        only = found[0] if found else None
        missing = [f"Not enough {of} for a spread: {n or 'none'}, and it takes at least 2."]
        if not found:
            missing.insert(0, f"There are no {of}.")
        return Spread(n, only, None, only, None, only, only, None, level, tuple(missing))
    middle = _median(found)
    mean, squares = centred(found)
    sd = sqrt(squares / (n - 1))
    half = t_quantile(level, n - 1) * sd / sqrt(n)
    lowest, highest = min(found), max(found)
    missing = []
    if lowest == highest:
        missing.append(
            f"All {n} {of} are equal, so their spread is smaller than the ruler can show; an interval"
            " of no width is not a certainty."
        )
    return Spread(
        n=n,
        median=middle,
        mad=mad_about(found, middle),
        mean=mean,
        sd=sd,
        lowest=lowest,
        highest=highest,
        interval=(mean - half, mean + half),
        level=level,
        missing=tuple(missing),
    )
