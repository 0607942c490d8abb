"""Cochran's C: does one group read less evenly than the others? It sees only a large variance."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

from practicals.calculations.spread import Number, centred, numbers


@dataclass(frozen=True, slots=True)
class Cochran:
    """The group with the largest variance tested; `outlier` is None where there is no test."""

    groups: int
    replicates: int
    group: int | None
    statistic: float | None
    critical: float | None
    outlier: bool | None
    alpha: float
    reason: str = ""


@lru_cache(maxsize=4096)
def cochran_critical(groups: int, replicates: int, *, alpha: float = 0.05) -> float:
    """Critical value of Cochran's C, 1 / (1 + (p - 1) / F).

    Parameters
    ----------
    groups : int
        How many groups p, at least two.
    replicates : int
        How many readings n in each, at least two.
    alpha : float
        Level of significance [-].

    Returns
    -------
    float
        Critical value [-]; F is the upper alpha / p point with n - 1 and (p - 1)(n - 1) degrees of freedom.

    Raises
    ------
    ValueError
        If there are fewer than two groups or readings, or the level is impossible.

    References
    ----------
    .. [1] Wilrich P.-T., AStA Adv. Stat. Anal. 97 (2013) 1-10.
    """
    if not 0 < alpha < 1:
        raise ValueError(f"A level of significance must lie between 0 and 1, not {alpha}.")
    if groups < 2 or replicates < 2:
        raise ValueError("Cochran's test needs at least two groups of at least two readings.")
    from scipy.special import fdtri

    f = float(fdtri(replicates - 1, (groups - 1) * (replicates - 1), 1 - alpha / groups))
    return 1 / (1 + (groups - 1) / f)


def cochran(groups: Sequence[Sequence[Number]], *, alpha: float = 0.05) -> Cochran:
    """Cochran's test of the largest variance, whether one group reads less evenly than the others.

    Parameters
    ----------
    groups : Sequence[Sequence[Number]]
        Readings group by group [any unit], equally many in each.
    alpha : float
        Level of significance [-].

    Returns
    -------
    Cochran
        The group with the largest variance and the verdict, or the reason why there is none.

    Raises
    ------
    NotANumberError
        If a value is no ordinary number.

    References
    ----------
    .. [1] ISO 5725-2, Cochran's test (clause from memory).
    .. [2] Wilrich P.-T., AStA Adv. Stat. Anal. 97 (2013) 1-10.
    """
    found = [numbers(group) for group in groups]
    p = len(found)
    sizes = {len(group) for group in found}
    n = sizes.pop() if len(sizes) == 1 else 0
    if n < 2 or p < 2:
        reason = "Cochran's test needs at least two groups with the same number of readings, two or more."
        return Cochran(p, n, None, None, None, None, alpha, reason)
    squares = [centred(group)[1] for group in found]
    total = sum(squares)
    if total == 0:
        return Cochran(
            p, n, None, None, None, None, alpha, "No group's readings differ, so none is less even."
        )
    group = max(range(p), key=squares.__getitem__)
    statistic = squares[group] / total
    critical = cochran_critical(p, n, alpha=alpha)
    return Cochran(p, n, group, statistic, critical, statistic > critical, alpha)
