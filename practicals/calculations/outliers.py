"""Values that stand out. An outlier is a question to a person: nothing is ever removed.

Side and level stand in every result, since the same statistic can pass at one and fail at the other.
A single suspect is Grubbs's; where more than one is suspected, the generalised ESD procedure is used,
because two odd values together hide each other. Tests are offered from six values up.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import sqrt
from typing import Literal

from practicals.calculations.spread import Number, Spread, centred, numbers, spread

Side = Literal["low", "high", ""]

# With three values G cannot exceed 1.1547: two equal readings and any third one would "fail".
FROM_VALUES = 6
_EVER = 3
# Below this the critical values of the ESD procedure are only rough (Rosner 1983, by simulation).
_ESD_GOOD_FROM = 15


@dataclass(frozen=True, slots=True)
class Grubbs:
    """One suspect value tested; `outlier` is None, and `reason` says why, where there is no test.

    `index` is the suspect's place in the values as given; `statistic` is G [-], `p_bound` an upper
    bound of the probability of so large a G among honest normal values [-].
    """

    n: int
    index: int | None
    value: float | None
    statistic: float | None
    critical: float | None
    p_bound: float | None
    outlier: bool | None
    alpha: float
    sides: int
    side: Side
    reason: str = ""

    @property
    def sentence(self) -> str:
        """The verdict in words, with side and level."""
        if self.outlier is None or self.statistic is None or self.critical is None:
            return self.reason
        said = "stands out from" if self.outlier else "does not stand out from"
        return (
            f"{self.value:.3g} {said} the other {self.n - 1} values: G = {self.statistic:.3f}, critical value"
            f" {self.critical:.3f} ({_how(self.sides, self.alpha)})."
        )


@dataclass(frozen=True, slots=True)
class EsdStep:
    """One step of the generalised ESD procedure: the value taken out, its R and its critical value [-]."""

    index: int
    value: float
    statistic: float
    critical: float


@dataclass(frozen=True, slots=True)
class Esd:
    """The procedure's steps and the places of the values that stand out, most extreme first."""

    n: int
    at_most: int
    alpha: float
    steps: tuple[EsdStep, ...]
    outliers: tuple[int, ...]
    approximate: bool
    reason: str = ""

    @property
    def sentence(self) -> str:
        """The verdict in words, with side, level and the stated limit."""
        if self.reason:
            return self.reason
        found = len(self.outliers)
        what = {0: "No value stands", 1: "One value stands"}.get(found, f"{found} values stand")
        rough = " With so few values the critical values are rough." if self.approximate else ""
        return (
            f"{what} out (generalised ESD, at most {self.at_most} looked for, {_how(2, self.alpha)}).{rough}"
        )


@dataclass(frozen=True, slots=True)
class Flagged:
    """Summary of all values, and beside it without those that stand out; `flagged` are their places."""

    every: Spread
    without: Spread | None
    flagged: tuple[int, ...]
    test: Grubbs | Esd

    @property
    def sentence(self) -> str:
        """What the test says, and that nothing was removed."""
        if not self.flagged:
            return self.test.sentence
        return f"{self.test.sentence} Nothing was removed: the summary is shown with and without."


def _how(sides: int, alpha: float) -> str:
    return f"{'one' if sides == 1 else 'two'}-sided, {100 * alpha:g} %"


def _check(alpha: float, sides: int = 1) -> None:
    if not 0 < alpha < 1:
        raise ValueError(f"A level of significance must lie between 0 and 1, not {alpha}.")
    if sides not in {1, 2}:
        raise ValueError(f"A test has one side or two, not {sides}.")


@lru_cache(maxsize=4096)
def grubbs_critical(n: int, *, alpha: float = 0.05, sides: int = 2) -> float:
    """Critical value of Grubbs's test for one outlier.

    (n - 1) / sqrt(n) * sqrt(t^2 / (n - 2 + t^2)), t the upper alpha / n point of Student's t on n - 2
    degrees of freedom for a one-sided test, alpha / (2 n) for a two-sided one.

    Parameters
    ----------
    n : int
        How many values, the suspect among them; at least three.
    alpha : float
        Level of significance [-].
    sides : int
        1 where the side was fixed before looking, else 2.

    Returns
    -------
    float
        Critical value of G [-].

    Raises
    ------
    ValueError
        If there are fewer than three values, or level or sides are impossible.

    References
    ----------
    .. [1] Grubbs F. E., Beck G., Technometrics 14 (1972) 847-854.

    Examples
    --------
    >>> round(grubbs_critical(6, alpha=0.05, sides=1), 3), round(grubbs_critical(6, sides=2), 3)
    (1.822, 1.887)
    """
    _check(alpha, sides)
    if n < _EVER:
        raise ValueError(f"Grubbs's test needs at least three values, not {n}.")
    from scipy.special import stdtrit

    t = -float(stdtrit(n - 2, alpha / (sides * n)))
    return (n - 1) / sqrt(n) * sqrt(t * t / (n - 2 + t * t))


