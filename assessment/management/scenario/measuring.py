"""What a ruler would show: invented papers, and people who read them with small errors and a few slips."""

import random
import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_DOWN, ROUND_HALF_UP, Decimal
from typing import Any

from practicals.calculations.entry import LaneEntry, ReadingEntry, SpotEntry
from practicals.models import Analyte, Paper

#: Invented retardation factors for the demo: plausible in order and spacing, measured nowhere.
INVENTED_RF = {
    "lysine": 0.15, "glycine": 0.26, "alanine": 0.38, "proline": 0.43, "leucine": 0.72,
    "carotene": 0.95, "xanthophyll": 0.70, "chlorophyll-a": 0.62, "chlorophyll-b": 0.45,
    "tartrazine": 0.55, "sunset-yellow": 0.62, "allura-red": 0.40, "erythrosine": 0.20,
    "brilliant-blue": 0.97, "indigotine": 0.05,
}  # fmt: skip
#: The neighbour that a spot is taken for by mistake, where two standards run close together.
MISTAKEN_FOR = {"alanine": "proline", "proline": "alanine", "sunset-yellow": "tartrazine"}
PAPER_SPREAD = 0.012  # how far a spot lies from its place on another paper [-]
NOTE_COLOURS = 0.6  # how many of the readers note the colours of the spots
STATE_A_HALF_WIDTH = 0.3  # how many say of one spot how sure its centre is
HALF_WIDTH_MM = Decimal("1.5")
READER_SPREAD_MM = 0.35  # how far two people differ on one spot [mm]

#: A slip takes spot and front as distances from the origin, and the origin's height [mm].
Slip = Callable[[Decimal, Decimal, Decimal], Decimal]
SLIPS: Mapping[str, Slip] = {
    "inverted": lambda spot, front, height: front / spot,
    "down from the front": lambda spot, front, height: (front - spot) / front,
    "from the paper's edge": lambda spot, front, height: (spot + height) / (front + height),
    "cm against mm": lambda spot, front, height: spot / 10 / front,
}


@dataclass(frozen=True)
class TruePaper:
    """Where everything lies on one developed paper, from its lower edge [mm]."""

    origin_mm: Decimal
    front_mm: Decimal
    spots: Mapping[int, tuple[Decimal, ...]]


def substances(analyte: Analyte) -> list[str]:
    """What a lane holds, in the order in which it lies on the paper, so that each spot keeps its own name."""
    return sorted(analyte.contains or [analyte.key], key=INVENTED_RF.__getitem__)


def develop(paper: Paper, rng: random.Random) -> TruePaper:
    """Let the mixture run up a paper."""
    origin = paper.origin_height_mm
    front = paper.height_mm - Decimal(rng.randint(10, 22))
    spots = {}
    for lane in paper.lanes.select_related("analyte").order_by("number"):
        factors = [INVENTED_RF[key] + rng.gauss(0, PAPER_SPREAD) for key in substances(lane.analyte)]
        spots[lane.number] = tuple(origin + Decimal(f"{rf:.4f}") * (front - origin) for rf in factors)
    return TruePaper(origin, front, spots)


def read(
    paper: Paper,
    true: TruePaper,
    rng: random.Random,
    *,
    slip: str = "",
    lanes: int | None = None,
    beyond: bool = False,
    noting: random.Random | None = None,
) -> ReadingEntry:
    """One person's readings in whole or half millimetres, with their own R_f.

    `noting` decides whether this person notes colours, and how sure the centre of the last spot is;
    `slip` makes one mistake in every own R_f; `lanes` stops after so many lanes; `beyond` misreads the
    last spot to above the front.
    """
    front = _seen(true.front_mm, rng)
    entries = []
    for lane in paper.lanes.select_related("analyte").order_by("number")[:lanes]:
        places = [_seen(place, rng) for place in true.spots[lane.number]]
        names = _named(lane.analyte, rng)
        spots = tuple(
            SpotEntry(place, own_rf=_own_rf(place, true.origin_mm, front, paper, slip), **name)
            for place, name in zip(places, names, strict=True)
        )
        entries.append(LaneEntry(number=lane.number, spots=spots))
    if noting is not None:
        entries = _noted(entries, paper, noting)
    if beyond and entries:
        last = entries[-1]
        entries[-1] = LaneEntry(number=last.number, spots=(SpotEntry(centre_mm=front + 4, own_rf="1.04"),))
    return ReadingEntry(unit="mm", origin_mm=true.origin_mm, front_mm=front, lanes=tuple(entries))


def _noted(entries: list[LaneEntry], paper: Paper, noting: random.Random) -> list[LaneEntry]:
    """Colours as the practical states them; the last spot of a faint lane with a half-width."""
    colours, half_width = noting.random() < NOTE_COLOURS, noting.random() < STATE_A_HALF_WIDTH
    if colours:
        analytes = {one.key: one for one in paper.group.session.practical.analytes.all()}
        held = {lane.number: substances(analytes[lane.analyte.key]) for lane in paper.lanes.all()}
        entries = [
            replace(
                lane,
                spots=tuple(
                    replace(spot, colour=_in_short(analytes[key].colour))
                    for spot, key in zip(lane.spots, held[lane.number], strict=True)
                ),
            )
            for lane in entries
        ]
    if half_width and entries and entries[-1].spots:
        *before, last = entries[-1].spots
        spots = (*before, replace(last, judged_to_mm=HALF_WIDTH_MM))
        entries = [*entries[:-1], replace(entries[-1], spots=spots)]
    return entries


def _in_short(colour: str) -> str:
    """The first colour of several: yellow of "yellow to orange-brown, slow to appear"."""
    return re.split(r", | to ", colour)[0]


def _seen(place: Decimal, rng: random.Random) -> Decimal:
    """To the nearest half millimetre, as a careful reader estimates between the marks."""
    read_at = place + Decimal(f"{rng.gauss(0, READER_SPREAD_MM):.3f}")
    return (read_at * 2).quantize(Decimal(1), rounding=ROUND_HALF_UP) / 2


def _own_rf(place: Decimal, origin: Decimal, front: Decimal, paper: Paper, slip: str) -> str:
    spot, run = place - origin, front - origin
    if slip == "truncated":
        return str((spot / run).quantize(Decimal("0.01"), rounding=ROUND_DOWN))
    value = SLIPS[slip](spot, run, paper.origin_height_mm) if slip else spot / run
    return str(value.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP))


def _named(analyte: Analyte, rng: random.Random) -> list[dict[str, Any]]:
    """Each spot of an unknown gets a name: mostly its own, now and then another's, now and then none."""
    if not analyte.contains:
        return [{}]
    names: list[dict[str, Any]] = []
    for key in substances(analyte):
        chance = rng.random()
        if chance < 0.08:
            names.append({"cannot_tell": True})
        else:
            names.append({"identified_as": key if chance < 0.92 else MISTAKEN_FOR.get(key, key)})
    return names
