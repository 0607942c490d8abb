"""A class's values of one analyte as a picture: coordinates for an SVG template, and the same in words.

Every learner's value is one mark, at its true place along the scale; marks that would overlap are
stacked in rows above and below the middle. Groups differ by letter and by shape, never by colour alone.
All lengths are millimetres; y runs downwards, as in SVG.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from math import ceil, floor
from typing import Literal

from practicals.calculations.spread import Number, Spread, numbers, spread

Shape = Literal["circle", "square", "triangle", "diamond", "hexagon", "wedge"]

SHAPES: tuple[Shape, ...] = ("circle", "square", "triangle", "diamond", "hexagon", "wedge")
# Corners inside the unit circle, so that no shape reaches beyond the room of its mark; y runs downwards.
_DIAGONAL, _SIXTH = 0.7071, 0.8660
_CORNERS: dict[Shape, tuple[tuple[float, float], ...]] = {
    "circle": (),
    "square": (
        (-_DIAGONAL, -_DIAGONAL),
        (_DIAGONAL, -_DIAGONAL),
        (_DIAGONAL, _DIAGONAL),
        (-_DIAGONAL, _DIAGONAL),
    ),
    "triangle": ((0, -1), (_SIXTH, 0.5), (-_SIXTH, 0.5)),
    "diamond": ((0, -1), (1, 0), (0, 1), (-1, 0)),
    "hexagon": ((0, -1), (_SIXTH, -0.5), (_SIXTH, 0.5), (0, 1), (-_SIXTH, 0.5), (-_SIXTH, -0.5)),
    "wedge": ((-_SIXTH, -0.5), (_SIXTH, -0.5), (0, 1)),
}
_MARGIN_MM, _SCALE_MM = 6.0, 9.0
_RADII_MM = (2.0, 1.6, 1.2, 1.0, 0.8, 0.65, 0.5)
_TALLEST_STACK_MM = 60.0
_STEPS = (0.01, 0.02, 0.05, 0.1, 0.2, 0.5)
_MOST_STEPS = 12
# What an R_f can be, with room for a reading's error; values beyond are drawn at the end of the scale.
_LOWEST, _HIGHEST, _NARROWEST = -0.2, 1.2, 0.1
# Below this a letter inside a mark cannot be read; the legend and the table still tell groups apart.
_LETTER_FROM_RADIUS_MM = 1.2


@dataclass(frozen=True, slots=True)
class Reading:
    """One learner's value [-], the group it belongs to, and whether a test makes it stand out."""

    value: Number
    group: str
    stands_out: bool = False


@dataclass(frozen=True, slots=True)
class Published:
    """A published value and its range over sources [-], None where only one is known."""

    value: Number | None = None
    lowest: Number | None = None
    highest: Number | None = None


@dataclass(frozen=True, slots=True)
class Mark:
    """One value: centre and radius [mm], its group's shape and letter, corners for a polygon.

    `outside`: an impossible value, drawn at the end of the scale so that it cannot squash the others.
    """

    x: Decimal
    y: Decimal
    radius: Decimal
    shape: Shape
    letter: str
    letter_y: Decimal
    points: str
    stands_out: bool
    outside: bool


@dataclass(frozen=True, slots=True)
class Tick:
    """A mark of the scale [mm] and its number."""

    x: Decimal
    label: str


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of the scale [mm]: the band about the median, or the range of published values."""

    x: Decimal
    width: Decimal


@dataclass(frozen=True, slots=True)
class Legend:
    """A group's letter and shape, with its name and how many values it has."""

    group: str
    letter: str
    shape: Shape
    count: int


@dataclass(frozen=True, slots=True)
class Picture:
    """Everything a template needs; lengths [mm]. `letters_fit`: draw the letters inside the marks."""

    width: Decimal
    height: Decimal
    left: Decimal
    right: Decimal
    top: Decimal
    axis_y: Decimal
    middle_y: Decimal
    font: Decimal
    stroke: Decimal
    ticks: tuple[Tick, ...]
    marks: tuple[Mark, ...]
    median_x: Decimal | None
    band: Stretch | None
    published_x: Decimal | None
    published_range: Stretch | None
    legend: tuple[Legend, ...]
    letters_fit: bool
    text: str


def letters(place: int) -> str:
    """Letter of a group: A to Z, then AA, AB and so on.

    Parameters
    ----------
    place : int
        Place of the group, from zero.

    Returns
    -------
    str
        One letter or more.

    Raises
    ------
    ValueError
        If the place is negative.

    References
    ----------
    .. [1] Common practice, no source.
    """
    if place < 0:
        raise ValueError(f"There is no group at place {place}.")
    found = ""
    place += 1
    while place:
        place, rest = divmod(place - 1, 26)
        found = chr(ord("A") + rest) + found
    return found


