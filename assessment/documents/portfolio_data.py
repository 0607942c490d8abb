"""The raw data inside a portfolio: the manifest, each part as it was frozen, the readings as a table."""

import csv
from collections.abc import Iterable, Iterator
from datetime import datetime
from decimal import Decimal
from io import StringIO

from django.core.files.storage import default_storage

from assessment.calculations.frozen_beside import FrozenAttachment
from assessment.models import Submission
from assessment.models.frozen import FrozenReadings
from practicals.calculations.rf import rounded
from practicals.models import StoredFile
from reagents.rendering import Attachment

MANIFEST = "manifest.json"
READINGS = "readings.csv"
HEADINGS = (
    "paper", "lane", "in_lane", "spot", "entered_in", "origin_mm", "front_mm", "leading_mm", "trailing_mm",
    "centre_mm", "own_rf", "recomputed_rf", "no_result", "identified_as", "judged_to_mm",
    "colour", "recomputed_rm",
)  # fmt: skip
#: Files of up to so many bytes go into the document itself.
LARGEST_FILE_INSIDE = 4 * 1024 * 1024
ENDINGS = {"application/pdf": "pdf", "image/jpeg": "jpg", "text/plain": "txt"}
#: Parts in which the program, or a person at the bench, says something about the learner's work.
SAID_ABOUT_THE_WORK = frozenset({"facts", "notes", "witness"})


def data_inside(
    submission: Submission, papers: Iterable[FrozenReadings], *, checks: bool, at: datetime
) -> list[Attachment]:
    """Everything a reader needs to hold the document against the hash that is printed in it."""
    texts = [(MANIFEST, submission.manifest, "Manifest of the frozen evidence, exact text")]
    texts += [
        (f"{part.name}.json", part.text, f"Frozen evidence, exact text: {part.name}")
        for part in submission.parts.all()
        if part.erased_at is None and (checks or part.name not in SAID_ABOUT_THE_WORK)
    ]
    texts.append((READINGS, readings_csv(papers, checks=checks), "Readings as a table"))
    return [Attachment(name, text.encode(), at, at, about) for name, text, about in texts]


def files_inside(files: Iterable[FrozenAttachment], *, at: datetime) -> Iterator[Attachment]:
    """The files handed in with the work. What is large stays at the centre and is named by its digest."""
    for number, one in enumerate(files, start=1):
        place = StoredFile(sha256=one.sha256).place
        if one.size > LARGEST_FILE_INSIDE or not default_storage.exists(place):
            continue
        with default_storage.open(place) as kept:
            content = kept.read()
        ending = ENDINGS.get(one.media_type, "bin")
        name = f"file-{number}.{ending}"
        yield Attachment(name, content, at, at, f"Handed in with the work: {one.title}", "Supplement")


def readings_csv(papers: Iterable[FrozenReadings], *, checks: bool) -> str:
    """One row a spot, lengths in millimetres as they were typed (RFC 4180)."""
    made = StringIO(newline="")
    writer = csv.writer(made)
    writer.writerow(HEADINGS)
    for found in papers:
        writer.writerows([_cell(cell) for cell in row] for row in _rows(found, checks))
    return made.getvalue()


def _rows(found: FrozenReadings, checks: bool) -> Iterator[list[object]]:
    review = found.review
    logarithms = dict(_logarithms(found)) if checks else {}
    for lane in review.lanes:
        start = [found.paper.label, lane.number, lane.name]
        for spot in lane.spots:
            lengths = [review.origin_mm, lane.front_mm, spot.leading_mm, spot.trailing_mm, spot.centre_mm]
            rf, rm = spot.rounded_rf if checks else None, logarithms.get((lane.number, spot.number))
            yield [
                *start, spot.number, review.unit, *lengths, spot.stated, rf, lane.no_result, spot.told,
                spot.judged_to_mm, spot.colour, rm,
            ]  # fmt: skip
        if not lane.spots:
            nothing = [""] * 5
            lengths = [review.origin_mm, lane.front_mm]
            yield [*start, "", review.unit, *lengths, *nothing, lane.no_result, "", "", "", ""]


def _logarithms(found: FrozenReadings) -> Iterator[tuple[tuple[int, int], Decimal]]:
    """R_M by lane and spot, where it is defined."""
    for one in found.measured.spots:
        if one.rm is not None and one.rm.value is not None:
            yield (one.spot.lane, one.spot.number), rounded(Decimal(repr(one.rm.value)), 3)


def _cell(value: object) -> str:
    """A text that a spreadsheet would take for a formula gets an apostrophe before it."""
    text = "" if value is None else str(value)
    return f"'{text}" if isinstance(value, str) and text.startswith(("=", "+", "-", "@", "\t")) else text
