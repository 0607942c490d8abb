"""Readings out of their frozen text: what was handed in, whatever was corrected since."""

import json
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Literal

from practicals.calculations.entry import LaneEntry, ReadingEntry, SpotEntry
from practicals.calculations.rf import spot_centre

SCHEMA = "wickmark readings 1"


class FrozenReadingsError(ValueError):
    """A text that holds no readings; the message says what is wrong with it."""


@dataclass(frozen=True)
class FrozenReadings:
    """One learner's readings of one paper as handed in; people, paper and session by their tokens."""

    learner: str
    session: str
    paper: str
    source: str
    entry: ReadingEntry


def read_frozen(text: str) -> FrozenReadings:
    """Read a set of readings back from its canonical text.

    Parameters
    ----------
    text : str
        JSON as the freeze wrote it; distances [mm] as decimal strings.

    Returns
    -------
    FrozenReadings
        The readings, lanes in order of number.

    Raises
    ------
    FrozenReadingsError
        If the text is not JSON, of another form, or holds a distance that is no number.

    References
    ----------
    RFC 8259 (JSON). The form is this project's own.
    """
    try:
        data = json.loads(text)
        if data["schema"] != SCHEMA:
            raise FrozenReadingsError(f"These readings are of the form “{data['schema']}”, not “{SCHEMA}”.")
        lanes = sorted((_lane(lane) for lane in data["lanes"]), key=lambda lane: lane.number)
        entry = ReadingEntry(
            unit=_unit(data["unit"]),
            origin_mm=_mm(data["origin_mm"]),
            front_mm=_mm(data["front_mm"]),
            no_result=data["no_result"],
            lanes=tuple(lanes),
        )
        return FrozenReadings(data["learner"], data["session"], data["paper"], data["source"], entry)
    except (ValueError, KeyError, TypeError, AttributeError, RecursionError) as error:
        if isinstance(error, FrozenReadingsError):
            raise
        raise FrozenReadingsError("This part of the evidence holds no readings in a known form.") from error


def _unit(text: str) -> Literal["mm", "cm"]:
    return "cm" if text == "cm" else "mm"


def _lane(data: Mapping[str, object]) -> LaneEntry:
    spots = data["spots"]
    if not isinstance(spots, list):
        raise FrozenReadingsError("A lane of these readings has no list of spots.")
    return LaneEntry(
        number=int(str(data["number"])),
        spots=tuple(_spot(spot) for spot in spots),
        front_mm=_mm(data["front_mm"]),
        no_result=str(data["no_result"]),
        identified_as=str(data["identified_as"]),
        cannot_tell=data["cannot_tell"] is True,
    )


def _spot(data: Mapping[str, object]) -> SpotEntry:
    centre, leading, trailing = (_mm(data[f"{part}_mm"]) for part in ("centre", "leading", "trailing"))
    if leading is not None and trailing is not None and spot_centre(leading, trailing) == centre:
        centre = None  # the learner gave the edges, and the centre was found from them
    return SpotEntry(centre, leading, trailing, str(data["own_rf"]))


def _mm(value: object) -> Decimal | None:
    if value is None:
        return None
    try:
        distance = Decimal(str(value))
    except InvalidOperation as error:
        raise FrozenReadingsError(f"“{value}” is no distance in millimetres.") from error
    if not distance.is_finite():
        raise FrozenReadingsError(f"“{value}” is no distance in millimetres.")
    return distance
