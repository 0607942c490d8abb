"""Published R_f values, looked up only by the exact system: support, mixture, ratio and phase.

A stored R_f is a hint, never a key: values published for "the same" mixture differ by up to 0.6. Rows
that are unconfirmed (recalled from memory, doubted, rejected) are shown as such and never compared.
"""

from __future__ import annotations

import csv
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from importlib.resources import files


@dataclass(frozen=True, slots=True)
class Source:
    """Where a figure comes from."""

    key: str
    title: str
    authors: str
    year: str
    where: str
    status: str


@dataclass(frozen=True, slots=True)
class PublishedRf:
    """One published value [-] and the system it belongs to."""

    analyte: str
    support: str
    stationary_phase: str
    mobile_phase: str
    ratio: str
    phase: str
    rf: Decimal
    source_key: str
    confirmed: bool
    remark: str


@dataclass(frozen=True, slots=True)
class Summary:
    """Published values of one analyte in one system [-]."""

    lowest: Decimal
    highest: Decimal
    count: int
    unconfirmed: int
    source_keys: tuple[str, ...]


@cache
def all_published() -> tuple[PublishedRf, ...]:
    """Every published value that is shipped.

    Returns
    -------
    tuple[PublishedRf, ...]
        In the order of the file.

    References
    ----------
    .. [1] The column `source_key` names a row of SOURCES.csv.
    """
    return tuple(
        PublishedRf(
            analyte=row["analyte"],
            support=row["support"],
            stationary_phase=row["stationary_phase"],
            mobile_phase=row["mobile_phase"],
            ratio=row["ratio"],
            phase=row["phase"],
            rf=Decimal(row["rf"]),
            source_key=row["source_key"],
            confirmed=row["confirmed"] == "yes",
            remark=row["remark"],
        )
        for row in _rows("published_rf.csv")
    )


@cache
def sources() -> dict[str, Source]:
    """Every source that a shipped figure names, by its key.

    Returns
    -------
    dict[str, Source]
        Key to source; not to be changed.

    References
    ----------
    .. [1] SOURCES.csv says of each whether it was read.
    """
    return {
        row["source_key"]: Source(
            key=row["source_key"],
            title=row["title"],
            authors=row["authors"],
            year=row["year"],
            where=row["where"],
            status=row["licence_or_status"],
        )
        for row in _rows("SOURCES.csv")
    }


def _rows(name: str) -> list[dict[str, str]]:
    text = files("practicals.data").joinpath(name).read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


def same_ratio(first: str, second: str) -> bool:
    """Whether two ratios are the same, as 6:1.5:2.5 and 12:3:5 are.

    Parameters
    ----------
    first, second : str
        Parts separated by colons; or a strength in words, which must then agree as text [-].

    Returns
    -------
    bool
        True if the parts are proportional. A ratio that is empty or not stated equals nothing.

    References
    ----------
    .. [1] Arithmetic.
    """
    parts = _parts(first), _parts(second)
    if parts[0] is not None and parts[1] is not None:
        return _shares(parts[0]) == _shares(parts[1])
    one, other = _folded(first), _folded(second)
    return bool(one) and not one.startswith("not ") and one == other


def _parts(ratio: str) -> list[Fraction] | None:
    try:
        parts = [Fraction(part.strip()) for part in ratio.split(":")]
    except (ValueError, ZeroDivisionError):
        return None
    return parts if len(parts) > 1 and all(part > 0 for part in parts) else None


def _shares(parts: list[Fraction]) -> list[Fraction]:
    total = sum(parts)
    return [part / total for part in parts]


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())


def published(
    analyte: str, *, support: str, mobile_phase: str, ratio: str, phase: str = "single"
) -> list[PublishedRf]:
    """Published values of one analyte in exactly this system.

    Parameters
    ----------
    analyte : str
        Name of the substance; a leading "L-" does not matter [-].
    support : str
        "paper" or "tlc" [-]; leaf pigments change places between the two.
    mobile_phase : str
        Its parts in order, separated by slashes, as "butan-1-ol/ethanoic acid/water" [-].
    ratio : str
        The parts' ratio in the same order, by volume; any multiple of it will do [-].
    phase : str
        "single", or the layer that was used of a mixture that splits [-].

    Returns
    -------
    list[PublishedRf]
        Confirmed and unconfirmed rows; empty if the system has none.

    References
    ----------
    .. [1] Each row names its own source.
    """
    name = _folded(analyte).removeprefix("l-")
    return [
        row
        for row in all_published()
        if _folded(row.analyte) == name
        and _folded(row.support) == _folded(support)
        and _folded(row.mobile_phase) == _folded(mobile_phase)
        and _folded(row.phase) == _folded(phase)
        and same_ratio(row.ratio, ratio)
    ]


def usable_for_comparison(rows: Iterable[PublishedRf]) -> list[PublishedRf]:
    """The rows that a measured value may be compared with.

    Parameters
    ----------
    rows : Iterable[PublishedRf]
        Rows of one system [-].

    Returns
    -------
    list[PublishedRf]
        The confirmed ones.

    References
    ----------
    .. [1] Values recalled from memory, doubted or rejected judge nobody's work: house rule.
    """
    return [row for row in rows if row.confirmed]


def summary(rows: Sequence[PublishedRf]) -> Summary | None:
    """Range of published values, and how many of them are unconfirmed.

    Parameters
    ----------
    rows : Sequence[PublishedRf]
        Rows of one analyte in one system [-].

    Returns
    -------
    Summary or None
        None if there are no rows.

    References
    ----------
    .. [1] Each row names its own source.
    """
    if not rows:
        return None
    values = [row.rf for row in rows]
    return Summary(
        lowest=min(values),
        highest=max(values),
        count=len(values),
        unconfirmed=sum(not row.confirmed for row in rows),
        source_keys=tuple(dict.fromkeys(row.source_key for row in rows)),
    )