def _grubbs_p(statistic: float, n: int, sides: int) -> float:
    """Bonferroni's bound n P(T > t), twice that for two sides, never above 1."""
    from scipy.special import stdtr

    most = (n - 1) / sqrt(n)
    if statistic >= most:
        return 0.0
    t = sqrt((n - 2) * statistic**2 * n / ((n - 1) ** 2 - n * statistic**2))
    return min(1.0, sides * n * float(stdtr(n - 2, -t)))


def _suspect(values: Sequence[float], mean: float, side: Side) -> int:
    places = range(len(values))
    if side == "high":
        return max(places, key=values.__getitem__)
    if side == "low":
        return min(places, key=values.__getitem__)
    return max(places, key=lambda place: abs(values[place] - mean))


def grubbs(
    values: Sequence[Number],
    *,
    alpha: float = 0.05,
    side: Side = "",
    from_values: int = FROM_VALUES,
) -> Grubbs:
    """Grubbs's test of the one most extreme value. It finds one outlier and is never run in a loop.

    Parameters
    ----------
    values : Sequence[Number]
        Values [any unit].
    alpha : float
        Level of significance [-], fixed before looking.
    side : Side
        "low" or "high" for a one-sided test of that side, empty for a two-sided test of either.
    from_values : int
        No test below this many values; fewer than three are never tested.

    Returns
    -------
    Grubbs
        The suspect, G, its critical value and the verdict, or the reason why there is none.

    Raises
    ------
    NotANumberError
        If a value is no ordinary number.
    ValueError
        If the level is impossible.

    References
    ----------
    .. [1] Grubbs F. E., Beck G., Technometrics 14 (1972) 847-854.
    .. [2] NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1.
    """
    sides = 1 if side else 2
    _check(alpha, sides)
    found = numbers(values)
    n = len(found)
    least = max(from_values, _EVER)

    def no_test(reason: str) -> Grubbs:
        return Grubbs(n, None, None, None, None, None, None, alpha, sides, side, reason)

    if n < least:
        return no_test(f"Not enough readings for an outlier test: {n}, and it takes at least {least}.")
    if min(found) == max(found):
        return no_test(f"All {n} values are equal, so none of them can stand out.")
    mean, squares = centred(found)
    sd = sqrt(squares / (n - 1))
    if sd == 0:
        return no_test("The values differ by less than can be computed, so none of them can stand out.")
    index = _suspect(found, mean, side)
    statistic = abs(found[index] - mean) / sd
    critical = grubbs_critical(n, alpha=alpha, sides=sides)
    return Grubbs(
        n=n,
        index=index,
        value=found[index],
        statistic=statistic,
        critical=critical,
        p_bound=_grubbs_p(statistic, n, sides),
        outlier=statistic > critical,
        alpha=alpha,
        sides=sides,
        side=side,
    )


def straggler_or_outlier(test: Grubbs) -> Literal["", "straggler", "outlier"]:
    """The trade's two words: a straggler stands out at 5 %, an outlier also at 1 %.

    Parameters
    ----------
    test : Grubbs
        A test of one suspect value.

    Returns
    -------
    Literal["", "straggler", "outlier"]
        Empty where the value does not stand out at 5 %, or was not tested.

    References
    ----------
    .. [1] ISO 5725-2, treatment of outliers (levels from memory).
    """
    if test.statistic is None or test.statistic <= grubbs_critical(test.n, alpha=0.05, sides=test.sides):
        return ""
    beyond = test.statistic > grubbs_critical(test.n, alpha=0.01, sides=test.sides)
    return "outlier" if beyond else "straggler"


def grubbs_from_summary(
    *, n: int, mean: float, sd: float, suspect: float, alpha: float = 0.05, sides: int = 2
) -> Grubbs:
    """Grubbs's test where only n, mean and s are known, as a report prints them.

    Parameters
    ----------
    n : int
        How many values, the suspect among them.
    mean : float
        Their mean [any unit].
    sd : float
        Their standard deviation [the same unit], above zero.
    suspect : float
        The suspect value [the same unit].
    alpha : float
        Level of significance [-].
    sides : int
        1 or 2.

    Returns
    -------
    Grubbs
        As from `grubbs`, without a place.

    Raises
    ------
    ValueError
        If the standard deviation is not above zero, or there are fewer than three values.

    References
    ----------
    .. [1] Grubbs F. E., Beck G., Technometrics 14 (1972) 847-854.
    """
    if not sd > 0:
        raise ValueError(f"A standard deviation must be above zero for this test, not {sd}.")
    critical = grubbs_critical(n, alpha=alpha, sides=sides)
    statistic = abs(suspect - mean) / sd
    side: Side = "" if sides != 1 else ("high" if suspect > mean else "low")
    p_bound = _grubbs_p(statistic, n, sides)
    return Grubbs(n, None, suspect, statistic, critical, p_bound, statistic > critical, alpha, sides, side)


