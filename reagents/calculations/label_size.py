"""How large label, pictograms and letters must be for a container, and whether a sheet's labels are."""

from dataclasses import dataclass
from decimal import Decimal
from math import sqrt

from reagents.calculations.label_layout import ImpossibleSheet, Sheet
from reagents.calculations.quantities import format_quantity

#: A pictogram covers a fifteenth of the smallest label (CLP Annex I, 1.2.1.3).
SHARE_OF_LABEL = Decimal(15)
LEAST_CODE_MM, SQUARE_MM = 13.0, 0.28
#: Bytes that a QR code of version 1, 2, ... holds at error correction M.
BYTES_AT_M = (14, 26, 42, 62, 84, 106, 122, 152, 180, 213, 251, 287, 331)


@dataclass(frozen=True)
class LeastSize:
    """The smallest label for a container, and its pictogram and letters; `firm` unless only "if possible"."""

    container: str
    width_mm: Decimal
    height_mm: Decimal
    pictogram_mm: Decimal
    least_pictogram_mm: Decimal
    x_height_mm: Decimal
    firm: bool


@dataclass(frozen=True)
class SizeVerdict:
    """Whether a label is large enough; `refused` where it must not be used, else a warning or nothing."""

    least: LeastSize
    large_enough: bool
    refused: bool
    sentence: str


# Up to and including [mL]; label, pictogram wanted and at least, x-height [mm]; whether the size is firm.
_SIZES = (
    (500, "up to 0.5 L", 52, 74, 16, 10, "1.2", False),
    (3_000, "over 0.5 to 3 L", 52, 74, 16, 10, "1.4", False),
    (50_000, "over 3 to 50 L", 74, 105, 23, 23, "1.8", True),
    (500_000, "over 50 to 500 L", 105, 148, 32, 32, "2.0", True),
    (None, "over 500 L", 148, 210, 46, 46, "2.0", True),
)


def least_size(container_ml: Decimal) -> LeastSize:
    """The smallest label for a container, with the sides of its pictograms and its smallest letters.

    Parameters
    ----------
    container_ml : Decimal
        What the container holds when full [mL].

    Returns
    -------
    LeastSize
        Lengths [mm]; the label either way round.

    Raises
    ------
    ImpossibleSheet
        When the container is not above zero.

    References
    ----------
    .. [1] Regulation (EC) No 1272/2008 (CLP), Annex I, 1.2.1.4, Table 1.3: labels and pictograms.
    .. [2] Regulation (EU) 2024/2865: x-heights, applied in the EU from 1 January 2028 (read second hand).
    """
    if not container_ml.is_finite() or container_ml <= 0:
        raise ImpossibleSheet("container", "The container must hold more than 0 mL.")
    row = next(row for row in _SIZES if row[0] is None or container_ml <= row[0])
    _, said, wide, high, wanted, least, letters, firm = row
    return LeastSize(
        container=said,
        width_mm=Decimal(wide),
        height_mm=Decimal(high),
        pictogram_mm=Decimal(wanted),
        least_pictogram_mm=Decimal(least),
        x_height_mm=Decimal(letters),
        firm=firm,
    )


def pictogram_side(container_ml: Decimal) -> Decimal:
    """Side of the red diamond that is wanted on a container's label.

    The larger of the table's and of what a fifteenth of the smallest label asks for, to a tenth.

    Parameters
    ----------
    container_ml : Decimal
        What the container holds when full [mL].

    Returns
    -------
    Decimal
        Side of the diamond, not its width across the corners [mm].

    Raises
    ------
    ImpossibleSheet
        When the container is not above zero.

    References
    ----------
    .. [1] Regulation (EC) No 1272/2008 (CLP), Annex I, 1.2.1.3 and Table 1.3.
    """
    least = least_size(container_ml)
    by_area = (least.width_mm * least.height_mm / SHARE_OF_LABEL).sqrt()
    return max(least.pictogram_mm, by_area.quantize(Decimal("0.1")))


def pictogram_width(side_mm: float) -> float:
    """How much room a pictogram needs across: it stands on a corner.

    Parameters
    ----------
    side_mm : float
        Side of the red diamond [mm].

    Returns
    -------
    float
        side x square root of 2 [mm].

    References
    ----------
    .. [1] UN GHS, 1.4.10.4.2.3: a square set at a point.
    """
    return side_mm * sqrt(2)


def pictograms_across(width_mm: float, side_mm: float) -> int:
    """How many pictograms stand side by side.

    Parameters
    ----------
    width_mm : float
        Room across [mm].
    side_mm : float
        Side of the red diamond [mm].

    Returns
    -------
    int
        Whole pictograms [-].

    References
    ----------
    .. [1] UN GHS, 1.4.10.4.2.3: a square set at a point, side x square root of 2 across.
    """
    return int(width_mm / pictogram_width(side_mm) + 1e-9) if side_mm > 0 else 0


def judge_size(sheet: Sheet, container_ml: Decimal) -> SizeVerdict:
    """Whether a label is large enough for a container, in a sentence.

    Parameters
    ----------
    sheet : Sheet
        The sheet [mm].
    container_ml : Decimal
        What the container holds when full [mL].

    Returns
    -------
    SizeVerdict
        Refused where the smallest size is firm (over 3 L), a warning where it holds "if possible".

    Raises
    ------
    ImpossibleSheet
        When the container is not above zero.

    References
    ----------
    .. [1] Regulation (EC) No 1272/2008 (CLP), Annex I, 1.2.1.4, Table 1.3.
    """
    least = least_size(container_ml)
    own, wanted = sorted((sheet.width_mm, sheet.height_mm)), (least.width_mm, least.height_mm)
    enough = own[0] >= wanted[0] and own[1] >= wanted[1]
    size = _by(least.width_mm, least.height_mm)
    label = _by(sheet.width_mm, sheet.height_mm)
    if enough:
        said = (
            f"A container of {least.container} needs a label of at least {size}{_possibly(least)}; "
            f"{label} will do."
        )
    elif least.firm:
        said = (
            f"A label of {label} is too small: a container of {least.container} needs at least {size}. "
            "Choose a sheet with larger labels."
        )
    else:
        said = (
            f"A label of {label} is smaller than the {size} that a container of {least.container} should "
            "have if possible. Use a larger label wherever it can be stuck on."
        )
    return SizeVerdict(least, enough, not enough and least.firm, said)


def _possibly(least: LeastSize) -> str:
    return "" if least.firm else " if possible"


def code_side(address: str) -> float:
    """Side of a QR code on a label: a long address has more squares, and each keeps its size.

    Parameters
    ----------
    address : str
        What the code says [-].

    Returns
    -------
    float
        Side with the white round it [mm]; 13 mm at least.

    Raises
    ------
    ImpossibleSheet
        When the address is longer than a label can carry.

    References
    ----------
    .. [1] ISO/IEC 18004:2024, table of capacities, bytes at level M (from memory; agrees with the library
       that makes the code). Version v has 17 + 4 v squares a side, and 4 of white on each side.
    .. [2] A square of 0.28 mm is told apart by a phone on a common printer: common practice, no source.
    """
    length = len(address.encode())
    version = next((number for number, most in enumerate(BYTES_AT_M, start=1) if length <= most), None)
    if version is None:
        raise ImpossibleSheet("code", "The server's address is too long for the code on a label; shorten it.")
    return max(LEAST_CODE_MM, (17 + 4 * version + 8) * SQUARE_MM)


def _by(width_mm: Decimal, height_mm: Decimal) -> str:
    width = format_quantity(width_mm.normalize(), "")
    return f"{width} × {format_quantity(height_mm.normalize(), 'mm')}"
