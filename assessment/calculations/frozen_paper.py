"""A paper and its readings back from the text that a submission froze, to recompute and draw them again."""

import json
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal, InvalidOperation
from functools import wraps
from typing import Any, TypeVar, cast

from practicals.calculations.entry import (
    WIDEST_JUDGED_MM,
    LaneEntry,
    LaneFacts,
    PaperFacts,
    ReadingEntry,
    SpotEntry,
    Unit,
)
from practicals.calculations.rf import spot_centre

T = TypeVar("T")


class FrozenTextError(ValueError):
    """A frozen text that cannot be read; the message says which kind of part and why."""


@dataclass(frozen=True, slots=True)
class FrozenAmendment:
    """A change made after the readings were locked, and the canonical text that stood before it."""

    at: datetime
    reason: str
    before: str


@dataclass(frozen=True, slots=True)
class FrozenPaper:
    """One paper as it stood when the work was submitted. `batch` is the batch code, or empty.

    `applied_lanes` are the numbers of the lanes that this learner applied; `photos` are digests.
    """

    label: str
    practical: str
    edition: int
    stationary_phase: str
    mobile_phase: str
    batch: str
    source: str
    facts: PaperFacts
    locked_at: datetime | None = None
    applied_lanes: tuple[int, ...] = ()
    photos: tuple[str, ...] = ()
    amendments: tuple[FrozenAmendment, ...] = ()

    def __str__(self) -> str:
        return self.label


@dataclass(frozen=True, slots=True)
class FrozenWriting:
    """What the learner wrote."""

    conclusion: str = ""
    evaluation: str = ""


@dataclass(frozen=True, slots=True)
class FrozenRemark:
    """A note from the bench, or help given; `by` says "a person" or "the program" for help."""

    at: datetime
    text: str
    by: str = ""


#: What a text of another form, or one that was tampered with, raises on its way into values.
_UNREADABLE = (ValueError, KeyError, TypeError, AttributeError, InvalidOperation, RecursionError)


def _reading(what: str) -> Callable[[Callable[[str], T]], Callable[[str], T]]:
    """Whatever is wrong with a text becomes one error that says which kind of text it is."""

    def around(read: Callable[[str], T]) -> Callable[[str], T]:
        @wraps(read)
        def guarded(text: str) -> T:
            try:
                return read(text)
            except _UNREADABLE as error:
                raise FrozenTextError(f"{what} cannot be read from the kept text.") from error

        return guarded

    return around


@_reading("These readings")
def read_entry(text: str) -> ReadingEntry:
    """Read the readings of one paper from their canonical text.

    Parameters
    ----------
    text : str
        Canonical JSON of a set of readings, lengths in millimetres as decimal strings [mm].

    Returns
    -------
    ReadingEntry
        The readings as the learner entered them, lanes in order of number.

    Raises
    ------
    FrozenTextError
        If the text is not such a set.

    References
    ----------
    RFC 8259 (JSON). The schema is this project's own.
    """
    data = json.loads(text)
    lanes = sorted((_lane(lane) for lane in data["lanes"]), key=lambda lane: lane.number)
    return ReadingEntry(
        unit=_unit(data["unit"]),
        origin_mm=_length(data["origin_mm"]),
        front_mm=_length(data["front_mm"]),
        no_result=str(data["no_result"]),
        lanes=tuple(lanes),
    )


