"""Reads a PDF back: its text per page, its attachments, what it claims to be. Uses pikepdf only."""

import re
from collections.abc import Iterator
from io import BytesIO

import pikepdf

_HEX = re.compile(rb"<([0-9A-Fa-f]+)>")
_BFCHAR = re.compile(rb"beginbfchar(.*?)endbfchar", re.DOTALL)
_BFRANGE = re.compile(rb"beginbfrange(.*?)endbfrange", re.DOTALL)


def open_pdf(data: bytes) -> pikepdf.Pdf:
    return pikepdf.open(BytesIO(data))


def page_texts(data: bytes) -> list[str]:
    """The text of each page in the order of drawing, with its runs joined and blanks made single."""
    with open_pdf(data) as pdf:
        return [
            re.sub(r"\s+", " ", "".join(_texts(page.obj, page.obj.Resources))).strip() for page in pdf.pages
        ]


def attachments(data: bytes) -> dict[str, bytes]:
    with open_pdf(data) as pdf:
        return {name: spec.get_file().read_bytes() for name, spec in pdf.attachments.items()}


def rectangles_mm(data: bytes) -> list[tuple[float, float]]:
    """Width and height on paper of every rectangle drawn; a point is 1/72 inch, an inch 25.4 mm."""
    with open_pdf(data) as pdf:
        return [
            (round(abs(m.a * w + m.c * h) * 25.4 / 72, 3), round(abs(m.b * w + m.d * h) * 25.4 / 72, 3))
            for page in pdf.pages
            for m, w, h in _rectangles(page.obj, page.obj.Resources, pikepdf.Matrix())
        ]


def _rectangles(
    holder: pikepdf.Object, resources: pikepdf.Object, now: pikepdf.Matrix
) -> Iterator[tuple[pikepdf.Matrix, float, float]]:
    kept = []
    for operands, operator in pikepdf.parse_content_stream(holder):
        match str(operator):
            case "q":
                kept.append(now)
            case "Q":
                now = kept.pop()
            case "cm":
                now = pikepdf.Matrix(*map(float, operands)) @ now
            case "re":
                yield now, float(operands[2]), float(operands[3])
            case "Do":
                inner = resources.XObject[str(operands[0])]
                if inner.Subtype == "/Form":
                    yield from _rectangles(inner, inner.get("/Resources", resources), now)


def _texts(holder: pikepdf.Object, resources: pikepdf.Object) -> Iterator[str]:
    mapping: dict[bytes, str] = {}
    for operands, operator in pikepdf.parse_content_stream(holder):
        match str(operator):
            case "Tf":
                mapping = _mapping(resources.Font[str(operands[0])])
            case "Tj":
                yield _decoded(bytes(operands[0]), mapping)
            case "TJ":
                yield "".join(
                    _decoded(bytes(piece), mapping)
                    for piece in operands[0]
                    if isinstance(piece, pikepdf.String)
                )
            case "ET":
                yield " "
            case "Do":
                inner = resources.XObject[str(operands[0])]
                if inner.Subtype == "/Form":
                    yield from _texts(inner, inner.get("/Resources", resources))


def _mapping(font: pikepdf.Object) -> dict[bytes, str]:
    """What each code of a font says, from its ToUnicode map (ISO 32000-1, 9.10.3)."""
    cmap = font.ToUnicode.read_bytes()
    mapping = {}
    for block in _BFCHAR.findall(cmap):
        pairs = _HEX.findall(block)
        for code, said in zip(pairs[::2], pairs[1::2], strict=True):
            mapping[bytes.fromhex(code.decode())] = bytes.fromhex(said.decode()).decode("utf-16-be")
    for block in _BFRANGE.findall(cmap):
        for first, last, said in re.findall(rb"<(\w+)>\s*<(\w+)>\s*<(\w+)>", block):
            start = int(said, 16)
            for step, code in enumerate(range(int(first, 16), int(last, 16) + 1)):
                mapping[code.to_bytes(len(first) // 2, "big")] = chr(start + step)
    return mapping


def _decoded(codes: bytes, mapping: dict[bytes, str]) -> str:
    width = max(map(len, mapping), default=2)
    return "".join(mapping.get(codes[i : i + width], "") for i in range(0, len(codes), width))
