"""Our own drawings of the GHS pictograms keep to the frame of the specification.

UN GHS, 1.4.10.4 (and CLP Annex V): a square set at a point, black symbol on white, red frame wide enough to
be clearly seen. That the symbol stays clear of the frame is what makes it legible: common practice.
"""

import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest

FOLDER = Path(__file__).resolve().parents[2] / "practicals" / "static" / "practicals" / "pictograms"
FILES = sorted(FOLDER.glob("*.svg"))
BLACK, WHITE, RED, NONE = "#000", "#fff", "#d1001f", "none"
TOKEN = re.compile(r"[A-Za-z]|-?(?:\d+\.?\d*|\.\d+)")
TAKES = {"m": 2, "l": 2, "h": 1, "v": 1, "c": 6, "s": 4, "a": 7, "z": 0}


def tag(node):
    return node.tag.partition("}")[2]


def frame_of(path):
    root = ET.parse(path).getroot()  # noqa: S314  # our own files
    first, *symbol = list(root)
    return root, first, symbol


def path_points(text):
    """Every corner and control point of a path, absolute."""
    tokens, place = TOKEN.findall(text), 0
    x = y = 0.0
    start = (0.0, 0.0)
    found, command = [], ""
    while place < len(tokens):
        if tokens[place].isalpha():
            command, place = tokens[place], place + 1
        kind, relative = command.lower(), command.islower()
        values = [float(one) for one in tokens[place : place + TAKES[kind]]]
        place += TAKES[kind]
        base = (x, y) if relative else (0.0, 0.0)
        if kind == "z":
            x, y = start
            continue
        if kind == "h":
            x = base[0] + values[0]
        elif kind == "v":
            y = base[1] + values[0]
        else:
            pairs = values[5:] if kind == "a" else values
            points = [(base[0] + a, base[1] + b) for a, b in zip(pairs[::2], pairs[1::2], strict=True)]
            found += points[:-1]
            x, y = points[-1]
            if kind == "m":
                start, command = (x, y), "l" if relative else "L"
        found.append((x, y))
    return found


def moved(point, transform):
    shift = re.search(r"translate\(([-\d.]+) ([-\d.]+)\)", transform)
    scale = re.search(r"scale\(([-\d.]+)\)", transform)
    factor = float(scale[1]) if scale else 1.0
    dx, dy = (float(shift[1]), float(shift[2])) if shift else (0.0, 0.0)
    return point[0] * factor + dx, point[1] * factor + dy


def points_of(node):
    """Corners of a shape and of what is in it, after its own transform."""
    found = []
    if tag(node) == "path":
        found = path_points(node.get("d"))
    elif tag(node) == "circle":
        x, y, r = (float(node.get(name)) for name in ("cx", "cy", "r"))
        found = [(x - r, y), (x + r, y), (x, y - r), (x, y + r)]
    for child in node:
        found += points_of(child)
    return [moved(point, node.get("transform", "")) for point in found]


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_square_set_at_a_point_with_a_red_frame_on_white_un_ghs_1_4_10_4(path):
    root, frame, _ = frame_of(path)
    assert root.get("viewBox") == "0 0 100 100"
    corners = path_points(frame.get("d"))
    assert set(corners) == {(50, 5), (95, 50), (50, 95), (5, 50)}
    assert (frame.get("fill"), frame.get("stroke")) == (WHITE, RED)
    assert float(frame.get("stroke-width")) >= 4


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_symbol_is_black_on_white_un_ghs_1_4_10_4(path):
    _, _, symbol = frame_of(path)
    for shape in symbol:
        for node in shape.iter():
            assert node.get("fill", BLACK) in {BLACK, WHITE, NONE}
            assert node.get("stroke", BLACK) in {BLACK, NONE}


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_the_symbol_stays_clear_of_the_frame_common_practice(path):
    # Inside the frame |x - 50| + |y - 50| is less than 45 less half the stroke across its slope, 41.4.
    _, _, symbol = frame_of(path)
    points = [point for shape in symbol for point in points_of(shape)]
    assert len(points) > 4
    assert max(abs(x - 50) + abs(y - 50) for x, y in points) < 41.4


def test_all_signs_of_the_substances_are_drawn():
    assert [path.stem for path in FILES] == [f"ghs0{number}" for number in range(2, 10)]
