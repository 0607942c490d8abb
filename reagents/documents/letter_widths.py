"""How wide a text is in the face that pages and PDFs share: read from the very fonts that are embedded."""

from functools import cache, lru_cache

from django.contrib.staticfiles import finders

FACES = {False: "IBMPlexSans-Regular.woff2", True: "IBMPlexSans-SemiBold.woff2"}
#: Letters that our face lacks are set in another one; none is wider than it is high.
FOREIGN = 1.0


@lru_cache(maxsize=20_000)
def letter_width(text: str, bold: bool) -> float:
    """Advance of a text set at size 1, without kerning [-]."""
    widths = _widths(bold)
    return sum(widths.get(letter, FOREIGN) for letter in text)


def x_height() -> float:
    """Height of a small x at size 1 [-]."""
    return _font(False)[1]


@cache
def _font(bold: bool) -> tuple[dict[str, float], float]:
    from fontTools.ttLib import TTFont

    with TTFont(finders.find(f"practicals/fonts/{FACES[bold]}"), lazy=True) as font:
        unit = font["head"].unitsPerEm
        advances = font["hmtx"]
        widths = {chr(code): advances[name][0] / unit for code, name in font.getBestCmap().items()}
        return widths, font["OS/2"].sxHeight / unit


def _widths(bold: bool) -> dict[str, float]:
    return _font(bold)[0]
