"""The measured diagram of butan-1-ol, ethanoic acid and water as coordinates for an SVG template.

An equilateral triangle of shares by mass: water left, butan-1-ol right, ethanoic acid on top. y runs
downwards, as in SVG; one unit is about a millimetre on paper.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from math import sqrt

from reagents.calculations.binodal import (
    ACID,
    BUTANOL,
    WATER,
    Point,
    band_points,
    curve_points,
    measured,
    measured_tie_lines,
    top_of_curve,
)
from reagents.calculations.phases import PhaseCheck

WIDTH, HEIGHT = 160.0, 137.0
LEFT, SIDE, BOTTOM = 18.0, 124.0, 121.0
TALL = SIDE * sqrt(3) / 2
GRID_PERCENT = (10, 20, 30, 40, 50, 60, 70, 80, 90)
LABELLED = (20, 40, 60, 80)
#: Acid at whose height the words for layers and mixture stand, above the data so as not to cover them.
_LAYER_WORDS, _MIXTURE_WORDS, _CROWDED = 0.19, 0.28, 0.2


@dataclass(frozen=True)
class Spot:
    """A place in the drawing."""

    x: float
    y: float


@dataclass(frozen=True)
class Line:
    """A straight line in the drawing."""

    x1: float
    y1: float
    x2: float
    y2: float


@dataclass(frozen=True)
class Words:
    """A short label; `turn` is its slope in degrees, `leader` the line from it to what it names."""

    text: str
    x: float
    y: float
    anchor: str
    turn: int = 0
    leader: Line | None = None


@dataclass(frozen=True)
class TernaryDiagram:
    """Everything that is drawn, and the same in words: `title` the verdict, `description` what is where."""

    width: float
    height: float
    outline: str
    grid: tuple[Line, ...]
    ticks: tuple[Words, ...]
    names: tuple[Words, ...]
    band: str
    curve: str
    first_group: tuple[Spot, ...]
    second_group: tuple[Spot, ...]
    plait: tuple[Spot, ...]
    measured_lines: tuple[Line, ...]
    regions: tuple[Words, ...]
    tie_line: Line | None
    layers: tuple[Spot, ...]
    mixture: Spot
    labels: tuple[Words, ...]
    title: str
    description: str
    caption: str


def place(point: Point) -> Spot:
    """Where a mixture lies in the drawing: x from butan-1-ol and half the acid, y from the acid.

    Parameters
    ----------
    point : Point
        Shares by mass, together 1 [-].

    Returns
    -------
    Spot
        Coordinates of the drawing.

    References
    ----------
    .. [1] Barycentric coordinates of an equilateral triangle.
    """
    return Spot(
        round(LEFT + SIDE * (point.butanol + point.acid / 2), 2), round(BOTTOM - TALL * point.acid, 2)
    )


def ternary_diagram(check: PhaseCheck) -> TernaryDiagram | None:
    """The diagram for one mixture.

    Parameters
    ----------
    check : PhaseCheck
        The verdict and what it was made of [-].

    Returns
    -------
    TernaryDiagram or None
        None where the curve says nothing: another system, another temperature.

    References
    ----------
    .. [1] Points, curve and tie lines: `binodal` names what was measured.
    """
    if check.point is None or check.verdict == "no data":
        return None
    clouds = measured("binodal")
    found = check.tie_line
    return TernaryDiagram(
        width=WIDTH,
        height=HEIGHT,
        outline=_path((Point(0, 0, 1), Point(1, 0, 0), Point(0, 1, 0)), closed=True),
        grid=_grid(),
        ticks=_ticks(),
        names=_names(),
        band=_band(),
        curve=_curve(),
        first_group=tuple(place(p) for p in clouds if p.source_key == "lab_report_a"),
        second_group=tuple(place(p) for p in clouds if p.source_key != "lab_report_a"),
        plait=tuple(place(p) for p in measured("plait")),
        measured_lines=tuple(_line(*pair) for pair in measured_tie_lines()),
        regions=_regions(check.point),
        tie_line=_line(found.watery, found.organic) if found else None,
        layers=(place(found.organic), place(found.watery)) if found else (),
        mixture=place(check.point),
        labels=_labels(check),
        title=f"{BUTANOL}, {ACID} and {WATER} in a triangle. {check.headline}",
        description=_description(check),
        caption=_caption(check),
    )


def _line(first: Point, last: Point) -> Line:
    a, b = place(first), place(last)
    return Line(a.x, a.y, b.x, b.y)


def _path(points: Iterable[Point], *, closed: bool = False) -> str:
    spots = [place(point) for point in points]
    return "M" + "L".join(f"{spot.x:g} {spot.y:g}" for spot in spots) + ("Z" if closed else "")


@cache
def _curve() -> str:
    return _path(curve_points())


@cache
def _band() -> str:
    lower, upper = band_points()
    return _path((*lower, *reversed(upper)), closed=True)


@cache
def _grid() -> tuple[Line, ...]:
    lines: list[Line] = []
    for percent in GRID_PERCENT:
        share = percent / 100
        lines += [
            _line(Point(0, share, 1 - share), Point(1 - share, share, 0)),
            _line(Point(share, 0, 1 - share), Point(share, 1 - share, 0)),
            _line(Point(1 - share, 0, share), Point(0, 1 - share, share)),
        ]
    return tuple(lines)


@cache
def _ticks() -> tuple[Words, ...]:
    """Each liquid along one side: butan-1-ol below, acid on the right, water on the left."""
    found: list[Words] = []
    for percent in LABELLED:
        share = percent / 100
        below, right, left = (
            place(Point(share, 0, 1 - share)),
            place(Point(1 - share, share, 0)),
            place(Point(0, 1 - share, share)),
        )
        found += [
            Words(str(percent), below.x, below.y + 5.2, "middle"),
            Words(str(percent), right.x + 1.8, right.y + 1.5, "start"),
            Words(str(percent), left.x - 1.8, left.y + 1.5, "end"),
        ]
    return tuple(found)


def _names() -> tuple[Words, ...]:
    middle = LEFT + SIDE / 2
    halfway = BOTTOM - TALL / 2
    return (
        Words(ACID, middle, BOTTOM - TALL - 4, "middle"),
        Words(WATER, LEFT, BOTTOM + 5.4, "middle"),
        Words(BUTANOL, LEFT + SIDE, BOTTOM + 5.4, "middle"),
        Words(f"{BUTANOL}, % by mass", middle, BOTTOM + 12.5, "middle"),
        Words(f"{ACID}, % by mass", middle + SIDE / 4 + 10, halfway - 5.5, "middle", 60),
        Words(f"{WATER}, % by mass", middle - SIDE / 4 - 10, halfway - 5.5, "middle", -60),
    )


def _regions(point: Point) -> tuple[Words, ...]:
    """Names of the regions, out of the way of the mixture and its label."""
    one = place(_middle(0.45 if not 0.35 < point.acid < 0.6 else 0.7))
    two = place(_middle(0.012 if point.acid > 0.04 else 0.05))
    return Words("one phase", one.x, one.y, "middle"), Words("two phases", two.x, two.y, "middle")


def _middle(acid: float) -> Point:
    return Point((1 - acid) / 2, acid, (1 - acid) / 2)


def _labels(check: PhaseCheck) -> tuple[Words, ...]:
    if check.point is None:
        return ()
    found = check.tie_line
    said = [_mixture_label(check.point)]
    if found:
        said += [_layer_label("upper layer", found.organic), _layer_label("lower layer", found.watery)]
    return tuple(said)


def _mixture_label(point: Point) -> Words:
    """Beside the point where there is room, else above the data with a line down to it."""
    spot = place(point)
    if point.acid >= _CROWDED:
        return Words("this mixture", spot.x, spot.y - 3, "middle")
    top = BOTTOM - TALL * _MIXTURE_WORDS
    x = min(max(spot.x, LEFT + SIDE * 0.25), LEFT + SIDE * 0.75)
    return Words("this mixture", x, top, "middle", 0, Line(x, top + 1.2, spot.x, spot.y))


def _layer_label(text: str, point: Point) -> Words:
    """Above the data, within the triangle."""
    spot, y = place(point), BOTTOM - TALL * _LAYER_WORDS
    x = min(max(spot.x, LEFT + SIDE * 0.23), LEFT + SIDE * 0.77)
    return Words(text, x, y, "middle", 0, Line(x, y + 1.2, spot.x, spot.y))


def _shares(point: Point) -> str:
    return (
        f"{point.butanol * 100:.0f}\u00a0% {BUTANOL}, {point.acid * 100:.0f}\u00a0% {ACID} and "
        f"{point.water * 100:.0f}\u00a0% {WATER}"
    )


def _description(check: PhaseCheck) -> str:
    if check.point is None:
        return ""
    top = f"{top_of_curve().acid * 100:.1f}\u00a0%"
    said = [
        f"Corners: {WATER} on the left, {BUTANOL} on the right, {ACID} on top; shares by mass.",
        f"Two phases lie at the bottom, under a curve from 7\u00a0% to 80\u00a0% {BUTANOL} in {WATER}.",
        f"It rises to {top} {ACID} between them.",
        "Along the curve runs a band in which one cannot tell.",
        f"This mixture, with {_shares(check.point)}, lies {_where(check)}.",
    ]
    if check.tie_line:
        said.append(
            f"A line joins its layers: the upper one has {_shares(check.tie_line.organic)}, the lower one "
            f"{_shares(check.tie_line.watery)}."
        )
    return " ".join(said)


def _where(check: PhaseCheck) -> str:
    return {
        "one": "outside the curve and its band",
        "two": "under the curve and its band",
        "too close": "in the band",
        "no data": "in a diagram that does not hold for it",
    }[check.verdict]


def _caption(check: PhaseCheck) -> str:
    layers = " Diamonds: its layers, by the tie-line rule." if check.tie_line else ""
    return (
        "Circles and squares: cloud points of two student groups, near 20\u00a0°C; triangle: a reported "
        "plait point, temperature not stated. Dashed lines join layers that were measured. Shaded: too close "
        f"to call. Filled circle: this mixture.{layers}"
    )
