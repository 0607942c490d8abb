"""To which division somebody read: people estimate between a ruler's marks, which makes agreement rarer."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

_SHARE = 4


def read_division(readings_mm: Sequence[Decimal], *, ruler_division_mm: Decimal) -> Decimal:
    """Division to which one person's readings were made.

    Where at least a quarter lie between the ruler's marks, they were read to half a division; where at
    least a quarter lie off those halves too, to a fifth. Who estimates tenths prefers some of them, so no
    finer division is taken: agreement then looks rather too likely than too rare.

    Parameters
    ----------
    readings_mm : Sequence[Decimal]
        One person's readings of one paper [mm].
    ruler_division_mm : Decimal
        The ruler's division [mm].

    Returns
    -------
    Decimal
        The ruler's division, its half or its fifth [mm].

    Raises
    ------
    ValueError
        If the division is not above zero.

    References
    ----------
    .. [1] Common practice, no source; the quarter is this project's choice.

    Examples
    --------
    >>> read_division([Decimal("35"), Decimal("45.5"), Decimal("75")], ruler_division_mm=Decimal(1))
    Decimal('0.5')
    """
    if not ruler_division_mm > 0:
        raise ValueError(f"A ruler's division must be above 0 mm, not {ruler_division_mm}.")
    half = ruler_division_mm / 2
    if not _often_off(readings_mm, ruler_division_mm):
        return ruler_division_mm
    return ruler_division_mm / 5 if _often_off(readings_mm, half) else half


def _often_off(readings: Sequence[Decimal], division: Decimal) -> bool:
    off = sum(reading % division != 0 for reading in readings)
    return off > 0 and _SHARE * off >= len(readings)
