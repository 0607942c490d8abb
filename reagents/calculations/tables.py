"""Shipped tables: each row of `reagents/data/*.csv` names its source in `SOURCES.csv`."""

import csv
from decimal import Decimal
from functools import cache
from pathlib import Path

DATA = Path(__file__).resolve().parent.parent / "data"


@cache
def rows(name: str) -> tuple[dict[str, str], ...]:
    """Rows of one shipped table, as text.

    Parameters
    ----------
    name : str
        File name without its ending, such as "substances" [-].

    Returns
    -------
    tuple of dict
        One dictionary for each row, keyed by column.

    References
    ----------
    Each row carries `source_key`; `reagents/data/SOURCES.csv` says what the key means.
    """
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return tuple(csv.DictReader(file))


def number(text: str) -> Decimal | None:
    """A cell of a shipped table as a number, or None where the table has no value.

    Parameters
    ----------
    text : str
        The cell [-].

    Returns
    -------
    Decimal or None
        The value; None for an empty cell.

    References
    ----------
    No formula.
    """
    return Decimal(text) if text else None