@lru_cache(maxsize=8192)
def esd_critical(n: int, step: int, *, alpha: float = 0.05) -> float:
    """Critical value of one step of the generalised ESD procedure, two-sided.

    Parameters
    ----------
    n : int
        How many values there were before any was set aside.
    step : int
        The step, from 1 to n - 2.
    alpha : float
        Level of significance [-].

    Returns
    -------
    float
        Critical value lambda [-].

    Raises
    ------
    ValueError
        If there is no such step, or the level is impossible.

    References
    ----------
    .. [1] Rosner B., Technometrics 25 (1983) 165-172.
    .. [2] NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.3.
    """
    _check(alpha)
    if not 1 <= step <= n - 2:
        raise ValueError(f"With {n} values there is no step {step}.")
    from scipy.special import stdtrit

    df = n - step - 1
    t = -float(stdtrit(df, alpha / (2 * (n - step + 1))))
    return (n - step) * t / sqrt((df + t * t) * (n - step + 1))


def generalised_esd(
    values: Sequence[Number],
    *,
    at_most: int | None = None,
    alpha: float = 0.05,
    from_values: int = FROM_VALUES,
) -> Esd:
    """Generalised extreme Studentised deviate procedure: up to a stated number of outliers.

    All steps are taken; the number of outliers is the *last* step whose statistic exceeds its critical
    value, so that two values which hide each other in the first step are both found.

    Parameters
    ----------
    values : Sequence[Number]
        Values [any unit].
    at_most : int | None
        The largest number of outliers looked for; where None, a fifth of the values, at most ten.
    alpha : float
        Level of significance [-].
    from_values : int
        No test below this many values.

    Returns
    -------
    Esd
        Every step, and the places of the values that stand out.

    Raises
    ------
    NotANumberError
        If a value is no ordinary number.
    ValueError
        If the level is impossible or `at_most` is below one.

    References
    ----------
    .. [1] Rosner B., Technometrics 25 (1983) 165-172.
    """
    _check(alpha)
    if at_most is not None and at_most < 1:
        raise ValueError(f"The procedure must be allowed at least one outlier, not {at_most}.")
    found = numbers(values)
    n = len(found)
    # Above half the values "outlier" has no meaning.
    limit = min(at_most or max(1, min(10, n // 5)), max(1, (n - 1) // 2))
    rough = n < _ESD_GOOD_FROM
    least = max(from_values, _EVER)
    if n < least:
        reason = f"Not enough readings for an outlier test: {n}, and it takes at least {least}."
        return Esd(n, limit, alpha, (), (), rough, reason)
    if min(found) == max(found):
        reason = f"All {n} values are equal, so none of them can stand out."
        return Esd(n, limit, alpha, (), (), rough, reason)
    steps = tuple(_esd_steps(found, limit, alpha))
    last = max((number for number, step in enumerate(steps, 1) if step.statistic > step.critical), default=0)
    return Esd(n, limit, alpha, steps, tuple(step.index for step in steps[:last]), rough)


def _esd_steps(found: Sequence[float], limit: int, alpha: float) -> list[EsdStep]:
    places = list(range(len(found)))
    steps: list[EsdStep] = []
    for step in range(1, limit + 1):
        left = [found[place] for place in places]
        mean, squares = centred(left)
        sd = sqrt(squares / (len(left) - 1))
        if sd == 0:
            break
        worst = _suspect(left, mean, "")
        index = places.pop(worst)
        steps.append(
            EsdStep(
                index=index,
                value=found[index],
                statistic=abs(found[index] - mean) / sd,
                critical=esd_critical(len(found), step, alpha=alpha),
            )
        )
    return steps


def with_and_without(
    values: Sequence[Number], *, suspected: int = 1, alpha: float = 0.05, of: str = "readings"
) -> Flagged:
    """Summary of all values, and beside it of those that do not stand out.

    Parameters
    ----------
    values : Sequence[Number]
        Values [any unit].
    suspected : int
        1 for Grubbs's two-sided test, more for the generalised ESD procedure with that limit; to be
        fixed before looking.
    alpha : float
        Level of significance [-].
    of : str
        What is counted, for the sentences.

    Returns
    -------
    Flagged
        Both summaries; `without` is None where nothing stands out.

    Raises
    ------
    NotANumberError
        If a value is no ordinary number.
    ValueError
        If fewer than one outlier is suspected.

    References
    ----------
    .. [1] ISO 5725-2 (outlying results are reported, and left out only for a stated cause; from memory).
    """
    if suspected < 1:
        raise ValueError(f"A test looks for at least one outlier, not {suspected}.")
    test: Grubbs | Esd
    if suspected == 1:
        test = grubbs(values, alpha=alpha)
        flagged: tuple[int, ...] = (test.index,) if test.outlier and test.index is not None else ()
    else:
        test = generalised_esd(values, at_most=suspected, alpha=alpha)
        flagged = test.outliers
    without = None
    if flagged:
        without = spread([value for place, value in enumerate(values) if place not in flagged], of=of)
    return Flagged(spread(values, of=of), without, flagged, test)
