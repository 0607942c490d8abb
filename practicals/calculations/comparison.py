"""A class against a published value, and one learner against the others.

A learner's value compared with a class mean that contains it is not independent of that mean, so the
mean is always that of the *others*. "Not significantly different" is never said as "equal".
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import hypot, sqrt
from typing import Literal

from practicals.calculations.spread import Number, centred, numbers, spread, t_quantile

Verdict = Literal["fits", "warning", "action"]

_WARNING, _ACTION = 2.0, 3.0
# A score of exactly 2 fits; in binary (0.64 - 0.60) / 0.02 is a hair above it.
_DECIDED_TO = 9
# Fewer others than this and nearly any difference is possible.
FROM_OTHERS = 4


@dataclass(frozen=True, slots=True)
class AgainstValue:
    """Mean of a class against one published value, all in the unit of the values.

    `t`, `critical` and `p` [-] are None, and `reason` says why, where there is no test.
    """

    n: int
    mean: float | None
    reference: float
    difference: float | None
    t: float | None
    df: int
    critical: float | None
    p: float | None
    interval: tuple[float, float] | None
    level: float
    different: bool | None
    reason: str = ""
    of: str = "readings"

    @property
    def sentence(self) -> str:
        """What may be said, and no more."""
        if self.difference is None:
            return self.reason
        start = (
            f"The mean of {self.n} {self.of} is {abs(self.difference):.2g} {self._side} {self.reference:.3g}"
        )
        if self.different is None or self.t is None or self.critical is None:
            return f"{start}. {self.reason}"
        figures = f"(t = {self.t:.2f}, {self.df} degrees of freedom, critical value {self.critical:.2f})"
        if self.different:
            return f"{start}, more than chance explains {figures}."
        return f"{start}; chance alone may explain that {figures}, which does not show that they are equal."

    @property
    def _side(self) -> str:
        return "below" if self.difference is not None and self.difference < 0 else "above"


@dataclass(frozen=True, slots=True)
class Score:
    """A score [-] and what it says."""

    value: float
    verdict: Verdict

    @property
    def fits(self) -> bool:
        """Nothing to look into."""
        return self.verdict == "fits"


@dataclass(frozen=True, slots=True)
class AgainstOthers:
    """One learner's value against the mean of the others [unit of the values].

    `t` = difference / (s of the others * sqrt(1 + 1/m)) [-], m others, m - 1 degrees of freedom.
    """

    index: int
    value: float
    others: int
    mean_of_others: float | None
    difference: float | None
    t: float | None
    critical: float | None
    apart: bool | None
    reason: str = ""


def against_value(
    values: Sequence[Number], reference: Number, *, level: float = 0.95, of: str = "readings"
) -> AgainstValue:
    """Mean of the values against a published value without stated uncertainty, by Student's t.

    Parameters
    ----------
    values : Sequence[Number]
        Values of n learners [any unit].
    reference : Number
        The published value [the same unit]; its own uncertainty is not known and none is invented.
    level : float
        Confidence level of the test and the interval [-].
    of : str
        What is counted, for the sentence.

    Returns
    -------
    AgainstValue
        t, degrees of freedom, critical value, p and the interval of the mean.

    Raises
    ------
    NotANumberError
        If a value is no ordinary number.

    References
    ----------
    .. [1] Miller J. N., Miller J. C., Statistics and Chemometrics for Analytical Chemistry, 2010
       (comparison of a mean with a known value).

    Examples
    --------
    >>> round(against_value([38.9, 37.4, 37.1], 38.9).t, 2)
    -1.98
    """
    (expected,) = numbers([reference])
    found = spread(values, level=level)
    if found.mean is None or found.sd is None or found.interval is None:
        return AgainstValue(
            n=found.n,
            mean=found.mean,
            reference=expected,
            difference=None if found.mean is None else found.mean - expected,
            t=None,
            df=0,
            critical=None,
            p=None,
            interval=None,
            level=level,
            different=None,
            reason=f"Not enough {of} for a comparison: {found.n}, and it takes at least 2.",
            of=of,
        )
    df = found.n - 1
    difference = found.mean - expected
    critical = t_quantile(level, df)
    t = p = different = None
    reason = ""
    if found.sd > 0:
        from scipy.special import stdtr

        t = difference / (found.sd / sqrt(found.n))
        p = min(1.0, 2 * float(stdtr(df, -abs(t))))
        different = abs(t) > critical
    else:
        reason = "All values are equal, so chance cannot be judged."
    return AgainstValue(
        n=found.n,
        mean=found.mean,
        reference=expected,
        difference=difference,
        t=t,
        df=df,
        critical=critical,
        p=p,
        interval=found.interval,
        level=level,
        different=different,
        reason=reason,
        of=of,
    )


def _three_way(value: float) -> Verdict:
    size = round(abs(value), _DECIDED_TO)
    if size <= _WARNING:
        return "fits"
    return "action" if size >= _ACTION else "warning"


def zeta_score(*, x: float, u_x: float, reference: float, u_reference: float) -> Score:
    """Zeta score: the difference over the combined *standard* uncertainty.

    Parameters
    ----------
    x : float
        The result [any unit].
    u_x : float
        Its standard uncertainty [the same unit].
    reference : float
        The reference value [the same unit].
    u_reference : float
        Its standard uncertainty [the same unit].

    Returns
    -------
    Score
        Zeta [-]; up to 2 fits, 2 to 3 warning, from 3 action.

    Raises
    ------
    ValueError
        If an uncertainty is negative, or both are zero.

    References
    ----------
    .. [1] ISO 13528:2015, zeta scores; NIST Dataplot reference manual, "ZETA SCORE".
    """
    value = (x - reference) / _combined(u_x, u_reference)
    return Score(value, _three_way(value))


def e_n_score(*, x: float, expanded_x: float, reference: float, expanded_reference: float) -> Score:
    """E_n score: the difference over the combined *expanded* uncertainty.

    Parameters
    ----------
    x : float
        The result [any unit].
    expanded_x : float
        Its expanded uncertainty U, k = 2 [the same unit].
    reference : float
        The reference value [the same unit].
    expanded_reference : float
        Its expanded uncertainty U, k = 2 [the same unit].

    Returns
    -------
    Score
        E_n [-]; up to 1 fits, above it action. With k = 2 in both it is half of zeta.

    Raises
    ------
    ValueError
        If an uncertainty is negative, or both are zero.

    References
    ----------
    .. [1] ISO 13528:2015, E_n scores; NIST Dataplot reference manual, "EN SCORE".
    """
    value = (x - reference) / _combined(expanded_x, expanded_reference)
    return Score(value, "fits" if round(abs(value), _DECIDED_TO) <= 1 else "action")


def z_score(*, x: float, reference: float, sigma: float) -> Score:
    """Score z: the difference over the spread that was agreed to be tolerable beforehand.

    Parameters
    ----------
    x : float
        The result [any unit].
    reference : float
        The assigned value [the same unit].
    sigma : float
        The tolerable standard deviation [the same unit], above zero.

    Returns
    -------
    Score
        z [-]; up to 2 fits, 2 to 3 warning, from 3 action.

    Raises
    ------
    ValueError
        If sigma is not above zero.

    References
    ----------
    .. [1] ISO 13528:2015, z scores.
    """
    if not sigma > 0:
        raise ValueError(f"The tolerable spread must be above zero, not {sigma}.")
    value = (x - reference) / sigma
    return Score(value, _three_way(value))


def _combined(first: float, second: float) -> float:
    if first < 0 or second < 0:
        raise ValueError("An uncertainty cannot be negative.")
    both = hypot(first, second)
    if both == 0:
        raise ValueError("Without an uncertainty of either value a difference cannot be judged.")
    return both


def against_others(values: Sequence[Number], *, level: float = 0.95) -> tuple[AgainstOthers, ...]:
    """Every learner's value against the mean of the others.

    Parameters
    ----------
    values : Sequence[Number]
        One value per learner [any unit].
    level : float
        Level of the prediction interval [-]. With many learners some lie outside it by chance: at 95 %
        one in twenty.

    Returns
    -------
    tuple[AgainstOthers, ...]
        In the order of the values; without a verdict where there are fewer than four others.

    Raises
    ------
    NotANumberError
        If a value is no ordinary number.

    References
    ----------
    .. [1] Final report of key comparison CCQM-K30, Metrologia 45 (2008) 08001: a result that made the
       reference value is not independent of it.
    .. [2] Prediction interval for one further normal observation: standard result, no single source.
    """
    found = numbers(values)
    n = len(found)
    if n < FROM_OTHERS + 1:
        return tuple(_few(found, index) for index in range(n))
    mean, squares = centred(found)
    critical = t_quantile(level, n - 2)
    return tuple(_one_of(found, index, mean, squares, critical) for index in range(n))


def _few(found: Sequence[float], index: int) -> AgainstOthers:
    others = [value for place, value in enumerate(found) if place != index]
    reason = f"Not enough readings of others for a comparison: {len(others)}, and it takes {FROM_OTHERS}."
    mean = centred(others)[0] if others else None
    difference = None if mean is None else found[index] - mean
    return AgainstOthers(index, found[index], len(others), mean, difference, None, None, None, reason)


def _one_of(
    found: Sequence[float], index: int, mean: float, squares: float, critical: float
) -> AgainstOthers:
    n, value = len(found), found[index]
    away = value - mean
    mean_of_others = mean - away / (n - 1)
    left = squares - away * away * n / (n - 1)
    # What is left after taking out the one far value may be all rounding: then sum anew.
    if left < 1e-6 * squares:
        mean_of_others, left = centred([one for place, one in enumerate(found) if place != index])
    difference = value - mean_of_others
    sd = sqrt(max(left, 0.0) / (n - 2))
    if sd == 0:
        reason = "The others are all equal, so chance cannot be judged."
        return AgainstOthers(index, value, n - 1, mean_of_others, difference, None, None, None, reason)
    t = difference / (sd * sqrt(1 + 1 / (n - 1)))
    return AgainstOthers(index, value, n - 1, mean_of_others, difference, t, critical, abs(t) > critical)
