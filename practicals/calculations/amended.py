"""What an amendment changed, line by line, from the two canonical texts that it keeps."""

from __future__ import annotations

import json
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

_WORDS = {
    "source": "source",
    "unit": "unit",
    "origin_mm": "origin line [mm]",
    "front_mm": "solvent front [mm]",
    "no_result": "no result",
    "identified_as": "identified as",
    "cannot_tell": "cannot be told apart",
    "centre_mm": "centre [mm]",
    "leading_mm": "leading edge [mm]",
    "trailing_mm": "trailing edge [mm]",
    "judged_to_mm": "half-width of the centre [mm]",
    "colour": "colour",
    "own_rf": "own R_f",
}


@dataclass(frozen=True, slots=True)
class Change:
    """One value that an amendment changed, as words; an empty text stands for nothing entered."""

    where: str
    before: str
    after: str


def changes_between(before: str, after: str) -> tuple[Change, ...]:
    """List what differs between two sets of readings.

    Parameters
    ----------
    before, after : str
        Canonical texts of a set of readings (JSON); distances in them are in millimetres.

    Returns
    -------
    tuple of Change
        In the order of the paper: the whole first, then lane by lane and spot by spot.

    Raises
    ------
    ValueError
        If a text is no JSON.

    References
    ----------
    .. [1] Common practice, no source.
    """
    old, new = dict(_lines(json.loads(before))), dict(_lines(json.loads(after)))
    places = sorted(old.keys() | new.keys())
    return tuple(
        Change(words, old.get((key, words), ""), new.get((key, words), ""))
        for key, words in places
        if old.get((key, words), "") != new.get((key, words), "")
    )


Place = tuple[tuple[int, int, int], str]


def _lines(whole: dict[str, Any]) -> Iterator[tuple[Place, str]]:
    yield from _values(whole, (0, 0), "")
    for lane in whole.get("lanes", []):
        number = lane["number"]
        yield from _values(lane, (number, 0), f"lane {number}, ")
        for spot in lane.get("spots", []):
            yield from _values(spot, (number, spot["number"]), f"lane {number}, spot {spot['number']}, ")


def _values(holder: dict[str, Any], place: tuple[int, int], start: str) -> Iterator[tuple[Place, str]]:
    for order, (name, words) in enumerate(_WORDS.items()):
        value = holder.get(name)
        if value is not None:
            shown = ("yes" if value else "") if isinstance(value, bool) else str(value)
            yield ((*place, order), f"{start}{words}"), shown
