"""What past papers of one practical say about how long the next one takes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from practicals.calculations.front_law import (
    FrontHeight,
    NoFitError,
    UsualRate,
    fit_through_start,
    usual_rate,
)

#: Fewer heights than these are no run to learn from.
LEAST_HEIGHTS = 3


@dataclass(frozen=True, slots=True)
class ExpectedTime:
    """How long a run takes by past papers [min]: middle, shortest, longest; from how many papers."""

    minutes: float
    soonest: float
    longest: float
    count: int

    @property
    def sentence(self) -> str:
        """In words, whole minutes; without a range where there is none."""
        papers = f"{self.count} paper{'s' if self.count != 1 else ''}"
        middle, soonest, longest = (max(1, round(one)) for one in (self.minutes, self.soonest, self.longest))
        between = "" if soonest == longest else f" ({soonest} to {longest})"
        return f"from {papers} of past sessions: {middle} min{between}"


def rate_of_run(heights: Sequence[FrontHeight]) -> float | None:
    """The rate of one past run, by the square-root law through its start.

    Its time to a height is then that height's square over the rate, as `UsualRate` takes it. The late
    heights weigh most, so that what is wrong with the law falls on the early part of the run.

    Parameters
    ----------
    heights : Sequence[FrontHeight]
        Heights above the liquid's surface [mm] and times since the start [min].

    Returns
    -------
    float or None
        k [mm^2/min]; None for fewer than three heights at different times, or where they give none.

    References
    ----------
    .. [1] Lucas-Washburn, z^2 = k t (SOURCES.csv: K_WF, K_GER, K_TEA).
    """
    later = [one for one in heights if one.minutes > 0]
    if len({one.minutes for one in later}) < LEAST_HEIGHTS:
        return None
    try:
        return fit_through_start(later).k
    except NoFitError:
        return None


def rate_of_runs(runs: Sequence[Sequence[FrontHeight]]) -> UsualRate | None:
    """The usual rate of several past runs.

    Parameters
    ----------
    runs : Sequence[Sequence[FrontHeight]]
        The heights of each paper [min, mm].

    Returns
    -------
    UsualRate or None
        Median, lowest and highest [mm^2/min]; None if no run gives a rate.

    References
    ----------
    .. [1] Median and range: common practice, no source.
    """
    return usual_rate([rate for run in runs if (rate := rate_of_run(run)) is not None])


def expected_time(rate: UsualRate | None, *, wanted_mm: float) -> ExpectedTime | None:
    """How long a run of the usual rate takes.

    Parameters
    ----------
    rate : UsualRate or None
        The rate of past runs [mm^2/min].
    wanted_mm : float
        Height above the liquid's surface at which the paper is to be taken out [mm].

    Returns
    -------
    ExpectedTime or None
        None if nothing is known of past runs, or the height is not above the liquid.

    References
    ----------
    .. [1] Lucas-Washburn, z^2 = k t.
    """
    if rate is None or not wanted_mm > 0:
        return None
    return ExpectedTime(*rate.minutes_to(wanted_mm), rate.count)
