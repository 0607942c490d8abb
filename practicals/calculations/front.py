"""When to take the paper out: the front tracker.

Two or three heights of the front with their times predict when it reaches the height wanted. Until three
readings are spread over the run the band is wide; then it is renewed from the latest readings. Whatever
the readings say, nothing is predicted once the front has gone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta
from itertools import pairwise
from math import sqrt
from typing import Literal

from practicals.calculations.front_law import (
    FrontFit,
    FrontHeight,
    NoFitError,
    UsualRate,
    exponent,
    fit_through_start,
    fit_with_offset,
)

Stage = Literal["no readings", "wide", "renewed", "there", "gone", "due", "no law"]

#: The true time from the start against the square-root law's: from 20 % shorter to 80 % longer. Measured:
#: 16 % shorter in K_WF, 21 to 79 % longer in 169 runs of K_WICK (SOURCES.csv).
WIDE = (0.8, 1.8)
#: The true time still to go against that of the latest readings with the offset: predicted at half the
#: time, the whole was 25 % early to 7 % late in K_WICK, that is 0.88 to 2.0 of what was left to go.
LEFT_TO_GO = (0.85, 2.0)
#: Three readings are spread over the run if they span this part of the height wanted ...
SPAN = 1 / 3
#: ... and the latest stands at least here.
LATEST_AT = 0.5
#: The latest readings are taken back to where they span this part of the height wanted, for neighbouring
#: heights give a poor slope; 0.13 in the predictions measured on K_WICK.
LATEST_SPAN = 0.2
#: Standard uncertainty of a height: the ruler and a front judged to within 1 mm, through glass. Common
#: practice, no source.
U_HEIGHT_MM = 0.65
#: Clocks are read to the minute, so no band is narrower than this either way.
LEAST_BAND_MIN = 1.0
#: A falling height of more than this is no slip of the ruler: twice the root of 2 times 0.29 mm.
RULER_MM = 0.82
#: Exponents of real runs: 0.25 to 0.54 (K_WICK, K_WF); well off 0.5 the law is said not to hold.
EXPONENTS = (0.4, 0.6)
#: Misfit beyond which heights do not lie on one curve [mm]; K_TEA and K_WF (in pixels) stay below 2.
LARGEST_MISFIT_MM = 2.0


@dataclass(frozen=True, slots=True)
class FrontSeen:
    """A height of the front above the liquid's surface [mm] and when it was read."""

    at: datetime
    height_mm: float


@dataclass(frozen=True, slots=True)
class FrontPrediction:
    """When the front reaches the height wanted.

    `take_out`, `earliest` and `latest` are None where nothing can or may be predicted. `earliest` is when
    to start looking, which is always before the time to take it out.
    """

    stage: Stage
    take_out: datetime | None
    earliest: datetime | None
    latest: datetime | None
    fit: FrontFit | None
    sentence: str
    warnings: tuple[str, ...] = ()


def predict_front(
    seen: Sequence[FrontSeen],
    *,
    started: datetime,
    wanted_mm: float,
    now: datetime,
    usual: UsualRate | None = None,
    top_mm: float | None = None,
) -> FrontPrediction:
    """When to take the paper out, with a band that is honest about how little is known.

    Parameters
    ----------
    seen : Sequence[FrontSeen]
        Heights above the liquid's surface, in any order [mm].
    started : datetime
        When the paper was put into the mobile phase; sentences tell times in its zone.
    wanted_mm : float
        Height above the liquid's surface at which the paper is to be taken out [mm].
    now : datetime
        The current time.
    usual : UsualRate, optional
        Rate of past runs of the same practical, used as long as there is no reading [mm^2/min].
    top_mm : float, optional
        Height of the paper's top edge above the liquid's surface [mm].

    Returns
    -------
    FrontPrediction
        Time, band, a sentence, and warnings when the readings do not follow the law.

    Raises
    ------
    NoFitError
        If the height wanted is not above the liquid's surface.

    References
    ----------
    .. [1] Lucas-Washburn with an offset: Muller R. H., Clegg D. L., Anal. Chem. 23, 408 (1951).
    .. [2] Widths of the bands: errors measured on K_WF and K_WICK (SOURCES.csv).
    """
    if not wanted_mm > 0:
        raise NoFitError("The height at which to take the paper out must be above the liquid's surface.")
    ordered = sorted(seen, key=lambda one: one.at)
    heights = [FrontHeight((one.at - started).total_seconds() / 60, one.height_mm) for one in ordered]
    heights = [height for height in heights if height.minutes != 0]
    if top_mm is not None and any(height.height_mm >= top_mm for height in heights):
        return _nothing(
            "gone",
            "The front has reached the top edge of the paper; where it would stand is not known. Take the"
            " paper out and note this.",
        )
    if any(height.height_mm >= wanted_mm for height in heights):
        return _nothing("there", "The front has reached the height wanted. Take the paper out now.")
    if not heights:
        return _from_past(usual, started=started, wanted_mm=wanted_mm, now=now)
    try:
        warnings = tuple(_warnings(heights))
        return _from_readings(heights, warnings, started=started, wanted_mm=wanted_mm, now=now)
    except NoFitError as error:
        return _nothing("no law", f"No time can be given: {error} Keep looking at the front.")


