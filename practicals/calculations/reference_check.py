"""What is odd about a published R_f, as sentences: they warn and refuse nothing."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

#: Sources for one system that are further apart than this ask for a look [-]. Values printed for "the same"
#: mixture differ by up to 0.6, those of one careful table by far less: common practice, no source.
FAR_APART = Decimal("0.2")
#: Tables print 0.08 against cysteine that fits cystine (TB1, ABO71, ZIM68 in SOURCES.csv).
CYSTINE_UP_TO = Decimal("0.15")
#: Four published orders put asparagine near or below glycine, 0.26 (SOY55, ABO71, ZIM68, WOE73).
ASPARAGINE_UP_TO = Decimal("0.35")


@dataclass(frozen=True, slots=True)
class RfRange:
    """A published value as printed, from its lowest to its highest [-]."""

    low: Decimal
    high: Decimal


def plain_name(analyte: str) -> str:
    """A substance's name for comparing: small letters, single spaces, no leading "L-".

    Parameters
    ----------
    analyte : str
        Name as printed [-].

    Returns
    -------
    str
        Name for comparing [-].

    References
    ----------
    .. [1] Common practice, no source.
    """
    return " ".join(analyte.casefold().split()).removeprefix("l-")


def reference_warnings(analyte: str, value: RfRange, others: Sequence[RfRange]) -> tuple[str, ...]:
    """What to look at before a published value is relied on.

    Parameters
    ----------
    analyte : str
        Name of the substance [-].
    value : RfRange
        The value as printed [-].
    others : Sequence[RfRange]
        Values of other sources for the same substance and the very same system [-].

    Returns
    -------
    tuple of str
        Sentences; empty if nothing is odd.

    References
    ----------
    .. [1] Cystine printed against cysteine: TB1; asparagine: SOY55, ABO71, ZIM68, WOE73, read for the
       project. The limits are this project's own.
    """
    return tuple(_warnings(plain_name(analyte), value, others))


def _warnings(name: str, value: RfRange, others: Sequence[RfRange]) -> Iterator[str]:
    if name == "cysteine" and value.low <= CYSTINE_UP_TO:
        yield (
            f"{value.low.normalize():f} is what tables give for cystine, the oxidised pair, and some print it"
            " against cysteine. Check which of the two the source ran."
        )
    if name == "cystine" and value.high > CYSTINE_UP_TO:
        yield (
            f"{value.high.normalize():f} is high for cystine; cysteine, the free thiol, runs further. Check"
            " which of the two the source ran."
        )
    if name == "asparagine" and value.high > ASPARAGINE_UP_TO:
        yield (
            f"{value.high.normalize():f} is doubtful for asparagine in this kind of mobile phase: four"
            " published orders put it near or below glycine."
        )
    if others:
        low, high = min(other.low for other in others), max(other.high for other in others)
        if value.low < low - FAR_APART or value.high > high + FAR_APART:
            known = f"{low.normalize():f}"
            if high != low:
                known += f" to {high.normalize():f}"
            yield (
                f"It lies more than {FAR_APART} from what other sources give for this system ({known})."
                " Check support, ratio and which layer was used."
            )
