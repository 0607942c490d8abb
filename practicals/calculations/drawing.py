"""A paper drawn to scale, as coordinates in millimetres for an SVG or print template.

y runs downwards from the paper's top edge, as in SVG. What would lie off the paper is drawn just
outside it and marked so, so that a slipped decimal point cannot push the drawing off the page.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from practicals.calculations.doubts import SpotReading
from practicals.calculations.rf import rounded

# How far outside the paper an impossible reading is drawn.
_OUTSIDE_MM = Decimal(4)
_MARGIN_MM = Decimal(10)
_NAME_FITS_MM = Decimal(17)
_DEFAULT_RADIUS_MM, _SMALLEST_RADIUS_MM = Decimal("2.5"), Decimal(1)
# Beyond this a tick for every millimetre would be more ink than scale.
_FINE_SCALE_MM = Decimal(400)
_LARGEST_PAPER_MM = Decimal(2000)


class DrawingError(ValueError):
    """A paper of this size cannot be drawn; the message says why."""


@dataclass(frozen=True, slots=True)
class DrawnLane:
    """A lane: its place across the paper [mm] and its label."""

    x: Decimal
    number: int
    label: str


@dataclass(frozen=True, slots=True)
class DrawnFront:
    """A stretch of the solvent front: the whole paper's, or one lane's own [mm]."""

    x1: Decimal
    x2: Decimal
    y: Decimal
    lane: int | None
    outside: bool


@dataclass(frozen=True, slots=True)
class DrawnSpot:
    """A spot as an ellipse [mm]."""

    cx: Decimal
    cy: Decimal
    rx: Decimal
    ry: Decimal
    lane: int
    number: int
    doubtful: bool
    outside: bool


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark of the scale [mm]; `label` is the ruler's reading, on major ticks only."""

    y: Decimal
    size: Literal["minor", "middle", "major"]
    label: str


@dataclass(frozen=True, slots=True)
class Drawing:
    """A paper to scale [mm], and the same in words."""

    width: Decimal
    height: Decimal
    origin_y: Decimal
    fronts: tuple[DrawnFront, ...]
    lanes: tuple[DrawnLane, ...]
    spots: tuple[DrawnSpot, ...]
    ticks: tuple[Tick, ...]
    description: str

    @property
    def view_width(self) -> Decimal:
        """Width with the margins for the scale [mm]."""
        return self.width + 2 * _MARGIN_MM

    @property
    def view_height(self) -> Decimal:
        """Height with the margins above and below [mm]."""
        return self.height + 2 * _MARGIN_MM

    @property
    def view_box(self) -> str:
        """From the paper's upper left corner, 0, 0, with room around for scale and what lies outside."""
        return f"-{_MARGIN_MM} -{_MARGIN_MM} {self.view_width} {self.view_height}"

    @property
    def lanes_are_wide(self) -> bool:
        """A lane's name fits across its lane."""
        return not self.lanes or self.width / len(self.lanes) >= _NAME_FITS_MM


@dataclass(frozen=True, slots=True)
class _Scale:
    """Turns readings of a ruler into places on the drawing."""

    height: Decimal
    zero_height: Decimal

    def y(self, reading_mm: Decimal) -> tuple[Decimal, bool]:
        y = self.height - self.zero_height - reading_mm
        outside = not 0 <= y <= self.height
        return _hundredths(min(max(y, -_OUTSIDE_MM), self.height + _OUTSIDE_MM)), outside


def draw_paper(
    *,
    width_mm: Decimal,
    height_mm: Decimal,
    origin_height_mm: Decimal,
    labels: Sequence[str],
    origin_mm: Decimal | None = None,
    front_mm: Decimal | None = None,
    lane_fronts_mm: Mapping[int, Decimal] | None = None,
    spots: Sequence[SpotReading] = (),
    doubtful: Collection[tuple[int, int]] = (),
) -> Drawing:
    """Draw a paper from its readings; also an empty one, before anything has been read.

    Parameters
    ----------
    width_mm, height_mm : Decimal
        Size of the paper [mm].
    origin_height_mm : Decimal
        Height of the origin line above the lower edge [mm], as planned.
    labels : Sequence[str]
        What is in each lane, from the left; lanes are numbered from 1 [-].
    origin_mm : Decimal, optional
        Reading of the origin line [mm]; 0 if the ruler's zero was laid there. A reading above 0 is
        the line's real height, and is drawn instead of the planned one.
    front_mm : Decimal, optional
        Reading of the solvent front [mm].
    lane_fronts_mm : Mapping[int, Decimal], optional
        Readings of the front in lanes that have their own [mm].
    spots : Sequence[SpotReading]
        The spots as read [mm]; those without a known centre are left out.
    doubtful : Collection[tuple[int, int]]
        Lane and number of the spots to be marked doubtful [-].

    Returns
    -------
    Drawing
        Coordinates [mm], and a description in words.

    Raises
    ------
    DrawingError
        If the paper has no usable size.

    References
    ----------
    .. [1] y downwards: W3C, Scalable Vector Graphics 2, section 8.2.
    """
    _check_size(width_mm, height_mm)
    at_edge = origin_mm is not None and origin_mm > 0
    scale = _Scale(height_mm, Decimal(0) if at_edge else origin_height_mm)
    origin_y, _ = scale.y(origin_mm or Decimal(0))
    pitch = width_mm / max(1, len(labels))
    lanes = tuple(
        DrawnLane(_hundredths(pitch * index - pitch / 2), index, label)
        for index, label in enumerate(labels, 1)
    )
    fronts = _fronts(scale, width_mm, pitch, lanes, front_mm, lane_fronts_mm or {})
    drawn = _spots(scale, pitch, lanes, spots, frozenset(doubtful))
    return Drawing(
        width=width_mm,
        height=height_mm,
        origin_y=origin_y,
        fronts=fronts,
        lanes=lanes,
        spots=drawn,
        ticks=_ticks(scale),
        description=_describe(width_mm, height_mm, height_mm - origin_y, front_mm, lanes, spots, drawn),
    )