@_reading("This paper")
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
    data = json.loads(text)
    lanes = sorted(data["lanes"], key=lambda lane: int(lane["number"]))
    return FrozenPaper(
        label=data["label"],
        practical=data["practical"],
        edition=data["edition"],
        stationary_phase=data["stationary_phase"],
        mobile_phase=data["mobile_phase"],
        batch=data["batch"],
        source=data["source"],
        facts=PaperFacts(
            width_mm=Decimal(data["width_mm"]),
            height_mm=Decimal(data["height_mm"]),
            origin_height_mm=Decimal(data["origin_height_mm"]),
            ruler_division_mm=Decimal(data["ruler_division_mm"]),
            lanes=tuple(
                # The first edition of the text had neither colours nor a reference.
                LaneFacts(
                    lane["number"],
                    lane["key"],
                    lane["name"],
                    lane["is_standard"],
                    str(lane.get("colour", "")),
                )
                for lane in lanes
            ),
            reference=str(data.get("reference", "")),
        ),
        locked_at=datetime.fromisoformat(data["locked_at"]) if data["locked_at"] else None,
        applied_lanes=tuple(lane["number"] for lane in lanes if lane["applied_by_this_learner"]),
        photos=tuple(data["photos"]),
        amendments=tuple(
            FrozenAmendment(datetime.fromisoformat(change["at"]), change["reason"], change["before"])
            for change in data["amendments"]
        ),
    )


@_reading("The writing")
def read_writing(text: str) -> FrozenWriting:
    """Read a learner's conclusion and evaluation.

    Parameters
    ----------
    text : str
        JSON object with both.

    Returns
    -------
    FrozenWriting
        Exactly as written.

    Raises
    ------
    FrozenTextError
        If the text is not such an object.

    References
    ----------
    RFC 8259 (JSON). The schema is this project's own.
    """
    data = json.loads(text)
    return FrozenWriting(str(data["conclusion"]), str(data["evaluation"]))


@_reading("The list of notes or help")
def read_remarks(text: str) -> tuple[FrozenRemark, ...]:
    """Read notes from the bench, or help given, in order of time.

    Parameters
    ----------
    text : str
        JSON list of objects with time, text and, for help, who gave it.

    Returns
    -------
    tuple of FrozenRemark
        The remarks.

    Raises
    ------
    FrozenTextError
        If the text is not such a list.

    References
    ----------
    RFC 8259 (JSON); ISO 8601 (times). The schema is this project's own.
    """
    remarks = (
        FrozenRemark(datetime.fromisoformat(item["at"]), str(item["text"]), str(item.get("by", "")))
        for item in json.loads(text)
    )
    return tuple(sorted(remarks, key=lambda remark: remark.at))


def _lane(data: dict[str, Any]) -> LaneEntry:
    return LaneEntry(
        number=int(data["number"]),
        front_mm=_length(data["front_mm"]),
        no_result=str(data["no_result"]),
        # In the first edition of the text, one name stood for all spots of a lane.
        spots=tuple(_spot({**_named(data), **spot}) for spot in data["spots"]),
    )


def _named(data: dict[str, Any]) -> dict[str, Any]:
    return {name: data[name] for name in ("identified_as", "cannot_tell") if name in data}


def _spot(data: dict[str, Any]) -> SpotEntry:
    centre, leading, trailing = (_length(data[f"{place}_mm"]) for place in ("centre", "leading", "trailing"))
    if leading is not None and trailing is not None and spot_centre(leading, trailing) == centre:
        centre = None  # the learner gave the edges; the centre was found from them
    return SpotEntry(
        centre,
        leading,
        trailing,
        own_rf=str(data["own_rf"]),
        identified_as=str(data["identified_as"]),
        cannot_tell=data["cannot_tell"] is True,
        # Only where stated: the text of a spot without them has neither key.
        judged_to_mm=_half_width(data.get("judged_to_mm")),
        colour=str(data.get("colour", "")),
    )


def _unit(text: str) -> Unit:
    if text not in ("mm", "cm"):
        raise FrozenTextError(f"“{text}” is no unit of these readings.")
    return cast(Unit, text)


def _half_width(text: str | None) -> Decimal | None:
    length = _length(text)
    if length is not None and not 0 < length <= WIDEST_JUDGED_MM:
        raise FrozenTextError(f"“{text}” is no half-width.")
    return length


def _length(text: str | None) -> Decimal | None:
    if text is None:
        return None
    length = Decimal(text)
    if not length.is_finite():
        raise FrozenTextError(f"“{text}” is no length.")
    return length
