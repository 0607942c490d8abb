"""The part of a portfolio that shows papers: readings as a table, what there is to say, the drawing."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import ROUND_DOWN, Decimal
from io import BytesIO

from django.core.files.storage import default_storage
from PIL import Image, ImageOps, UnidentifiedImageError

from assessment.calculations.frozen_paper import FrozenPaper
from assessment.calculations.manifest import digest
from assessment.models.frozen import FrozenReadings
from practicals.calculations.drawing import Drawing, DrawingError
from practicals.calculations.measured import Measured, SpotMeasured
from practicals.calculations.review import LaneReview, Review, SpotReview
from practicals.models import NoResult, ReadingSet, StoredFile

# What A4 leaves for a drawing beside heading and caption [mm]: on an ordinary page, with narrow margins,
# and turned.
ORDINARY_MM = (Decimal(176), Decimal(220))
UPRIGHT_MM = (Decimal(200), Decimal(220))
TURNED_MM = (Decimal(285), Decimal(134))
PHOTO_PX = 1400


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One spot, or a lane without one; lengths as text with equal decimals [mm]."""

    lane: int
    name: str
    spot: str
    leading: str
    trailing: str
    centre: str
    half_width: str
    front: str
    rf: str
    relative: str
    stated: str
    colour: str
    verdict: str


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo as it is printed; `content` is empty when the file is not there any more."""

    name: str
    alt: str
    sha256: str
    content: bytes


@dataclass(frozen=True, slots=True)
class PaperPart:
    """One paper in the document. `page` names the kind of page on which its drawing has room."""

    anchor: str
    paper: FrozenPaper
    source: str
    entry_unit: str
    origin: str
    no_result: str
    rows: tuple[ReadingRow, ...]
    named: tuple[str, ...]
    remarks: tuple[str, ...]
    worth: tuple[str, ...]
    logarithms: tuple[tuple[str, str], ...]
    compared: tuple[str, ...]
    reference: str
    drawing: Drawing | None
    page: str
    percent: int
    photos: tuple[Photo, ...]

    @property
    def label(self) -> str:
        return self.paper.label

    @property
    def has_edges(self) -> bool:
        return any(row.leading for row in self.rows)

    @property
    def has_half_widths(self) -> bool:
        return any(row.half_width for row in self.rows)

    @property
    def has_colours(self) -> bool:
        return any(row.colour for row in self.rows)

    @property
    def at_actual_size(self) -> bool:
        return self.percent == 100


def paper_part(found: FrozenReadings, *, number: int, checks: bool) -> PaperPart:
    """Without `checks` it shows what the learner handed in and nothing that the program says about it."""
    review, measured = found.review, found.measured
    shown = found if checks else found._replace(review=replace(review, lanes=()))
    drawing = _drawing(shown)
    page, percent = _page_for(drawing)
    return PaperPart(
        anchor=f"paper-{number}",
        paper=found.paper,
        source=dict(ReadingSet.Source.choices).get(found.source, found.source),
        entry_unit=review.unit,
        origin=_mm(review.origin_mm, 0),
        no_result=_reason(review.no_result),
        rows=tuple(_rows(review, measured if checks else None)),
        named=tuple(_named(review)),
        remarks=tuple(_remarks(review)) if checks else (),
        worth=tuple(_worth(measured)) if checks else (),
        logarithms=tuple((one.label, one.rm.text) for one in measured.spots if one.rm) if checks else (),
        compared=tuple(_compared(measured)) if checks else (),
        reference=measured.reference,
        drawing=drawing,
        page=page,
        percent=percent,
        photos=tuple(_photos(found.paper, number)),
    )


def _drawing(found: FrozenReadings) -> Drawing | None:
    try:
        return found.drawing
    except DrawingError:
        return None


def _page_for(drawing: Drawing | None) -> tuple[str, int]:
    if drawing is None:
        return "ordinary", 100
    size = (drawing.view_width, drawing.view_height)
    if _fits(size, ORDINARY_MM):
        return "ordinary", 100
    if _fits(size, UPRIGHT_MM):
        return "upright", 100
    if _fits(size, TURNED_MM):
        return "turned", 100
    scale = min(UPRIGHT_MM[0] / size[0], UPRIGHT_MM[1] / size[1])
    return "reduced", int((scale * 100).to_integral_value(ROUND_DOWN))


def _fits(size: tuple[Decimal, Decimal], room: tuple[Decimal, Decimal]) -> bool:
    return size[0] <= room[0] and size[1] <= room[1]


def _rows(review: Review, measured: Measured | None) -> Iterator[ReadingRow]:
    lengths = [
        length
        for lane in review.lanes
        for length in (
            lane.front_mm,
            *(mm for spot in lane.spots for mm in (spot.leading_mm, spot.trailing_mm, spot.centre_mm)),
        )
        if length is not None
    ]
    places = max(map(_decimals, lengths), default=0)
    found = {(one.spot.lane, one.spot.number): one for one in measured.spots} if measured else {}
    for lane in review.lanes:
        for spot in lane.spots:
            yield _row(lane, spot, places, found.get((spot.lane, spot.number)))
        if not lane.spots:
            reason = _reason(lane.no_result) or "not read"
            front = _mm(lane.front_mm, places)
            yield _without_a_spot(lane, front, reason)


def _without_a_spot(lane: LaneReview, front: str, reason: str) -> ReadingRow:
    nothing = dict.fromkeys(
        ("spot", "leading", "trailing", "centre", "half_width", "rf", "relative", "stated", "colour"), ""
    )
    return ReadingRow(lane=lane.number, name=lane.name, front=front, verdict=reason, **nothing)


def _row(lane: LaneReview, spot: SpotReview, places: int, measured: SpotMeasured | None) -> ReadingRow:
    return ReadingRow(
        lane=lane.number,
        name=lane.name,
        spot=str(spot.number),
        leading=_mm(spot.leading_mm, places),
        trailing=_mm(spot.trailing_mm, places),
        centre=_mm(spot.centre_mm, places),
        half_width="" if spot.judged_to_mm is None else f"{spot.judged_to_mm:f}",
        front=_mm(lane.front_mm, places),
        rf=_without_k(measured.rf.reported.text) if measured and measured.rf else "",
        relative=measured.relative_text if measured else "",
        stated=spot.stated,
        colour=spot.colour,
        verdict=spot.verdict.partition(":")[0] if measured else "",
    )


def _named(review: Review) -> Iterator[str]:
    for lane in review.unknowns:
        for spot in lane.spots:
            where = f"Lane {lane.number}, {lane.name}"
            where += f", spot {spot.number}" if len(lane.spots) > 1 else ""
            if spot.identified_as:
                yield f"{where}: identified as {spot.identified_name}."
            elif spot.cannot_tell:
                yield f"{where}: the learner cannot tell what it is."


def _remarks(review: Review) -> Iterator[str]:
    yield from (doubt.sentence for doubt in review.doubts)
    for spot in review.differing:
        if spot.explanation:
            said = [spot.explanation.summary, *(match.sentence for match in spot.explanation.matches)]
            right = f"The readings give {spot.explanation.right_value}."
            where = f"Lane {spot.lane}, spot {spot.number}"
            yield f"{where}: own value {spot.stated}. {right} {' '.join(said)}"
    for missing in review.missing:
        yield missing.sentence.replace("your own", "the own").replace("you have not said", "not said")


def _worth(measured: Measured) -> Iterator[str]:
    """What makes the values uncertain, how long a run would do, how well spots stand apart, shared slips."""
    yield from measured.causes
    if measured.run:
        yield measured.run
    yield from (pair.sentence for pair in measured.neighbours)
    if measured.edges_wanted:
        yield measured.edges_wanted
    yield from measured.odd_colours
    if measured.slip:
        yield f"The own values of the whole paper: {measured.slip}"


def _compared(measured: Measured) -> Iterator[str]:
    for one in measured.unknowns:
        if one.identification is None or one.naming is None:
            continue
        figures = "; ".join(f"{c.name} z = {c.z:+.1f}" for c in one.identification.compared)
        said = [f"Lane {one.label}: {one.identification.words}", one.naming.of_another]
        yield " ".join(filter(None, [*said, one.colour, f"({figures})" if figures else ""]))


def _without_k(text: str) -> str:
    return text.partition(" (")[0]


def _reason(kept: str) -> str:
    return dict(NoResult.choices).get(kept, kept)


def _photos(paper: FrozenPaper, number: int) -> Iterator[Photo]:
    for place, sha256 in enumerate(paper.photos, start=1):
        alt = f"Photo {place} of {paper.label}, taken by the learner"
        yield Photo(f"photo-{number}-{place}.jpg", alt, sha256, _printed(sha256))


def _printed(sha256: str) -> bytes:
    """The photo at print size; nothing if the file is gone, is another one, or is no picture."""
    try:
        with default_storage.open(StoredFile(sha256=sha256).place) as file:
            content = file.read()
        if digest(content) != sha256:
            return b""
        with Image.open(BytesIO(content)) as opened:
            picture = ImageOps.exif_transpose(opened).convert("RGB")
    except (OSError, UnidentifiedImageError, Image.DecompressionBombError, ValueError):
        return b""
    picture.thumbnail((PHOTO_PX, PHOTO_PX))
    made = BytesIO()
    picture.save(made, "JPEG", quality=82)
    return made.getvalue()


def _decimals(length: Decimal) -> int:
    exponent = length.normalize().as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def _mm(length: Decimal | None, places: int) -> str:
    return "" if length is None else f"{length:.{max(places, _decimals(length))}f}"


def every_photo(papers: Sequence[PaperPart]) -> dict[str, bytes]:
    return {photo.name: photo.content for paper in papers for photo in paper.photos if photo.content}