def spread_over_run(heights: Sequence[FrontHeight], *, wanted_mm: float) -> bool:
    """Whether three readings are spread over enough of the run to rely on the latest ones.

    Parameters
    ----------
    heights : Sequence[FrontHeight]
        The readings so far [min, mm].
    wanted_mm : float
        Height above the liquid's surface at which the paper is to be taken out [mm].

    Returns
    -------
    bool
        True if there are three, they span a third of that height, and the highest is half way or more.

    References
    ----------
    .. [1] Common practice, no source; the errors measured on K_WICK (SOURCES.csv) are from half the time.
    """
    levels = [height.height_mm for height in heights]
    if len({height.minutes for height in heights}) < 3:
        return False
    return max(levels) - min(levels) >= SPAN * wanted_mm and max(levels) >= LATEST_AT * wanted_mm


def _from_past(
    usual: UsualRate | None, *, started: datetime, wanted_mm: float, now: datetime
) -> FrontPrediction:
    if usual is None:
        return _nothing("no readings", "Read the height of the front and the time, about a third of the way.")
    middle, soonest, longest = usual.minutes_to(wanted_mm)
    band = min(soonest, middle * WIDE[0]), max(longest, middle * WIDE[1])
    why = f" from {usual.count} past run{'s' if usual.count > 1 else ''}; no height has been read today"
    return _timed("no readings", None, (middle, *band), started=started, now=now, why=why)


def _from_readings(
    heights: list[FrontHeight],
    warnings: tuple[str, ...],
    *,
    started: datetime,
    wanted_mm: float,
    now: datetime,
) -> FrontPrediction:
    last = heights[-1]
    if spread_over_run(heights, wanted_mm=wanted_mm):
        latest = _latest(heights, wanted_mm)
        fit = fit_with_offset(latest)
        times = _renewed(latest, fit, wanted_mm)
        why = f" from the latest {len(latest)} heights"
        found = _timed("renewed", fit, times, started=started, now=now, why=why)
    else:
        fit = fit_through_start(heights[-1:])
        whole = fit.minutes_to(wanted_mm)
        times = whole, max(last.minutes, whole * WIDE[0]), whole * WIDE[1]
        why = ", a wide guess until three heights are spread over the run"
        found = _timed("wide", fit, times, started=started, now=now, why=why)
    return FrontPrediction(
        found.stage, found.take_out, found.earliest, found.latest, found.fit, found.sentence, warnings
    )


def _latest(heights: list[FrontHeight], wanted_mm: float) -> list[FrontHeight]:
    """The latest readings, three at least, as far back as they need to give a slope."""
    for count in range(3, len(heights)):
        latest = heights[-count:]
        if latest[-1].height_mm - latest[0].height_mm >= LATEST_SPAN * wanted_mm:
            return latest
    return heights


def _renewed(latest: list[FrontHeight], fit: FrontFit, wanted_mm: float) -> tuple[float, float, float]:
    """Minutes to the height wanted, earliest, latest: by the latest slope, on from the latest height."""
    last = latest[-1]
    left = (wanted_mm**2 - last.height_mm**2) / fit.k
    mean = sum(one.minutes for one in latest) / len(latest)
    lever = sqrt(sum((one.minutes - mean) ** 2 for one in latest))
    u_height_mm = max(U_HEIGHT_MM, fit.rms_mm)
    # d(z^2) = 2 z dz, for the slope and for the height that the curve goes on from.
    loose = 1 + 2 * (2 * last.height_mm * u_height_mm / lever) / fit.k
    at_last = 2 * (2 * last.height_mm * u_height_mm / fit.k)
    soonest, longest = left * LEFT_TO_GO[0] / loose - at_last, left * LEFT_TO_GO[1] * loose + at_last
    return last.minutes + left, last.minutes + max(0.0, soonest), last.minutes + longest


def _timed(
    stage: Stage,
    fit: FrontFit | None,
    minutes: tuple[float, ...],
    *,
    started: datetime,
    now: datetime,
    why: str,
) -> FrontPrediction:
    middle, soonest, longest = minutes
    soonest, longest = min(soonest, middle - LEAST_BAND_MIN), max(longest, middle + LEAST_BAND_MIN)
    if longest > 60 * 24 * 7:
        raise NoFitError("the front hardly moves.")
    take_out, earliest, latest = (
        started + timedelta(minutes=max(0.0, value)) for value in (middle, soonest, longest)
    )
    if now >= take_out:
        return FrontPrediction(
            "due",
            None,
            None,
            None,
            fit,
            f"Look now: the front was expected at {take_out:%H:%M}. Take the paper out if it is there, or"
            " read its height again.",
        )
    sentence = f"Take out at {take_out:%H:%M} ({earliest:%H:%M} to {latest:%H:%M}){why}."
    return FrontPrediction(stage, take_out, earliest, latest, fit, sentence)


def _nothing(stage: Stage, sentence: str) -> FrontPrediction:
    return FrontPrediction(stage, None, None, None, None, sentence)


def _warnings(heights: list[FrontHeight]) -> Iterator[str]:
    for before, after in pairwise(heights):
        if after.height_mm < before.height_mm - RULER_MM:
            yield (
                f"The front cannot fall from {before.height_mm:g} mm to {after.height_mm:g} mm. One of the"
                " two is misread; measure again from the paper's lower edge."
            )
            return
    if len({height.minutes for height in heights}) < 3:
        return
    rise = exponent(heights)
    if not EXPONENTS[0] <= rise <= EXPONENTS[1]:
        how = "slows more than" if rise < EXPONENTS[0] else "slows less than"
        yield (
            f"The front {how} the square-root law says (it rises as time to the power {rise:.2f}, not 0.5)."
            " Check that heights were measured above the liquid's surface, and read it again soon."
        )
    misfit = fit_with_offset(heights).rms_mm
    if misfit > LARGEST_MISFIT_MM:
        yield (
            f"The heights do not lie on one curve (they miss it by {misfit:.1f} mm). One reading or time may"
            " be wrong; measure again."
        )
