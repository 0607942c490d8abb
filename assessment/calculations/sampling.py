"""A defensible sample for internal verification: who is drawn, and why each one.

Every stratum that was chosen and occurs is represented (every assessor, grade, class, unknown given and
named risk); what must be seen is always in; the rest of the sample is drawn at random in proportion to each
assessor's work. The
draw can be repeated by anyone from the seed and the list of candidates: candidates are sorted by key,
each gets one lot from ``random.Random(seed).random()`` in that order, and the lowest lot goes first.
(Python promises that this sequence stays the same in later versions; it does not for ``sample``.)
"""

import random
from collections import Counter
from collections.abc import Collection, Iterable, Sequence
from dataclasses import dataclass

METHOD = "lots in order of key, every stratum represented, proportional by assessor (version 1)"

#: What can be chosen to be represented, and how a page says it. Resubmitted work is then always drawn.
STRATA = {
    "assessor": "every assessor",
    "grade": "every grade",
    "class": "every class",
    "unknown": "every unknown that was given",
    "borderline": "borderline results",
    "resubmitted": "resubmitted work, all of it",
    "new assessor": "assessors whose decisions nobody has verified yet",
    "new brief": "briefs of which no portfolio has been verified yet",
}


class SamplingError(ValueError):
    """A sample that cannot be drawn or judged; the message says why and what to do."""


@dataclass(frozen=True)
class Candidate:
    """One portfolio that could be sampled. The key must be stable, not a place in a list.

    `risks` are marks of which the sample covers at least one each ("new assessor", "borderline");
    `always_because` are reasons to sample this portfolio in any case ("resubmission").
    """

    key: str
    assessor: str
    grade: str
    site: str = ""
    risks: tuple[str, ...] = ()
    always_because: tuple[str, ...] = ()
    group: str = ""
    unknown: str = ""
    borderline: str = ""
    new_assessor: bool = False
    new_brief: str = ""

    def strata(
        self, *, crossed: bool = False, kinds: Collection[str] | None = None
    ) -> tuple[tuple[str, str], ...]:
        """Return what this portfolio would represent in a sample.

        Parameters
        ----------
        kinds : collection of str or None
            Which of `STRATA` were chosen. None is the rule before there was a choice: assessor, grade,
            site and marked risks.
        crossed : bool
            Whether each assessor's grades are strata of their own, so that every grade of every
            assessor is seen; the sample grows accordingly.

        Returns
        -------
        tuple of (str, str)
            Kind and words of each stratum.

        References
        ----------
        Sampling rules seen in public centre and college guidance: every assessor, grade and site.
        """
        if kinds is not None:
            return tuple((kind, words) for kind, words in self._chosen() if kind in kinds and words)
        strata = [("assessor", f"by assessor {self.assessor}"), ("grade", f"graded {self.grade}")]
        if crossed:
            strata.append(("assessor and grade", f"by assessor {self.assessor} graded {self.grade}"))
        if self.site:
            strata.append(("site", f"from site {self.site}"))
        return (*strata, *(("risk", f"marked “{risk}”") for risk in self.risks))

    def _chosen(self) -> tuple[tuple[str, str], ...]:
        return (
            ("assessor", f"by assessor {self.assessor}"),
            ("grade", f"graded {self.grade}"),
            ("class", self.group and f"from class {self.group}"),
            ("unknown", self.unknown and f"on {self.unknown}"),
            ("borderline", self.borderline and "with a borderline result"),
            ("resubmitted", "that was resubmitted" if self.always_because else ""),
            ("new assessor", f"by the new assessor {self.assessor}" if self.new_assessor else ""),
            ("new brief", self.new_brief and f"on the new brief {self.new_brief}"),
        )


@dataclass(frozen=True)
class Choice:
    """One portfolio drawn, with the reasons for it."""

    key: str
    reasons: tuple[str, ...]


@dataclass(frozen=True)
class Draw:
    """A finished draw with all that is needed to repeat it. `note` is empty unless it grew."""

    chosen: tuple[Choice, ...]
    candidates: tuple[Candidate, ...]
    asked_for: int
    seed: int
    method: str
    note: str


