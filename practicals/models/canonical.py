"""A set of readings as text that never changes of itself: what is hashed, frozen and compared.

Decimals stand as strings (a JSON number may be rewritten on its way), people by token, keys in order.
"""

import json
from decimal import Decimal
from typing import Any

from practicals.models.readings import LaneReading, ReadingSet, SpotReading

SCHEMA = "wickmark readings 2"


def canonical_text(readings: ReadingSet) -> str:
    """The readings as one line of JSON. Fetch them with `ReadingSet.objects.whole()`."""
    lanes = sorted(readings.lanes.all(), key=lambda lane: lane.lane.number)
    whole = {
        "schema": SCHEMA,
        "learner": str(readings.learner.token),
        "session": str(readings.paper.group.session.uuid),
        "paper": str(readings.paper.uuid),
        "source": readings.source,
        "unit": readings.unit,
        "origin_mm": _text(readings.origin_mm),
        "front_mm": _text(readings.front_mm),
        "no_result": readings.no_result,
        "lanes": [_lane(lane) for lane in lanes],
    }
    return json.dumps(whole, ensure_ascii=False, sort_keys=True, separators=(",", ":"))


def _lane(lane: LaneReading) -> dict[str, Any]:
    return {
        "number": lane.lane.number,
        "analyte": lane.lane.shown_key,
        "front_mm": _text(lane.front_mm),
        "no_result": lane.no_result,
        "spots": [_spot(spot) for spot in sorted(lane.spots.all(), key=lambda spot: spot.number)],
    }


def _spot(spot: SpotReading) -> dict[str, Any]:
    return _stated(spot) | {
        "number": spot.number,
        "centre_mm": _text(spot.centre_mm),
        "leading_mm": _text(spot.leading_mm),
        "trailing_mm": _text(spot.trailing_mm),
        "own_rf": spot.own_rf,
        "identified_as": spot.identified_as.key if spot.identified_as else "",
        "cannot_tell": spot.cannot_tell,
    }


def _stated(spot: SpotReading) -> dict[str, Any]:
    """What only some state. Left out where it is not, so that a text without it stays the text it was."""
    stated = {"judged_to_mm": _text(spot.judged_to_mm), "colour": spot.colour}
    return {name: value for name, value in stated.items() if value}


def _text(value: Decimal | None) -> str | None:
    """The same text whether the value came from a form or a column: 34, never 34.000 or 3.4E+1."""
    if value is None:
        return None
    return format(Decimal(value).normalize() + 0, "f")
