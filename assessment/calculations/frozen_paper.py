"""A paper and its readings back from the text that a submission froze, to recompute and draw them again."""

import json
from dataclasses import dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from practicals.calculations.entry import LaneEntry, LaneFacts, PaperFacts, ReadingEntry, SpotEntry


class FrozenTextError(ValueError):
    """A frozen text that cannot be read; the message says which part and why."""


@dataclass(frozen=True, slots=True)
class FrozenPaper:
    """One paper as it stood when the work was submitted. `batch` is the batch code, or empty."""

    label: str
    practical: str
    edition: int
    stationary_phase: str
    mobile_phase: str
    batch: str
    source: str
    facts: PaperFacts


def read_entry(text: str) -> ReadingEntry:
    """Read the readings of one paper from their canonical text.

    Parameters
    ----------
    text : str
        Canonical JSON of a set of readings, lengths in millimetres as decimal strings [mm].

    Returns
    -------
    ReadingEntry
        The readings as the learner entered them.

    Raises
    ------
    FrozenTextError
        If the text is not such a set.

    References
    ----------
    RFC 8259 (JSON). The schema is this project's own.
    """
    try:
        data = json.loads(text)
        return ReadingEntry(
            unit=data["unit"],
            origin_mm=_length(data["origin_mm"]),
            front_mm=_length(data["front_mm"]),
            no_result=data["no_result"],
            lanes=tuple(_lane(lane) for lane in data["lanes"]),
        )
    except (ValueError, KeyError, TypeError, InvalidOperation) as error:
        raise FrozenTextError(f"These readings cannot be read: {error}.") from error


def read_paper(text: str) -> FrozenPaper:
    """Read what a submission froze about one paper.

    Parameters
    ----------
    text : str
        JSON with the paper's label, size, lanes, practical and batch; lengths as decimal strings [mm].

    Returns
    -------
    FrozenPaper
        The paper, ready for `review_readings` and `draw_paper`.

    Raises
    ------
    FrozenTextError
        If the text is not such a paper.

    References
    ----------
    RFC 8259 (JSON). The schema is this project's own.
    """
    try:
        data = json.loads(text)
        facts = PaperFacts(
            width_mm=Decimal(data["width_mm"]),
            height_mm=Decimal(data["height_mm"]),
            origin_height_mm=Decimal(data["origin_height_mm"]),
            ruler_division_mm=Decimal(data["ruler_division_mm"]),
            lanes=tuple(
                LaneFacts(lane["number"], lane["key"], lane["name"], lane["is_standard"])
                for lane in data["lanes"]
            ),
        )
        return FrozenPaper(
            label=data["label"],
            practical=data["practical"],
            edition=data["edition"],
            stationary_phase=data["stationary_phase"],
            mobile_phase=data["mobile_phase"],
            batch=data["batch"],
            source=data["source"],
            facts=facts,
        )
    except (ValueError, KeyError, TypeError, InvalidOperation) as error:
        raise FrozenTextError(f"This paper cannot be read: {error}.") from error


def _lane(data: dict[str, Any]) -> LaneEntry:
    return LaneEntry(
        number=data["number"],
        front_mm=_length(data["front_mm"]),
        no_result=data["no_result"],
        identified_as=data["identified_as"],
        cannot_tell=data["cannot_tell"],
        spots=tuple(_spot(spot) for spot in data["spots"]),
    )


def _spot(data: dict[str, Any]) -> SpotEntry:
    return SpotEntry(
        centre_mm=_length(data["centre_mm"]),
        leading_mm=_length(data["leading_mm"]),
        trailing_mm=_length(data["trailing_mm"]),
        own_rf=data["own_rf"],
    )


def _length(text: str | None) -> Decimal | None:
    return None if text is None else Decimal(text)
