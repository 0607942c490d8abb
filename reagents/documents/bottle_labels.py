"""Labels on A4 sheets: laid out by the sheet's own millimetres, from the first free position on."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from itertools import groupby
from typing import Any

from django.utils.safestring import SafeString

from reagents.calculations.label_fit import Fitted, Limits, fit
from reagents.calculations.label_layout import A4_MM, Place, Sheet, free_positions, places, printed_size
from reagents.calculations.label_size import SizeVerdict, judge_size, pictogram_side
from reagents.calculations.preparation import Sign
from reagents.documents.label_words import Label
from reagents.documents.letter_widths import letter_width, x_height
from reagents.models import LabelSheet
from reagents.rendering import qr_svg, render_pdf

QR_MM = 13.0
#: Smaller letters than these nobody reads at arm's length (common practice, no source) [mm of x-height].
LEAST_X_HEIGHT_MM = 1.0
#: Our drawing of a pictogram is wider than its red diamond by the drawing's white rim.
DRAWN = 100 / 97.07


class CannotPrint(ValueError):
    """These labels must not be printed on this sheet; the message is a sentence."""


@dataclass(frozen=True)
class Picture:
    """A pictogram's drawing, placed so that its red diamond fills the box meant for it [mm]."""

    sign: Sign
    left: float
    top: float
    size: float


@dataclass(frozen=True)
class FirstSheet:
    """Every position of the first sheet and whether it is printed; how many are, from where to where."""

    every: tuple[tuple[Place, bool], ...]
    size: int
    start: int
    end: int


@dataclass(frozen=True)
class LabelRun:
    """So many equal labels on a sheet, with what the person who prints them must know."""

    sheet: Sheet
    label: Label
    fitted: Fitted
    places: tuple[Place, ...]
    size: SizeVerdict
    remarks: tuple[str, ...]
    warnings: tuple[str, ...]

    @property
    def pages(self) -> tuple[tuple[Place, ...], ...]:
        return tuple(tuple(group) for _, group in groupby(self.places, key=lambda place: place.page))

    @property
    def first_page(self) -> FirstSheet:
        here = {(place.row, place.column) for place in self.pages[0]}
        every = places(self.sheet, start=1, count=self.sheet.positions)
        used = [number for number, place in enumerate(every, 1) if (place.row, place.column) in here]
        marked = tuple((place, (place.row, place.column) in here) for place in every)
        return FirstSheet(marked, len(used), used[0], used[-1])

    @property
    def printed(self) -> tuple[Decimal, Decimal]:
        return printed_size(self.sheet)

    @property
    def qr(self) -> SafeString:
        return qr_svg(self.label.link, title=self.label.link_says, size_mm=QR_MM)

    @property
    def pictures(self) -> tuple[Picture, ...]:
        return tuple(
            Picture(
                sign,
                spot.left - spot.size * (DRAWN - 1) / 2,
                spot.top - spot.size * (DRAWN - 1) / 2,
                spot.size * DRAWN,
            )
            for sign, spot in zip(self.label.signs, self.fitted.pictograms, strict=True)
        )


def sheet_of(kept: LabelSheet) -> Sheet:
    """The plain values of a kept sheet."""
    return Sheet(
        rows=kept.rows,
        columns=kept.columns,
        width_mm=kept.width_mm,
        height_mm=kept.height_mm,
        left_mm=kept.left_mm,
        top_mm=kept.top_mm,
        pitch_across_mm=kept.pitch_across_mm,
        pitch_down_mm=kept.pitch_down_mm,
    )


def label_run(label: Label, *, sheet: Sheet, start: int, copies: int, container_ml: Decimal) -> LabelRun:
    """Lay out `copies` of a label from position `start`.

    `CannotPrint` where the label is smaller than its container must have, `TooSmall` where the words do not
    fit, `ImpossibleSheet` for a position that is none: each says in a sentence what to do.
    """
    size = judge_size(sheet, container_ml)
    if size.refused:
        raise CannotPrint(size.sentence)
    laid = places(sheet, start=start, count=copies)
    width, height = (float(side) for side in printed_size(sheet))
    wanted = pictogram_side(container_ml)
    fitted = fit(
        label.words,
        width_mm=width,
        height_mm=height,
        pictograms=len(label.signs),
        limits=Limits(
            wanted_side=float(wanted),
            least_side=float(size.least.least_pictogram_mm),
            wanted_letters=float(size.least.x_height_mm) / x_height(),
            least_letters=LEAST_X_HEIGHT_MM / x_height(),
            qr=QR_MM,
        ),
        measure=letter_width,
    )
    return LabelRun(
        sheet=sheet,
        label=label,
        fitted=fitted,
        places=laid,
        size=size,
        remarks=_remarks(sheet, laid, size, fitted, len(label.signs)),
        warnings=_warnings(size, fitted, len(label.signs)),
    )


def labels_pdf(run: LabelRun, *, created: datetime, centre: Any = None) -> bytes:
    """The labels on A4, without frames: the sheet has its own edges."""
    return render_pdf(
        "documents/bottle_labels/bottle_labels.html",
        {"run": run, "centre": centre, "paper": A4_MM},
        title=run.label.name,
        created=created,
    )


def frames_pdf(sheet: Sheet, *, name: str, created: datetime) -> bytes:
    """Every label of a sheet as a thin frame with its position's number, to hold against the real sheet."""
    every = places(sheet, start=1, count=sheet.positions)
    return render_pdf(
        "documents/bottle_labels/frames.html",
        {"places": every, "sheet": sheet, "paper": A4_MM},
        title=f"Frames: {name}",
        created=created,
    )


def _remarks(
    sheet: Sheet, laid: Sequence[Place], size: SizeVerdict, fitted: Fitted, signs: int
) -> tuple[str, ...]:
    pages = laid[-1].page
    papers = "1 sheet" if pages == 1 else f"{pages} sheets"
    free = free_positions(sheet, laid)
    said = [f"{papers}; {free} of the last one's {sheet.positions} labels stay free after these."]
    if size.large_enough:
        said.append(size.sentence)
    if signs and fitted.side >= float(size.least.pictogram_mm):
        said.append(f"The pictograms' sides are {fitted.side:.0f} mm.")
    if _x_height(fitted) >= float(size.least.x_height_mm):
        said.append(f"The letters' x-height is {_x_height(fitted):.1f} mm.")
    return tuple(said)


def _warnings(size: SizeVerdict, fitted: Fitted, signs: int) -> tuple[str, ...]:
    least, said = size.least, []
    if not size.large_enough:
        said.append(size.sentence)
    if signs and fitted.side < float(least.pictogram_mm):
        said.append(
            f"The pictograms' sides are {fitted.side:.0f} mm; {least.pictogram_mm} mm are wanted if possible "
            f"and {least.least_pictogram_mm} mm are the least. A larger label has room for them."
        )
    height = _x_height(fitted)
    if height < float(least.x_height_mm):
        said.append(
            f"The letters' x-height is {height:.1f} mm; the European Union asks for {least.x_height_mm} mm "
            "from 2028. A larger label has room for that."
        )
    if fitted.left_off:
        said.append(
            f"Precautions that found no room and are left off: {fitted.left_off}. "
            "A larger label has room for all."
        )
    return tuple(said)


def _x_height(fitted: Fitted) -> float:
    return round(fitted.letters * x_height(), 2)
