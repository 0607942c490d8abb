"""The front's way up the paper as a picture: coordinates for an SVG template, and the same in words.

One unit is one millimetre of the picture; y runs downwards, as in SVG.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, isfinite, sqrt

from practicals.calculations.front_law import FrontFit, FrontHeight

WIDTH, HEIGHT = 160.0, 90.0
_LEFT, _RIGHT, _TOP, _BOTTOM = 14.0, 154.0, 6.0, 76.0
_STEPS = (1, 2, 5, 10, 20, 30, 60, 120, 240, 480, 1440, 2880, 10080)
_MOST_TICKS = 7
_CURVE_POINTS = 40


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark of a scale: its place along the scale and its number."""

    at: float
    label: str


@dataclass(frozen=True, slots=True)
class FrontPicture:
    """Everything that the template draws, and `words` for whoever does not see it."""

    marks: tuple[tuple[float, float], ...]
    curve: str
    target_y: float
    top_y: float
    band_x: float | None
    band_width: float
    now_x: float | None
    minutes: tuple[Tick, ...]
    heights: tuple[Tick, ...]
    words: str
    width: float = WIDTH
    height: float = HEIGHT
    left: float = _LEFT
    right: float = _RIGHT
    top: float = _TOP
    bottom: float = _BOTTOM


def front_picture(
    heights: Sequence[FrontHeight],
    *,
    wanted_mm: float,
    top_mm: float,
    fit: FrontFit | None = None,
    band: tuple[float, float, float] | None = None,
    now_min: float | None = None,
) -> FrontPicture:
    """Heights against time, the fitted line, the height wanted, and when it is expected.

    Parameters
    ----------
    heights : Sequence[FrontHeight]
        Heights above the liquid's surface [mm] and times since the start [min].
    wanted_mm : float
        Height at which the paper is to be taken out [mm].
    top_mm : float
        Height of the paper's top edge above the surface, more than the height wanted [mm].
    fit : FrontFit, optional
        The fitted law [mm^2/min, mm^2].
    band : tuple of float, optional
        Expected time, earliest, latest [min].
    now_min : float, optional
        The current time since the start [min].

    Returns
    -------
    FrontPicture
        Coordinates [mm of the picture], and the picture in words.

    References
    ----------
    .. [1] Layout of the tool's own, no source.
    """
    seen = [one for one in sorted(heights, key=lambda one: one.minutes) if one.minutes >= 0]
    known = [one.minutes for one in seen] + list(band or ())
    if now_min is not None and now_min <= 2 * max(known, default=60):
        known.append(now_min)
    step = next((s for s in _STEPS if max(known, default=1) / s <= _MOST_TICKS), _STEPS[-1])
    longest = max(1, ceil(max(known, default=1) / step)) * step
    tall = max(top_mm, *(one.height_mm for one in seen), 1.0) if seen else max(top_mm, 1.0)

    def x(minutes: float) -> float:
        return round(_LEFT + (_RIGHT - _LEFT) * min(max(minutes / longest, 0.0), 1.0), 2)

    def y(height_mm: float) -> float:
        return round(_BOTTOM - (_BOTTOM - _TOP) * min(max(height_mm / tall, 0.0), 1.0), 2)

    rise = next(s for s in _STEPS if tall / s <= _MOST_TICKS)
    ends = [x(minutes) for minutes in band[1:]] if band else []
    return FrontPicture(
        marks=tuple((x(one.minutes), y(one.height_mm)) for one in seen),
        curve=" ".join(f"{x(at)},{y(high)}" for at, high in _curve(fit, longest, tall)),
        target_y=y(wanted_mm),
        top_y=y(top_mm),
        band_x=ends[0] if ends else None,
        band_width=round(ends[1] - ends[0], 2) if ends else 0.0,
        now_x=x(now_min) if now_min is not None and 0 <= now_min <= longest else None,
        minutes=tuple(Tick(x(at), str(at)) for at in range(0, longest + 1, step)),
        heights=tuple(Tick(y(at), str(at)) for at in range(0, int(tall) + 1, rise)),
        words=_words(seen, wanted_mm, band),
    )


def _curve(fit: FrontFit | None, longest: float, tall: float) -> list[tuple[float, float]]:
    """Points of z = root of (k t - b), as far as they lie on the paper."""
    if fit is None or not (isfinite(fit.k) and fit.k > 0):
        return []
    points = []
    for number in range(_CURVE_POINTS + 1):
        # By equal steps of height, since the curve is steepest at its foot.
        height = tall * number / _CURVE_POINTS
        minutes = fit.minutes_to(height)
        if 0 <= minutes <= longest:
            points.append((minutes, height))
    end = fit.k * longest - fit.b
    if end > 0 and sqrt(end) < tall:
        points.append((longest, sqrt(end)))
    return points


def _words(seen: Sequence[FrontHeight], wanted_mm: float, band: tuple[float, float, float] | None) -> str:
    """The picture for whoever does not see it; single heights stand in the list beside it."""
    if not seen:
        read = "No height has been read."
    elif len(seen) == 1:
        read = f"One height: {seen[0].height_mm:g} mm after {seen[0].minutes:.0f} min."
    else:
        first, last = seen[0], seen[-1]
        read = (
            f"{len(seen)} heights, from {first.height_mm:g} mm after {first.minutes:.0f} min to"
            f" {last.height_mm:g} mm after {last.minutes:.0f} min."
        )
    due = ""
    if band:
        due = f", expected after {band[0]:.0f} min (between {band[1]:.0f} and {band[2]:.0f} min)"
    return (
        f"Height of the front above the liquid against time. {read} The paper is to be taken out at"
        f" {wanted_mm:g} mm{due}."
    )
