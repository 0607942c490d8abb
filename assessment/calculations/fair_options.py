"""Were options of equal demand? Outcomes compared by the unknown given or the paper read.

A figure here is a question, never a verdict: with small groups a large difference is often chance, and a
small *p* says nothing about its cause.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from math import comb

FEWEST = 5
"""Learners that each option needs at least, and the expected count in each cell of a chi-square test."""


@dataclass(frozen=True, slots=True)
class OptionCount:
    """How many of the learners with one option met the criterion."""

    option: str
    met: int
    n: int

    @property
    def percent(self) -> int | None:
        """Share met, whole per cent [%]; none without learners."""
        return round(100 * self.met / self.n) if self.n else None


@dataclass(frozen=True, slots=True)
class Comparison:
    """Options beside one another. `p` is empty where no test is made; the sentence says why."""

    counts: tuple[OptionCount, ...]
    test: str
    p: float | None
    sentence: str


def compare_options(counts: Sequence[OptionCount], *, fewest: int = FEWEST) -> Comparison:
    """Compare the shares that met one criterion, as far as the numbers allow.

    Parameters
    ----------
    counts : sequence of OptionCount
        One for each option that was given to anybody.
    fewest : int
        Learners that each option needs for a test [-].

    Returns
    -------
    Comparison
        Fisher's exact test for two options; the chi-square test for more, only if every expected count
        reaches `fewest`; else no test and the reason.

    Raises
    ------
    ValueError
        If more met a criterion than there are learners, or a count is negative.

    References
    ----------
    Fisher, R. A. (1935). The Design of Experiments, chapter II. Expected counts of five or more for the
    chi-square approximation: Cochran, W. G. (1954). Biometrics 10, 417-451.
    """
    counts = tuple(counts)
    for count in counts:
        if not 0 <= count.met <= count.n:
            raise ValueError(f"{count.option}: {count.met} of {count.n} cannot have met it.")
    obstacle = _obstacle(counts, fewest)
    if obstacle:
        return Comparison(counts, "", None, obstacle)
    if len(counts) == 2:
        (a, b) = counts
        return _tested(counts, "Fisher's exact test", fisher_exact(a.met, a.n, b.met, b.n))
    return _tested(counts, "chi-square test", chi_square(counts))


def fisher_exact(met_a: int, n_a: int, met_b: int, n_b: int) -> float:
    """Return the two-sided *p* of Fisher's exact test for two options.

    Parameters
    ----------
    met_a, n_a : int
        Learners with the first option who met the criterion, and all of them [-].
    met_b, n_b : int
        The same for the second option [-].

    Returns
    -------
    float
        The chance, if the option made no difference, of a table at most as likely as this one [-].

    References
    ----------
    Fisher, R. A. (1935). The Design of Experiments, chapter II; two-sided by summing all tables that are
    not more likely, the usual convention. Exact fractions, so that equally likely tables count as such.
    """
    met, every = met_a + met_b, n_a + n_b

    def chance(first: int) -> Fraction:
        return Fraction(comb(n_a, first) * comb(n_b, met - first), comb(every, met))

    here = chance(met_a)
    possible = range(max(0, met - n_b), min(met, n_a) + 1)
    return float(sum((found for first in possible if (found := chance(first)) <= here), Fraction(0)))


def chi_square(counts: Sequence[OptionCount]) -> float:
    """Return *p* of Pearson's chi-square test that all options have the same share met.

    Parameters
    ----------
    counts : sequence of OptionCount
        Two options or more; some learners met the criterion and some did not.

    Returns
    -------
    float
        Upper tail of the chi-square distribution with one degree of freedom fewer than options [-]; no
        correction for continuity.

    References
    ----------
    Pearson, K. (1900). Philosophical Magazine 50, 157-175.
    """
    from scipy.special import chdtrc

    met, every = sum(count.met for count in counts), sum(count.n for count in counts)
    share = Fraction(met, every)
    statistic = Fraction(0)
    for count in counts:
        expected = count.n * share
        statistic += (count.met - expected) ** 2 / expected
        statistic += (count.met - expected) ** 2 / (count.n - expected)
    return float(chdtrc(len(counts) - 1, float(statistic)))


def _obstacle(counts: Sequence[OptionCount], fewest: int) -> str:
    if len(counts) < 2:
        return "Everybody had the same option; there is nothing to compare."
    small = [count for count in counts if count.n < fewest]
    if small:
        named = ", ".join(f"{count.option} ({count.n})" for count in small[:3])
        more = f" and {len(small) - 3} more" if len(small) > 3 else ""
        return f"Too few to compare: fewer than {fewest} learners with {named}{more}."
    met, every = sum(count.met for count in counts), sum(count.n for count in counts)
    if met in (0, every):
        return f"{'Everybody' if met else 'Nobody'} met it, whatever the option."
    rarer = Fraction(min(met, every - met), every)
    if len(counts) > 2 and min(count.n for count in counts) * rarer < fewest:
        return f"Too few to compare: fewer than {fewest} learners are expected in a cell of the table."
    return ""


def _tested(counts: tuple[OptionCount, ...], test: str, p: float) -> Comparison:
    shown = "p < 0.001" if p < 0.001 else f"p = {p:.3f}"
    if p < 0.05:
        said = (
            f"{shown}: a difference this large would seldom come by chance alone. Look at what the options "
            "asked for before grades go out."
        )
    else:
        said = f"{shown}: chance alone often makes such a difference. This is no proof that there is none."
    return Comparison(counts, test, p, said)
