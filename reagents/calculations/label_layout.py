"""Where each label of a sheet lies, counted row by row from any position."""

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from reagents.calculations.quantities import format_quantity

A4_MM = (Decimal(210), Decimal(297))
MOST_LABELS = 400
#: Most printers leave the sheet's outermost millimetres white (common practice, no source).
UNPRINTED_MM = Decimal(4)
#: Within a label nothing stands nearer to its edge than this, so that a small slip of the feed does no harm.
MARGIN_MM = Decimal("1.5")
LEAST_MARGIN_MM = Decimal("0.5")


class ImpossibleSheet(ValueError):
    """The sheet or the position cannot be; the message is a sentence, `field` says which value."""

    def __init__(self, field: str, message: str) -> None:
        super().__init__(message)
        self.field = field


@dataclass(frozen=True)
class Sheet:
    """An A4 sheet of equal labels [mm]; the pitch is from one label's left (top) edge to the next one's."""

    rows: int
    columns: int
    width_mm: Decimal
    height_mm: Decimal
    left_mm: Decimal
    top_mm: Decimal
    pitch_across_mm: Decimal
    pitch_down_mm: Decimal

    @property
    def positions(self) -> int:
        """Labels on one sheet [-]."""
        return self.rows * self.columns


@dataclass(frozen=True)
class Place:
    """One label: its sheet, row and column from 1, its corner, and that of what is printed on it [mm]."""

    page: int
    row: int
    column: int
    left_mm: Decimal
    top_mm: Decimal
    printed_left_mm: Decimal
    printed_top_mm: Decimal


def check_sheet(sheet: Sheet) -> None:
    """Refuse a sheet whose labels overlap or leave the page.

    Parameters
    ----------
    sheet : Sheet
        As a person describes it [mm].

    Raises
    ------
    ImpossibleSheet
        With a sentence, and the field that it is about.

    References
    ----------
    .. [1] ISO 216:2007: A4 is 210 mm by 297 mm.
    """
    for field in ("rows", "columns", "width_mm", "height_mm"):
        if getattr(sheet, field) <= 0:
            raise ImpossibleSheet(field, "This must be above zero.")
    for field in ("left_mm", "top_mm"):
        if getattr(sheet, field) < 0:
            raise ImpossibleSheet(field, "A label cannot begin outside the sheet; this is 0 or more.")
    if sheet.positions > MOST_LABELS:
        raise ImpossibleSheet("rows", f"More than {MOST_LABELS} labels are on no A4 sheet; count again.")
    across = ("across", sheet.columns, sheet.left_mm, sheet.width_mm, sheet.pitch_across_mm, A4_MM[0])
    down = ("down", sheet.rows, sheet.top_mm, sheet.height_mm, sheet.pitch_down_mm, A4_MM[1])
    for way, count, start, size, pitch, paper in (across, down):
        if pitch < size:
            raise ImpossibleSheet(
                f"pitch_{way}_mm",
                f"From one label's edge to the next one's is {_mm(pitch)}, less than a label's own "
                f"{_mm(size)}: they would overlap. Measure from left to left edge, or from top to top edge.",
            )
        end = start + (count - 1) * pitch + size
        if end > paper:
            raise ImpossibleSheet(
                f"pitch_{way}_mm",
                f"{count} labels {way} end at {_mm(end)}, and A4 is {_mm(paper)} {way}. Measure again.",
            )


def places(sheet: Sheet, *, start: int, count: int) -> tuple[Place, ...]:
    """Where each label lies, row by row from a start position, on as many sheets as it takes.

    What is printed keeps its margin in the label and, for labels at the edge of the sheet, moves inward by
    what a printer does not reach.

    Parameters
    ----------
    sheet : Sheet
        The sheet [mm].
    start : int
        First free position of the first sheet, counted in rows from 1 [-].
    count : int
        How many labels [-].

    Returns
    -------
    tuple of Place
        In the order of printing; lengths from the upper left corner of the page [mm].

    Raises
    ------
    ImpossibleSheet
        When the start is on no label, or no label or too many are asked for.

    References
    ----------
    No formula; left = margin + column x pitch.
    """
    if not 1 <= start <= sheet.positions:
        raise ImpossibleSheet(
            "start", f"This sheet has positions 1 to {sheet.positions}; start at one of them."
        )
    if not 1 <= count <= MOST_LABELS:
        raise ImpossibleSheet("count", f"Print 1 to {MOST_LABELS} labels at a time.")
    return tuple(_place(sheet, index) for index in range(start - 1, start - 1 + count))


def _place(sheet: Sheet, index: int) -> Place:
    page, on_page = divmod(index, sheet.positions)
    row, column = divmod(on_page, sheet.columns)
    left = sheet.left_mm + column * sheet.pitch_across_mm
    top = sheet.top_mm + row * sheet.pitch_down_mm
    width, height = printed_size(sheet)
    return Place(
        page=page + 1,
        row=row + 1,
        column=column + 1,
        left_mm=left,
        top_mm=top,
        printed_left_mm=_inward(left, sheet.width_mm, width, A4_MM[0]),
        printed_top_mm=_inward(top, sheet.height_mm, height, A4_MM[1]),
    )


def _inward(edge: Decimal, size: Decimal, printed: Decimal, paper: Decimal) -> Decimal:
    """Start of what is printed: in the middle of its label, moved off the sheet's unprinted rim."""
    middle = edge + (size - printed) / 2
    return min(max(middle, UNPRINTED_MM), paper - UNPRINTED_MM - printed)


def printed_size(sheet: Sheet) -> tuple[Decimal, Decimal]:
    """Width and height of what is printed on one label.

    Parameters
    ----------
    sheet : Sheet
        The sheet [mm].

    Returns
    -------
    tuple of Decimal
        Width and height [mm], the same for every label; zero or less where a label is all margin.

    References
    ----------
    No formula; the label less its margin on both sides, and less what a printer does not reach at the edge.
    """
    return (
        _printed(sheet.width_mm, sheet.left_mm, sheet.columns, sheet.pitch_across_mm, A4_MM[0]),
        _printed(sheet.height_mm, sheet.top_mm, sheet.rows, sheet.pitch_down_mm, A4_MM[1]),
    )


def _printed(size: Decimal, start: Decimal, count: int, pitch: Decimal, paper: Decimal) -> Decimal:
    end = start + (count - 1) * pitch + size
    before = max(UNPRINTED_MM - start, LEAST_MARGIN_MM)
    after = max(UNPRINTED_MM - (paper - end), LEAST_MARGIN_MM)
    lost = before + after if count == 1 else max(before, after) + LEAST_MARGIN_MM
    return size - max(lost, 2 * MARGIN_MM)


def free_positions(sheet: Sheet, laid: Sequence[Place]) -> int:
    """How many labels of the last sheet stay free after the last one printed.

    Parameters
    ----------
    sheet : Sheet
        The sheet [mm].
    laid : sequence of Place
        What is printed.

    Returns
    -------
    int
        Free labels after the last one [-].

    References
    ----------
    No formula.
    """
    last = laid[-1]
    return sheet.positions - ((last.row - 1) * sheet.columns + last.column)


def _mm(value: Decimal) -> str:
    return format_quantity(value.normalize(), "mm")
