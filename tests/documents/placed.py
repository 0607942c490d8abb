"""Where things stand on the pages of a PDF, in mm from the upper left corner: read with pikepdf only."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import pikepdf

from tests.documents.reading import _decoded, _mapping, open_pdf

MM = 25.4 / 72  # a point is 1/72 inch, an inch 25.4 mm
#: Height above and depth below the line that letters are taken to reach, as parts of their size.
ABOVE, BELOW = 0.78, 0.22


@dataclass(frozen=True)
class Box:
    """What it is ("text", "path" or "rectangle"), on which page from 1, from where to where [mm]."""

    kind: str
    page: int
    left: float
    top: float
    right: float
    bottom: float
    says: str = ""
    colour: tuple[float, ...] = ()


def boxes(data: bytes) -> list[Box]:
    """Every run of text, every path and every rectangle, in the order of drawing."""
    with open_pdf(data) as pdf:
        return [
            box
            for number, page in enumerate(pdf.pages, start=1)
            for box in _Page(number, float(page.mediabox[3])).read(
                page.obj, page.obj.Resources, pikepdf.Matrix()
            )
        ]


class _Page:
    """Follows one page's drawing (ISO 32000-1, 8.3.4 and 9.4.4)."""

    def __init__(self, number: int, height: float) -> None:
        self.number, self.height = number, height
        self.colour: tuple[float, ...] = ()
        self.kept: list[Any] = []
        self.path: list[tuple[float, float]] = []
        self.start: list[tuple[float, float]] = []
        self.now = self.text = self.line = pikepdf.Matrix()

    def read(self, holder: Any, resources: Any, now: pikepdf.Matrix) -> Iterator[Box]:
        self.now = now
        for operands, operator in pikepdf.parse_content_stream(holder):
            name = str(operator)
            if name == "Do":
                yield from self._form(resources.XObject[str(operands[0])], resources)
            elif name == "Tf":
                self.font, self.size = resources.Font[str(operands[0])], float(operands[1])
            elif name in {"Tj", "TJ"}:
                yield self._run(operands[0] if name == "TJ" else [operands[0]])
            elif name in {"BT", "Tm", "Td"}:
                self._place(name, operands)
            elif name == "re":
                x, y, w, h = map(float, operands)
                yield self._box("rectangle", _corners(self.now, (x, x + w), (y, y + h)))
            elif name in {"f", "f*", "S", "s", "B", "b"} and self.path:
                yield self._box("path", self.path)
                self.path = []
            else:
                self._draw(name, operands)

    def _form(self, inner: Any, resources: Any) -> Iterator[Box]:
        if inner.Subtype == "/Form":
            before = self.now
            own = pikepdf.Matrix(*map(float, inner.get("/Matrix", [1, 0, 0, 1, 0, 0])))
            yield from self.read(inner, inner.get("/Resources", resources), own @ before)
            self.now = before

    def _draw(self, name: str, operands: Any) -> None:
        if name == "q":
            self.kept.append((self.now, self.colour))
        elif name == "Q":
            self.now, self.colour = self.kept.pop()
        elif name == "cm":
            self.now = pikepdf.Matrix(*map(float, operands)) @ self.now
        elif name in {"RG", "rg"}:
            self.colour = tuple(float(one) for one in operands)
        elif name == "m":  # a move that draws nothing is no part of the path
            self.start = [_point(self.now, float(operands[0]), float(operands[1]))]
        elif name in {"l", "c"}:
            self.path += [*self.start, _point(self.now, float(operands[-2]), float(operands[-1]))]
            self.start = []

    def _place(self, name: str, operands: Any) -> None:
        if name == "Td":
            step = pikepdf.Matrix(1, 0, 0, 1, float(operands[0]), float(operands[1]))
            self.text = self.line = step @ self.line
        else:
            self.text = self.line = pikepdf.Matrix(*map(float, operands or [1, 0, 0, 1, 0, 0]))

    def _run(self, pieces: Any) -> Box:
        said, advance = _set(pieces, self.font)
        across, down = (0, advance * self.size), (-BELOW * self.size, ABOVE * self.size)
        ink = _corners(self.text @ self.now, across, down)
        self.text = pikepdf.Matrix(1, 0, 0, 1, advance * self.size, 0) @ self.text
        return self._box("text", ink, said)

    def _box(self, kind: str, points: Any, says: str = "") -> Box:
        across = [x * MM for x, _ in points]
        down = [(self.height - y) * MM for _, y in points]
        colour = () if kind == "text" else self.colour
        return Box(kind, self.number, min(across), min(down), max(across), max(down), says, colour)


def _point(matrix: pikepdf.Matrix, x: float, y: float) -> tuple[float, float]:
    return matrix.a * x + matrix.c * y + matrix.e, matrix.b * x + matrix.d * y + matrix.f


def _corners(matrix: pikepdf.Matrix, across: Any, down: Any) -> list[tuple[float, float]]:
    return [_point(matrix, x, y) for x in across for y in down]


def _set(pieces: Any, font: Any) -> tuple[str, float]:
    """What a run says and how far it reaches at size 1, by the font's widths (ISO 32000-1, 9.7.4.3)."""
    inner = font.DescendantFonts[0]
    widths = _widths(inner.W)
    mapping, said, advance = _mapping(font), "", 0.0
    for piece in pieces:
        if not isinstance(piece, pikepdf.String):
            advance -= float(piece) / 1000
            continue
        codes = bytes(piece)
        said += _decoded(codes, mapping)
        for at in range(0, len(codes), 2):
            code = int.from_bytes(codes[at : at + 2], "big")
            advance += widths.get(code, float(inner.get("/DW", 1000))) / 1000
    return said, advance


def _widths(listed: Any) -> dict[int, float]:
    widths: dict[int, float] = {}
    left = list(listed)
    while left:
        first, after = int(left.pop(0)), left.pop(0)
        if isinstance(after, pikepdf.Array):
            widths |= {first + step: float(width) for step, width in enumerate(after)}
        else:
            widths |= dict.fromkeys(range(first, int(after) + 1), float(left.pop(0)))
    return widths
