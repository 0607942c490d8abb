"""What a camera would show: a drawn picture of an invented paper, which says on it that it is invented."""

import random
from collections.abc import Mapping
from io import BytesIO

from PIL import Image, ImageDraw, ImageFont

from assessment.management.scenario.measuring import TruePaper, substances
from practicals.models import Paper

PX_PER_MM = 6
MARGIN_MM = 14
BENCH, PAPER, PENCIL, FRONT = (116, 104, 92), (246, 242, 232), (96, 96, 100), (188, 182, 168)
PURPLE = (126, 72, 140)
#: Colours after locating that are not the purple of ninhydrin; invented like the rest.
COLOURS: Mapping[str, tuple[int, int, int]] = {"proline": (206, 168, 62)}
WORDS = "invented data, drawn, no photo"


def picture_of(paper: Paper, true: TruePaper, rng: random.Random) -> bytes:
    """A JPEG of one developed paper, lying a little askew on the bench."""
    width, height = (float(side) for side in (paper.width_mm, paper.height_mm))
    picture = Image.new("RGB", (_px(width), _px(height)), PAPER)
    draw = ImageDraw.Draw(picture)
    font = ImageFont.load_default(size=_px(3.6))
    for line_mm, colour in ((true.origin_mm, PENCIL), (true.front_mm, FRONT)):
        y = _px(height - float(line_mm))
        draw.line((0, y, picture.width, y), fill=colour, width=3)
    lanes = list(paper.lanes.select_related("analyte"))
    for place, lane in enumerate(lanes, start=1):
        x = _px(width * place / (len(lanes) + 1))
        draw.text((x, _px(height) - _px(5)), str(lane.number), fill=PENCIL, font=font, anchor="mm")
        for spot, key in zip(true.spots[lane.number], substances(lane.analyte), strict=True):
            _dab(draw, x, _px(height - float(spot)), COLOURS.get(key, PURPLE), rng)
    draw.text((picture.width / 2, _px(5)), WORDS, fill=PENCIL, font=font, anchor="mm")
    lying = picture.rotate(rng.uniform(-2, 2), Image.Resampling.BICUBIC, expand=True, fillcolor=BENCH)
    bench = Image.new("RGB", (lying.width + 2 * _px(MARGIN_MM), lying.height + 2 * _px(MARGIN_MM)), BENCH)
    bench.paste(lying, (_px(MARGIN_MM), _px(MARGIN_MM)))
    made = BytesIO()
    bench.save(made, "JPEG", quality=80)
    return made.getvalue()


def _dab(draw: ImageDraw.ImageDraw, x: int, y: int, colour: tuple[int, int, int], rng: random.Random) -> None:
    """A spot, fainter towards its edge."""
    for part in (1.0, 0.75, 0.5):
        wide, tall = (_px(rng.uniform(2.4, 3.0)) * part, _px(rng.uniform(2.8, 3.6)) * part)
        red, green, blue = (
            round(ground + (ink - ground) * (1.25 - part)) for ink, ground in zip(colour, PAPER, strict=True)
        )
        draw.ellipse((x - wide, y - tall, x + wide, y + tall), fill=(red, green, blue))


def _px(length_mm: float) -> int:
    return round(length_mm * PX_PER_MM)