def rows_without_overlap(places_mm: Sequence[float], *, apart_mm: float) -> list[int]:
    """Row of each mark, 0 in the middle, then 1, -1, 2, -2, so that no two in a row overlap.

    Parameters
    ----------
    places_mm : Sequence[float]
        Centres along the scale [mm], in rising order.
    apart_mm : float
        Least distance of two centres in one row [mm].

    Returns
    -------
    list[int]
        Row of each mark.

    Raises
    ------
    ValueError
        If the places are not in rising order.

    References
    ----------
    .. [1] First-fit colouring of intervals: standard result, uses the fewest rows.
    """
    last: list[float] = []
    rows = []
    before = float("-inf")
    for place in places_mm:
        if place < before:
            raise ValueError("Marks are stacked in rising order of their places.")
        before = place
        number = next((row for row, taken in enumerate(last) if place - taken >= apart_mm), len(last))
        if number == len(last):
            last.append(place)
        last[number] = place
        rows.append((number + 1) // 2 * (1 if number % 2 else -1))
    return rows


def class_picture(
    analyte: str,
    readings: Sequence[Reading],
    *,
    published: Published | None = None,
    width_mm: float = 160.0,
    group_word: str = "group",
) -> Picture:
    """Coordinates of the picture of one analyte, with its text alternative.

    Parameters
    ----------
    analyte : str
        Its name, for the text.
    readings : Sequence[Reading]
        Every learner's value [-]; groups are lettered in the order in which they first come.
    published : Published | None
        The published value and range [-].
    width_mm : float
        Width of the picture [mm].
    group_word : str
        What a group is called in the text.

    Returns
    -------
    Picture
        Without readings only the scale, and a text that says so.

    Raises
    ------
    NotANumberError
        If a value is no ordinary number.
    ValueError
        If the picture is too narrow to hold a scale.

    References
    ----------
    .. [1] Band: median +- 1.4826 MAD, about the middle two thirds of normal values; Huber P. J., Robust
       Statistics, 1981 (from memory).
    """
    if width_mm <= 4 * _MARGIN_MM:
        raise ValueError(f"A picture must be wider than {4 * _MARGIN_MM:g} mm, not {width_mm:g} mm.")
    values = numbers([reading.value for reading in readings])
    order = sorted(range(len(values)), key=lambda place: (values[place], readings[place].group, place))
    known = _published_numbers(published)
    low, high, step = _scale([*values, *known])
    left, right = _MARGIN_MM, width_mm - _MARGIN_MM

    def x(value: float) -> float:
        return left + (min(max(value, low), high) - low) / (high - low) * (right - left)

    sorted_x = [x(values[place]) for place in order]
    radius, rows = _stacked(sorted_x)
    top_rows = -min(rows, default=0)
    bottom_rows = max(rows, default=0)
    middle = _MARGIN_MM + (2 * top_rows + 1) * radius
    axis = middle + (2 * bottom_rows + 1) * radius + 2
    legend = _legend(readings)
    by_group = {one.group: one for one in legend}
    marks = tuple(
        _mark(
            x=at,
            y=middle + 2 * radius * row,
            radius=radius,
            group=by_group[readings[place].group],
            stands_out=readings[place].stands_out,
            # By the bounds, not by the scale's ends: 6 times 0.05 is a hair above 0.3 in binary.
            outside=not _LOWEST <= values[place] <= _HIGHEST,
        )
        for at, row, place in zip(sorted_x, rows, order, strict=True)
    )
    found = spread(values)
    band = None
    if found.median is not None and found.scaled_mad is not None:
        half = found.scaled_mad
        band = _stretch(x(found.median - half), x(found.median + half))
    value = _published_value(published)
    return Picture(
        width=_mm(width_mm),
        height=_mm(axis + _SCALE_MM),
        left=_mm(left),
        right=_mm(right),
        top=_mm(_MARGIN_MM),
        axis_y=_mm(axis),
        middle_y=_mm(middle),
        font=_mm(1.1 * radius),
        stroke=_mm(max(0.02, 0.12 * radius)),
        ticks=_ticks(low, high, step, x),
        marks=marks,
        median_x=None if found.median is None else _mm(x(found.median)),
        band=band,
        published_x=None if value is None else _mm(x(value)),
        published_range=_stretch(x(min(known)), x(max(known))) if len(set(known)) > 1 else None,
        legend=legend,
        letters_fit=radius >= _LETTER_FROM_RADIUS_MM,
        text=_text(
            analyte,
            found,
            readings,
            legend=legend,
            known=known,
            value=value,
            word=group_word,
            beyond=sum(mark.outside for mark in marks),
        ),
    )


def _mm(length: float) -> Decimal:
    return Decimal(f"{length:.3f}")


def _stretch(start: float, end: float) -> Stretch:
    return Stretch(_mm(start), _mm(end) - _mm(start))


def _published_value(published: Published | None) -> float | None:
    if published is None or published.value is None:
        return None
    return numbers([published.value])[0]


def _published_numbers(published: Published | None) -> list[float]:
    if published is None:
        return []
    given = (published.lowest, published.value, published.highest)
    return numbers([value for value in given if value is not None])


def _scale(values: Sequence[float]) -> tuple[float, float, float]:
    """Lowest and highest number on the scale and its step: as narrow as the possible values allow."""
    inside = [value for value in values if _LOWEST <= value <= _HIGHEST]
    low, high = (min(inside), max(inside)) if inside else (0.0, 1.0)
    spare = max(0.0, _NARROWEST - (high - low)) / 2
    low, high = low - spare, high + spare
    step = next((one for one in _STEPS if (high - low) / one <= _MOST_STEPS - 2), _STEPS[-1])
    # Rounded first: 0.30 / 0.01 is a hair below 30 in binary.
    first, last = floor(round(low / step, 6)), ceil(round(high / step, 6))
    return first * step, last * step, step


def _ticks(low: float, high: float, step: float, x: Callable[[float], float]) -> tuple[Tick, ...]:
    count = round((high - low) / step)
    return tuple(Tick(_mm(x(low + place * step)), f"{low + place * step:.2f}") for place in range(count + 1))


def _deepest(places: Sequence[float], apart: float) -> int:
    """The largest number of marks within one mark's width: as many rows are needed, and no more."""
    deepest = start = 0
    for place, at in enumerate(places):
        while at - places[start] >= apart:
            start += 1
        deepest = max(deepest, place - start + 1)
    return deepest


def _stacked(places: Sequence[float]) -> tuple[float, list[int]]:
    """Radius small enough for the tallest stack, and each mark's row."""
    fitting = (one for one in _RADII_MM if 2 * one * _deepest(places, 2 * one) <= _TALLEST_STACK_MM)
    radius = next(fitting, None)
    if radius is None:
        # Hundreds of equal values: then a column of dots, rather than a picture longer than its page.
        radius = _TALLEST_STACK_MM / (2 * _deepest(places, 2 * _RADII_MM[-1]))
    return radius, rows_without_overlap(places, apart_mm=2 * radius)


def _legend(readings: Sequence[Reading]) -> tuple[Legend, ...]:
    counts = Counter(reading.group for reading in readings)
    return tuple(
        Legend(group, letters(place), SHAPES[place % len(SHAPES)], count)
        for place, (group, count) in enumerate(counts.items())
    )


def _mark(*, x: float, y: float, radius: float, group: Legend, stands_out: bool, outside: bool) -> Mark:
    corners = " ".join(
        f"{x + radius * across:.3f},{y + radius * down:.3f}" for across, down in _CORNERS[group.shape]
    )
    return Mark(
        x=_mm(x),
        y=_mm(y),
        radius=_mm(radius),
        shape=group.shape,
        letter=group.letter,
        letter_y=_mm(y + 0.4 * radius),
        points=corners,
        stands_out=stands_out,
        outside=outside,
    )


def _text(
    analyte: str,
    found: Spread,
    readings: Sequence[Reading],
    *,
    legend: Sequence[Legend],
    known: Sequence[float],
    value: float | None,
    word: str,
    beyond: int,
) -> str:
    if not found.n or found.median is None:
        return f"{analyte}: there are no values to show."
    whence = f"{_count(found.n, 'value')} from {_count(len(legend), word)}"
    parts = [
        f"{analyte}: {whence}, {found.lowest:.2f} to {found.highest:.2f}, with median {found.median:.2f}.",
    ]
    if found.scaled_mad:
        low, high = found.median - found.scaled_mad, found.median + found.scaled_mad
        parts.append(f"About two thirds of the values are expected between {low:.2f} and {high:.2f}.")
    if value is not None:
        parts.append(f"Published: {value:.2f}.")
    if len(set(known)) > 1:
        parts.append(f"Published values lie between {min(known):.2f} and {max(known):.2f}.")
    if apart := sum(reading.stands_out for reading in readings):
        parts.append("1 value stands out." if apart == 1 else f"{apart} values stand out.")
    if beyond:
        parts.append(f"{_count(beyond, 'impossible value')} drawn at the end of the scale.")
    return " ".join(parts)


def _count(number: int, word: str) -> str:
    return f"{number} {word}" if number == 1 else f"{number} {word}s"
