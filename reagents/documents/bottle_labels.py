"""Labels on A4 sheets: laid out by the sheet's own millimetres, from the first free position on."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from itertools import groupby
from typing import Any

from reagents.calculations.label_layout import A4_MM, Place, Sheet, free_positions, places, printed_size
from reagents.documents.label_design import CannotPrint, Design, design
from reagents.documents.label_words import Label
from reagents.models import LabelSheet
from reagents.rendering import render_pdf

__all__ = ["CannotPrint", "LabelRun", "frames_pdf", "label_run", "labels_pdf", "sheet_of"]


@dataclass(frozen=True)
class FirstSheet:
    """Every position of the first sheet and whether it is printed; how many are, from where to where."""

    every: tuple[tuple[Place, bool], ...]
    size: int
    start: int
    end: int


@dataclass(frozen=True)
class LabelRun:
    """Labels on their places; `remarks` and `warnings` are for whoever prints them."""

    name: str
    sheet: Sheet
    designs: tuple[Design, ...]
    laid: tuple[tuple[Place, Design], ...]

    @property
    def pages(self) -> tuple[tuple[tuple[Place, Design], ...], ...]:
        return tuple(tuple(group) for _, group in groupby(self.laid, key=lambda one: one[0].page))

    @property
    def first_page(self) -> FirstSheet:
        here = {(place.row, place.column) for place, _ in self.pages[0]}
        every = places(self.sheet, start=1, count=self.sheet.positions)
        used = [number for number, place in enumerate(every, 1) if (place.row, place.column) in here]
        marked = tuple((place, (place.row, place.column) in here) for place in every)
        return FirstSheet(marked, len(used), used[0], used[-1])

    @property
    def printed(self) -> tuple[Decimal, Decimal]:
        return printed_size(self.sheet)

    @property
    def remarks(self) -> tuple[str, ...]:
        laid = [place for place, _ in self.laid]
        pages, free = laid[-1].page, free_positions(self.sheet, laid)
        papers = "1 sheet" if pages == 1 else f"{pages} sheets"
        counted = f"{papers}; {free} of the last one's {self.sheet.positions} labels stay free after these."
        return (counted, *self._of_each([one.remarks for one in self.designs]))

    @property
    def warnings(self) -> tuple[str, ...]:
        return self._of_each([one.warnings for one in self.designs])

    @property
    def doubts(self) -> tuple[str, ...]:
        return self._of_each([one.label.doubts for one in self.designs])

    def _of_each(self, said: Sequence[Sequence[str]]) -> tuple[str, ...]:
        """What holds for every label once, the rest with the label's title before it."""
        everywhere = [one for one in dict.fromkeys(said[0]) if all(one in other for other in said)]
        apart = [
            f"{made.label.words.title}: {one}"
            for made, own in zip(self.designs, said, strict=True)
            for one in own
            if one not in everywhere
        ]
        return (*everywhere, *apart)


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


def label_run(
    labels: Sequence[Label], *, name: str, sheet: Sheet, start: int, copies: int, container_ml: Decimal
) -> LabelRun:
    """Lay out `copies` of each label, one after the other from position `start`.

    A label that says what its container holds at least counts with the larger of the two. `CannotPrint` where
    a label is smaller than its container must have or the words do not fit, `ImpossibleSheet` for a position
    that is none: each says in a sentence what to do.
    """
    laid = places(sheet, start=start, count=copies * len(labels))
    designs = tuple(design(label, sheet, max(container_ml, label.holds_ml)) for label in labels)
    each = [one for one in designs for _ in range(copies)]
    return LabelRun(name=name, sheet=sheet, designs=designs, laid=tuple(zip(laid, each, strict=True)))


def labels_pdf(run: LabelRun, *, created: datetime, centre: Any = None) -> bytes:
    """The labels on A4, without frames: the sheet has its own edges."""
    return render_pdf(
        "documents/bottle_labels/bottle_labels.html",
        {"run": run, "centre": centre},
        title=run.name,
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
