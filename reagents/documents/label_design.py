"""One label laid out for a size of sheet and container: where everything stands, and what gave way."""

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property

from django.utils.safestring import SafeString

from reagents.calculations.label_fit import Fitted, Limits, TooSmall, fit
from reagents.calculations.label_layout import Sheet, printed_size
from reagents.calculations.label_size import LeastSize, SizeVerdict, code_side, judge_size, pictogram_side
from reagents.calculations.preparation import Sign
from reagents.documents.label_words import Label
from reagents.documents.letter_widths import letter_width, x_height
from reagents.rendering import qr_svg

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
class Design:
    """A label as it is printed, as often as it is."""

    label: Label
    fitted: Fitted
    size: SizeVerdict
    pictures: tuple[Picture, ...]

    @cached_property
    def qr(self) -> SafeString:
        return qr_svg(self.label.link, title=self.label.link_says, size_mm=self.fitted.qr.size)

    @property
    def x_height_mm(self) -> float:
        return round(self.fitted.letters * x_height(), 2)

    @property
    def remarks(self) -> tuple[str, ...]:
        """What is as it should be."""
        return tuple(self._remarks(self.size.least))

    @property
    def warnings(self) -> tuple[str, ...]:
        """What is smaller than it should be, or left off."""
        return tuple(self._warnings(self.size.least))

    def _remarks(self, least: LeastSize) -> Iterator[str]:
        if self.size.large_enough:
            yield self.size.sentence
        if self.pictures and self.fitted.side >= float(least.pictogram_mm):
            yield f"The pictograms' sides are {self.fitted.side:.0f} mm."
        if self.x_height_mm >= float(least.x_height_mm):
            yield f"The letters' x-height is {self.x_height_mm:.1f} mm."

    def _warnings(self, least: LeastSize) -> Iterator[str]:
        if not self.size.large_enough:
            yield self.size.sentence
        if self.pictures and self.fitted.side < float(least.pictogram_mm):
            yield (
                f"The pictograms' sides are {self.fitted.side:.0f} mm; {least.pictogram_mm} mm are wanted if "
                f"possible and {least.least_pictogram_mm} mm are the least. A larger label has room for them."
            )
        if self.x_height_mm < float(least.x_height_mm):
            yield (
                f"The letters' x-height is {self.x_height_mm:.1f} mm; the European Union asks for "
                f"{least.x_height_mm} mm from 2028. A larger label has room for that."
            )
        if self.fitted.left_off:
            yield (
                f"Precautions that found no room and are left off: {self.fitted.left_off}. "
                "A larger label has room for all."
            )


def design(label: Label, sheet: Sheet, container_ml: Decimal) -> Design:
    """Lay a label out.

    `CannotPrint` where it is smaller than its container must have, `TooSmall` where its words do not fit.
    """
    size = judge_size(sheet, container_ml)
    if size.refused:
        raise CannotPrint(size.sentence)
    width, height = (float(side) for side in printed_size(sheet))
    limits = Limits(
        wanted_side=float(pictogram_side(container_ml)),
        least_side=float(size.least.least_pictogram_mm),
        wanted_letters=float(size.least.x_height_mm) / x_height(),
        least_letters=LEAST_X_HEIGHT_MM / x_height(),
        qr=code_side(label.link),
    )
    try:
        fitted = fit(
            label.words,
            width_mm=width,
            height_mm=height,
            pictograms=len(label.signs),
            limits=limits,
            measure=letter_width,
        )
    except TooSmall as trouble:
        raise CannotPrint(f"“{label.words.title}”: {trouble}") from trouble
    return Design(label, fitted, size, tuple(_pictures(label, fitted)))


def _pictures(label: Label, fitted: Fitted) -> Iterator[Picture]:
    for sign, spot in zip(label.signs, fitted.pictograms, strict=True):
        rim = spot.size * (DRAWN - 1) / 2
        yield Picture(sign, spot.left - rim, spot.top - rim, spot.size * DRAWN)
