"""Repeatability and reproducibility of grouped readings, and which group to look at.

The caller says what a group is: one paper read by several learners (then s_r is the spread between
readers of one paper, and s_R that between papers and readers), or one learner's repeats of one spot.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from practicals.calculations.spread import Number, centred, numbers

# Below about five groups a between-group spread is hardly more than a guess, and is not printed.
FROM_GROUPS = 5
# 1.96 sqrt(2), rounded as ISO 5725-6 does: the difference of two single results, 95 %.
LIMIT_FACTOR = 2.8


@dataclass(frozen=True, slots=True)
class Anova:
    """One-way analysis of variance: degrees of freedom, sums of squares [unit squared], F [-].

    `f` is None where the groups show no spread within themselves.
    """

    df_between: int
    df_within: int
    ss_between: float
    ss_within: float
    f: float | None
    mean: float

    @property
    def ms_between(self) -> float | None:
        """Mean square between groups [unit squared]."""
        return self.ss_between / self.df_between if self.df_between else None

    @property
    def ms_within(self) -> float | None:
        """Mean square within groups [unit squared]."""
        return self.ss_within / self.df_within if self.df_within else None


@dataclass(frozen=True, slots=True)
class Precision:
    """Precision in the unit of the readings; a figure is None where it is not to be printed.

    `s_r` repeatability, `s_l` between groups, `s_reproducibility` is s_R; `limit_r` and `limit_R` are
    2.8 times these. `clamped`: the between-group variance came out negative and was set to zero.
    """

    groups: int
    readings: int
    n_bar: float | None
    mean: float | None
    s_r: float | None
    s_l: float | None
    s_reproducibility: float | None
    clamped: bool
    missing: tuple[str, ...]

    @property
    def limit_r(self) -> float | None:
        """Repeatability limit r: two readings within one group differ by more only 1 time in 20."""
        return None if self.s_r is None else LIMIT_FACTOR * self.s_r

    @property
    def limit_reproducibility(self) -> float | None:
        """Reproducibility limit R: two readings from different groups differ by more 1 time in 20."""
        return None if self.s_reproducibility is None else LIMIT_FACTOR * self.s_reproducibility


@dataclass(frozen=True, slots=True)
class Mandel:
    """Mandel's h (where a group's mean lies) and k (how it spreads) [-], with their critical values.

    A picture, not a verdict. `k` is None where the groups are of different size or do not spread.
    """

    h: tuple[float, ...]
    h_critical: float
    k: tuple[float, ...] | None
    k_critical: float | None
    alpha: float


def one_way_anova(groups: Sequence[Sequence[Number]]) -> Anova | None:
    """One-way analysis of variance, by centred sums.

    Parameters
    ----------
    groups : Sequence[Sequence[Number]]
        Readings group by group [any unit]; empty groups do not count.

    Returns
    -------
    Anova | None
        None where there are no readings.

    Raises
    ------
    NotANumberError
        If a value is no ordinary number.

    References
    ----------
    .. [1] NIST Statistical Reference Datasets, analysis of variance, background information.
    """
    found = [numbers(group) for group in groups if len(group)]
    if not found:
        return None
    readings = [value for group in found for value in group]
    # Readings that agree in their leading digits keep their spread when the mean is taken off first.
    general = centred(readings)[0]
    within = 0.0
    between = 0.0
    for group in found:
        mean, squares = centred([value - general for value in group])
        within += squares
        between += len(group) * mean * mean
    left = centred([value - general for value in readings])[0]
    between = max(0.0, between - len(readings) * left * left)
    df_between, df_within = len(found) - 1, len(readings) - len(found)
    f = None
    if df_between and df_within and within > 0:
        f = (between / df_between) / (within / df_within)
    return Anova(df_between, df_within, between, within, f, general)


def precision(
    groups: Sequence[Sequence[Number]],
    *,
    from_groups: int = FROM_GROUPS,
    of: str = "groups",
) -> Precision:
    """Repeatability s_r and reproducibility s_R from groups of readings, equal in size or not.

    s_r^2 is the pooled variance within groups; s_L^2 = (MS_between - s_r^2) / n_bar, set to zero where
    negative, so that s_R is never below s_r; s_R^2 = s_L^2 + s_r^2, with
    n_bar = (sum n - sum n^2 / sum n) / (p - 1).

    Parameters
    ----------
    groups : Sequence[Sequence[Number]]
        Readings group by group [any unit]; empty groups do not count.
    from_groups : int
        s_L and s_R are not given below this many groups.
    of : str
        What a group is, in the plural, for the sentences: "papers", "groups".

    Returns
    -------
    Precision
        With sentences in `missing` for what is not given.

    Raises
    ------
    NotANumberError
        If a value is no ordinary number.

    References
    ----------
    .. [1] ISO 5725-2:2019 (formulas from memory).
    .. [2] ASTM E691, worked example of glucose in serum.
    """
    found = [group for group in groups if len(group)]
    anova = one_way_anova(found)
    if anova is None:
        return Precision(0, 0, None, None, None, None, None, False, ("There are no readings.",))
    sizes = [len(group) for group in found]
    p, total = len(sizes), sum(sizes)
    n_bar = (total - sum(size * size for size in sizes) / total) / (p - 1) if p > 1 else None
    within, between = anova.ms_within, anova.ms_between
    missing: list[str] = []
    if within is None:
        missing.append(f"Not enough readings for repeatability: no two readings belong to one of the {of}.")
    if p < from_groups:
        missing.append(f"Not enough {of} for reproducibility: {p}, and it takes at least {from_groups}.")
    s_r = None if within is None else sqrt(within)
    if within is None or between is None or n_bar is None or p < from_groups:
        return Precision(p, total, n_bar, anova.mean, s_r, None, None, False, tuple(missing))
    s_l_squared = (between - within) / n_bar
    clamped = s_l_squared < 0
    s_l_squared = max(0.0, s_l_squared)
    return Precision(
        groups=p,
        readings=total,
        n_bar=n_bar,
        mean=anova.mean,
        s_r=s_r,
        s_l=sqrt(s_l_squared),
        s_reproducibility=sqrt(s_l_squared + within),
        clamped=clamped,
        missing=(),
    )


def mandel(
    groups: Sequence[Sequence[Number]], *, alpha: float = 0.01, from_groups: int = FROM_GROUPS
) -> Mandel | None:
    """Mandel's h and k of every group, for a picture that shows which group to look at.

    Parameters
    ----------
    groups : Sequence[Sequence[Number]]
        Readings group by group [any unit], each with at least one.
    alpha : float
        Level of significance of the critical values [-].
    from_groups : int
        Nothing is given below this many groups.

    Returns
    -------
    Mandel | None
        None with too few groups, or where all group means are equal.

    Raises
    ------
    NotANumberError
        If a value is no ordinary number.

    References
    ----------
    .. [1] Wilrich P.-T., AStA Adv. Stat. Anal. 97 (2013) 1-10.
    .. [2] ASTM E691.
    """
    found = [numbers(group) for group in groups]
    p = len(found)
    if p < max(from_groups, 3) or not all(found):
        return None
    sums = [centred(group) for group in found]
    mean, squares = centred([mean for mean, _ in sums])
    if squares == 0:
        return None
    sd = sqrt(squares / (p - 1))
    from scipy.special import fdtri, stdtrit

    t = float(stdtrit(p - 2, 1 - alpha / 2))
    n = len(found[0])
    within = sum(square for _, square in sums)
    k = k_critical = None
    if n >= 2 and within > 0 and all(len(group) == n for group in found):
        k = tuple(sqrt(p * square / within) for _, square in sums)
        f = float(fdtri(n - 1, (p - 1) * (n - 1), 1 - alpha))
        k_critical = sqrt(p / (1 + (p - 1) / f))
    return Mandel(
        h=tuple((group_mean - mean) / sd for group_mean, _ in sums),
        h_critical=(p - 1) * t / sqrt(p * (t * t + p - 2)),
        k=k,
        k_critical=k_critical,
        alpha=alpha,
    )