def draw(
    candidates: Sequence[Candidate],
    size: int,
    seed: int,
    *,
    crossed: bool = False,
    kinds: Collection[str] | None = None,
) -> Draw:
    """Draw portfolios for verification.

    Parameters
    ----------
    candidates : sequence of Candidate
        All portfolios decided on, in any order.
    size : int
        Portfolios wanted, 1 to the number of candidates [-]. The sample grows beyond it rather than
        leave out a stratum or a portfolio that must be seen.
    seed : int
        Recorded seed of the draw [-].
    crossed : bool
        Whether every grade of every assessor is a stratum of its own.
    kinds : collection of str or None
        Which of `STRATA` are represented; None is the rule before there was a choice.

    Returns
    -------
    Draw
        The choices in order of key, each with its reasons.

    Raises
    ------
    SamplingError
        If the size is not possible or a key stands twice.

    References
    ----------
    Sampling rules seen in public centre and college guidance; proportional allocation after Cochran
    W. G. (1977) Sampling Techniques (from memory), the rounding being this project's.
    """
    ordered = tuple(sorted(candidates, key=lambda candidate: candidate.key))
    _check_keys(ordered)
    _check_size(size, len(ordered))
    generator = random.Random(seed)  # noqa: S311 - a draw must be repeatable, not secret
    lots = {candidate.key: generator.random() for candidate in ordered}
    always = kinds is None or "resubmitted" in kinds
    reasons: dict[str, list[str]] = {
        c.key: [f"always sampled: {why}" for why in c.always_because]
        for c in ordered
        if c.always_because and always
    }
    strata = {c.key: tuple(dict.fromkeys(c.strata(crossed=crossed, kinds=kinds))) for c in ordered}
    _cover_strata(ordered, lots, reasons, strata)
    _fill_by_assessor(ordered, lots, reasons, size)
    return Draw(
        chosen=tuple(Choice(key, tuple(reasons[key])) for key in sorted(reasons)),
        candidates=ordered,
        asked_for=size,
        seed=seed,
        method=METHOD + (", every grade of every assessor" if crossed else ""),
        note=_growth_note(len(reasons), size),
    )