def _check_size(width_mm: Decimal, height_mm: Decimal) -> None:
    for name, size in (("width", width_mm), ("height", height_mm)):
        if not size.is_finite() or not 0 < size <= _LARGEST_PAPER_MM:
            raise DrawingError(
                f"The paper's {name} must be above 0 and at most {_LARGEST_PAPER_MM} mm, not {size}."
            )


def _hundredths(value: Decimal) -> Decimal:
    return rounded(value, 2)


def _fronts(
    scale: _Scale,
    width: Decimal,
    pitch: Decimal,
    lanes: Sequence[DrawnLane],
    front_mm: Decimal | None,
    own: Mapping[int, Decimal],
) -> tuple[DrawnFront, ...]:
    found = []
    if front_mm is not None:
        y, outside = scale.y(front_mm)
        found.append(DrawnFront(Decimal(0), width, y, None, outside))
    for lane in lanes:
        if lane.number in own:
            y, outside = scale.y(own[lane.number])
            left, right = _hundredths(lane.x - pitch / 2), _hundredths(lane.x + pitch / 2)
            found.append(DrawnFront(left, right, y, lane.number, outside))
    return tuple(found)


def _spots(
    scale: _Scale,
    pitch: Decimal,
    lanes: Sequence[DrawnLane],
    spots: Sequence[SpotReading],
    doubtful: frozenset[tuple[int, int]],
) -> tuple[DrawnSpot, ...]:
    places = {lane.number: lane.x for lane in lanes}
    found = []
    for spot in spots:
        middle_mm = spot.middle_mm
        if middle_mm is None or spot.lane not in places:
            continue
        cy, outside = scale.y(middle_mm)
        rx, ry = _radii(spot, pitch, scale.height)
        flagged = (spot.lane, spot.number) in doubtful
        found.append(DrawnSpot(places[spot.lane], cy, rx, ry, spot.lane, spot.number, flagged, outside))
    return tuple(found)


def _radii(spot: SpotReading, pitch: Decimal, height: Decimal) -> tuple[Decimal, Decimal]:
    if spot.leading_mm is None or spot.trailing_mm is None:
        tall = _DEFAULT_RADIUS_MM
    else:
        tall = max(_SMALLEST_RADIUS_MM, abs(spot.leading_mm - spot.trailing_mm) / 2)
    # Spots are drawn no wider than their lane, however long the streak.
    wide = min(max(tall, _SMALLEST_RADIUS_MM), pitch * Decimal("0.4"), Decimal(5))
    return _hundredths(wide), _hundredths(min(tall, height / 2))


def _ticks(scale: _Scale) -> tuple[Tick, ...]:
    step = 1 if scale.height <= _FINE_SCALE_MM else 5
    lowest = -int(scale.zero_height)
    highest = int(scale.height - scale.zero_height)
    return tuple(_tick(scale, reading) for reading in range(lowest, highest + 1) if reading % step == 0)


def _tick(scale: _Scale, reading: int) -> Tick:
    y, _ = scale.y(Decimal(reading))
    if reading % 10 == 0:
        return Tick(y, "major", str(reading))
    return Tick(y, "middle" if reading % 5 == 0 else "minor", "")


def _describe(
    width: Decimal,
    height: Decimal,
    origin_height: Decimal,
    front_mm: Decimal | None,
    lanes: Sequence[DrawnLane],
    spots: Sequence[SpotReading],
    drawn: Sequence[DrawnSpot],
) -> str:
    size = f"Paper {_plain(width)} mm wide and {_plain(height)} mm high"
    front = "not been read" if front_mm is None else f"been read at {_plain(front_mm)} mm"
    sentences = [
        f"{size}, origin line {_plain(origin_height)} mm above the lower edge.",
        f"The solvent front has {front}.",
    ]
    readings = {(spot.lane, spot.number): spot.middle_mm for spot in spots}
    for lane in lanes:
        places = []
        for spot in drawn:
            middle_mm = readings.get((spot.lane, spot.number))
            if spot.lane == lane.number and middle_mm is not None:
                places.append(f"{_plain(middle_mm)} mm{_remark(spot)}")
        what = f"{len(places)} at {', '.join(places)}" if places else "none"
        sentences.append(f"Lane {lane.number}, {lane.label}, spots: {what}.")
    return " ".join(sentences)


def _remark(spot: DrawnSpot) -> str:
    if spot.outside:
        return " (off the paper)"
    return " (doubtful)" if spot.doubtful else ""


def _plain(value: Decimal) -> str:
    text = format(value, "f")
    return text.rstrip("0").rstrip(".") if "." in text else text