def allocate(
    stratum_sizes: Sequence[int], sample: int, *, at_least_one_each: bool = False
) -> tuple[int, ...]:
    """Share a sample among strata in proportion to their sizes, by largest remainders.

    Parameters
    ----------
    stratum_sizes : sequence of int
        Portfolios in each stratum [-].
    sample : int
        Portfolios to share out [-].
    at_least_one_each : bool
        Whether a stratum that is not empty gets at least one; the total may then exceed the sample.

    Returns
    -------
    tuple of int
        Portfolios per stratum [-], in the order given. Equal remainders go to the larger stratum, then
        to the earlier one.

    Raises
    ------
    SamplingError
        If a size is negative or the sample does not fit into the strata.

    References
    ----------
    Proportional allocation: Cochran W. G. (1977) Sampling Techniques (from memory); the rounding by
    largest remainders and the tie rule are this project's.
    """
    if any(size < 0 for size in stratum_sizes):
        raise SamplingError("A stratum cannot hold fewer than 0 portfolios. Check the counts.")
    population = sum(stratum_sizes)
    _check_size(sample, population)
    shares = [sample * size // population for size in stratum_sizes]
    by_remainder = sorted(
        range(len(stratum_sizes)),
        key=lambda i: (-(sample * stratum_sizes[i] % population), -stratum_sizes[i], i),
    )
    for i in by_remainder[: sample - sum(shares)]:
        shares[i] += 1
    if at_least_one_each:
        shares = [max(share, 1) if size else 0 for share, size in zip(shares, stratum_sizes, strict=True)]
    return tuple(shares)


def _check_keys(ordered: Sequence[Candidate]) -> None:
    twice = [key for key, count in Counter(c.key for c in ordered).items() if count > 1]
    if twice:
        raise SamplingError(f"Portfolio {twice[0]} is listed twice. List each portfolio once.")


def _check_size(size: int, population: int) -> None:
    if population == 0:
        raise SamplingError("There is no portfolio to draw from. Wait until decisions have been taken.")
    if isinstance(size, bool) or size < 1:
        raise SamplingError(f"A sample needs at least 1 portfolio, not {size}. Ask for 1 to {population}.")
    if size > population:
        raise SamplingError(
            f"A sample of {size} cannot be drawn from {population} portfolio{_s(population)}. "
            f"Ask for 1 to {population}."
        )


def _cover_strata(
    ordered: Sequence[Candidate],
    lots: dict[str, float],
    reasons: dict[str, list[str]],
    strata: dict[str, tuple[tuple[str, str], ...]],
) -> None:
    holders: dict[tuple[str, str], list[Candidate]] = {}
    for candidate in ordered:
        for stratum in strata[candidate.key]:
            holders.setdefault(stratum, []).append(candidate)
    # The rarest first: whoever is the only one of a kind often covers the commoner strata as well.
    for stratum in sorted(holders, key=lambda stratum: (len(holders[stratum]), stratum)):
        holding = holders[stratum]
        if any(c.key in reasons for c in holding):
            continue
        covered = {done for key in reasons for done in strata[key]}
        taken = min(holding, key=lambda c: (-len(set(strata[c.key]) - covered), lots[c.key]))
        reasons[taken.key] = [_coverage_reason(stratum, len(holding))]
    for stratum, holding in holders.items():
        if len(holding) == 1:
            _add_reason(reasons[holding[0].key], _coverage_reason(stratum, 1))
    for candidate in ordered:
        if (
            candidate.key in reasons
            and candidate.borderline
            and ("borderline" in dict(strata[candidate.key]))
        ):
            _add_reason(reasons[candidate.key], candidate.borderline)


def empty_strata(candidates: Sequence[Candidate], kinds: Collection[str]) -> tuple[str, ...]:
    """Say of which chosen strata there is no portfolio.

    Parameters
    ----------
    candidates : sequence of Candidate
        All portfolios that were drawn from.
    kinds : collection of str
        Which of `STRATA` were chosen.

    Returns
    -------
    tuple of str
        One sentence for each stratum that is empty, in the order of `STRATA`.

    References
    ----------
    This project's own.
    """
    held = {kind for candidate in candidates for kind, _ in candidate.strata(kinds=kinds)}
    return tuple(
        f"Asked for, but there is none to draw: {words}."
        for kind, words in STRATA.items()
        if kind in kinds and kind not in held
    )


def _coverage_reason(stratum: tuple[str, str], holders: int) -> str:
    words = stratum[1]
    if holders == 1:
        return f"the only portfolio {words}"
    return f"drawn at random so that a portfolio {words} is seen"


def _add_reason(reasons: list[str], reason: str) -> None:
    if reason not in reasons:
        reasons.append(reason)


def _fill_by_assessor(
    ordered: Sequence[Candidate], lots: dict[str, float], reasons: dict[str, list[str]], size: int
) -> None:
    work: dict[str, list[Candidate]] = {}
    for candidate in ordered:
        work.setdefault(candidate.assessor, []).append(candidate)
    assessors = sorted(work)
    shares = dict(zip(assessors, allocate([len(work[a]) for a in assessors], size), strict=True))
    while len(reasons) < size:
        # Shares add up to the size, so while places are left some assessor is short of their share.
        short = max(assessors, key=lambda a: shares[a] - _seen(work[a], reasons))
        waiting = [c for c in work[short] if c.key not in reasons]
        taken = min(waiting, key=lambda c: lots[c.key])
        reasons[taken.key] = [f"drawn at random from the portfolios by assessor {short}"]


def _seen(portfolios: Iterable[Candidate], reasons: dict[str, list[str]]) -> int:
    return sum(portfolio.key in reasons for portfolio in portfolios)


def _growth_note(drawn: int, asked_for: int) -> str:
    if drawn <= asked_for:
        return ""
    return (
        f"{asked_for} portfolio{_s(asked_for)} {'was' if asked_for == 1 else 'were'} asked for; {drawn} were "
        "drawn, because every stratum that was chosen is represented and nothing that must be seen is left "
        "out."
    )


def _s(count: int) -> str:
    return "" if count == 1 else "s"
