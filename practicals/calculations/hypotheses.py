"""What a learner's R_f would come to under each slip a teacher knows.

Each hypothesis turns the readings into the value the slip would give. `slips.py` compares them with
what was stated. Distances are taken from the origin line: s to the spot, f to the front; e is the height
of the origin line above the zero of a ruler laid at the paper's lower edge.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Context, Decimal

from practicals.calculations.rf import rounded

_EXACT = Context(prec=28)


@dataclass(frozen=True, slots=True)
class Neighbour:
    """A spot in another lane of the same paper [mm]; its front only if it has its own."""

    lane: str
    spot_mm: Decimal
    front_mm: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Slip:
    """What a slip is called, how it comes about, and a hint that does not give the answer."""

    slug: str
    name: str
    how: str
    hint: str


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """A slip and the value it gives; `detail` completes the explanation where a slip has variants."""

    slip: Slip
    value: Decimal
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Distances:
    """Readings of one spot, as distances from the origin line [mm], and what else is known."""

    spot: Decimal
    front: Decimal
    edge: Decimal | None = None
    paper_height: Decimal | None = None
    leading: Decimal | None = None


def distances_from_readings(
    *,
    spot_mm: Decimal,
    origin_mm: Decimal,
    front_mm: Decimal,
    origin_height_mm: Decimal | None = None,
    paper_height_mm: Decimal | None = None,
    leading_mm: Decimal | None = None,
) -> Distances:
    """Readings of one ruler as distances from the origin line.

    Parameters
    ----------
    spot_mm, origin_mm, front_mm : Decimal
        Readings of the spot's centre, the origin line and the solvent front [mm].
    origin_height_mm : Decimal, optional
        Height of the origin line above the lower edge, for rulers laid at the origin line [mm].
    paper_height_mm : Decimal, optional
        Height of the paper [mm].
    leading_mm : Decimal, optional
        Reading of the spot's leading edge [mm].

    Returns
    -------
    Distances
        From the origin line [mm]; the line as read counts before the line as planned.

    References
    ----------
    .. [1] IUPAC Gold Book, retardation factor, doi:10.1351/goldbook.R05353.
    """
    return Distances(
        spot=spot_mm - origin_mm,
        front=front_mm - origin_mm,
        edge=origin_mm if origin_mm > 0 else origin_height_mm,
        paper_height=paper_height_mm,
        leading=None if leading_mm is None else leading_mm - origin_mm,
    )


_BOTH_ENDS = "Where does each of your two distances start?"
_WHICH_FRONT = "Which line did you take for the solvent front?"

SLIPS: dict[str, Slip] = {
    slip.slug: slip
    for slip in (
        Slip(
            "inverted",
            "inverted",
            "the distance of the solvent front was divided by the distance of the spot",
            "Which of your two distances must be the larger, and which one is divided by the other?",
        ),
        Slip(
            "from-the-front",
            "measured down from the front",
            "the spot was measured downwards from the solvent front, not upwards from the origin line",
            "From which line did you measure the spot?",
        ),
        Slip(
            "both-from-edge",
            "both from the paper's edge",
            "spot and solvent front were both measured from the paper's lower edge, not from the origin line",
            _BOTH_ENDS,
        ),
        Slip(
            "spot-from-edge",
            "spot from the paper's edge",
            "the spot was measured from the paper's lower edge, the solvent front from the origin line",
            _BOTH_ENDS,
        ),
        Slip(
            "front-from-edge",
            "front from the paper's edge",
            "the solvent front was measured from the paper's lower edge, the spot from the origin line",
            _BOTH_ENDS,
        ),
        Slip(
            "spot-in-cm",
            "spot in cm, front in mm",
            "the spot was taken in centimetres and the solvent front in millimetres",
            "Are both distances in the same unit?",
        ),
        Slip(
            "front-in-cm",
            "spot in mm, front in cm",
            "the spot was taken in millimetres and the solvent front in centimetres",
            "Are both distances in the same unit?",
        ),
        Slip(
            "paper-height-as-front",
            "paper height used as front",
            "the top edge of the paper was taken for the solvent front",
            _WHICH_FRONT,
        ),
        Slip(
            "leading-edge",
            "leading edge used for centre",
            "the spot was measured to its leading edge, not to its centre",
            "To which part of the spot did you measure?",
        ),
        Slip(
            "percentage",
            "given as a percentage",
            "the value was multiplied by 100, as for a percentage",
            "Can an R_f be larger than 1? Look at the last step of your sum.",
        ),
        Slip(
            "digits-swapped",
            "digits swapped",
            "two digits changed places",
            "Read your figures digit by digit against your readings.",
        ),
        Slip(
            "neighbour-spot",
            "a neighbouring lane's spot",
            "the spot of another lane was used",
            "Which lane did you measure? Follow it up from its mark on the origin line.",
        ),
        Slip(
            "truncated",
            "cut off instead of rounded",
            "the last decimal was cut off instead of rounded",
            "Look at the decimal after the last one you gave.",
        ),
        Slip(
            "rounded-up",
            "rounded up instead of to the nearest",
            "the last decimal was rounded up where it should have been rounded down",
            "Look at the decimal after the last one you gave.",
        ),
        Slip(
            "over-rounded",
            "rounded too far",
            "the value was rounded to fewer decimals than two",
            "How many decimals does an R_f usually have?",
        ),
    )
}
ROUNDING_SLIPS = frozenset({"truncated", "rounded-up", "over-rounded"})


def hypotheses(
    distances: Distances, *, right: Decimal, places: int, neighbours: Sequence[Neighbour], origin_mm: Decimal
) -> list[Hypothesis]:
    """Every slip that can be tested with what is known, with the value it gives.

    Parameters
    ----------
    distances : Distances
        The readings as distances from the origin line [mm].
    right : Decimal
        The R_f that follows from the readings [-].
    places : int
        Decimals that were stated [-]; digits are swapped in the right value as rounded to these.
    neighbours : Sequence[Neighbour]
        Spots in other lanes, as read [mm].
    origin_mm : Decimal
        Reading of the origin line [mm].

    Returns
    -------
    list[Hypothesis]
        In the order of `SLIPS`; slips that happen to give exactly the right value are left out.

    References
    ----------
    .. [1] Slips named in teaching material: ERR2, ERR3, ERR5 in SOURCES.csv; formulas derived here.
    """
    found = [
        *_ratios(distances, right),
        *_edges(distances),
        *_units(right),
        *_paper_top(distances),
        *_swapped(distances, right, places, origin_mm),
        *_neighbours(neighbours, distances, origin_mm),
    ]
    return [hypothesis for hypothesis in found if hypothesis.value != right]


def _ratios(d: Distances, right: Decimal) -> Iterator[Hypothesis]:
    if d.spot != 0:
        yield Hypothesis(SLIPS["inverted"], _EXACT.divide(d.front, d.spot))
    yield Hypothesis(SLIPS["from-the-front"], 1 - right)
    if d.leading is not None:
        yield Hypothesis(SLIPS["leading-edge"], _EXACT.divide(d.leading, d.front))


def _edges(d: Distances) -> Iterator[Hypothesis]:
    if d.edge is None:
        return
    spot, front = d.spot + d.edge, d.front + d.edge
    yield Hypothesis(SLIPS["both-from-edge"], _EXACT.divide(spot, front))
    yield Hypothesis(SLIPS["spot-from-edge"], _EXACT.divide(spot, d.front))
    yield Hypothesis(SLIPS["front-from-edge"], _EXACT.divide(d.spot, front))


def _units(right: Decimal) -> Iterator[Hypothesis]:
    yield Hypothesis(SLIPS["spot-in-cm"], right / 10)
    yield Hypothesis(SLIPS["front-in-cm"], right * 10)
    yield Hypothesis(SLIPS["percentage"], right * 100)


def _paper_top(d: Distances) -> Iterator[Hypothesis]:
    if d.paper_height is None or d.paper_height <= 0:
        return
    slip = SLIPS["paper-height-as-front"]
    yield Hypothesis(slip, _EXACT.divide(d.spot, d.paper_height), "measured from the lower edge")
    if d.edge is not None and d.paper_height > d.edge:
        to_top = d.paper_height - d.edge
        yield Hypothesis(slip, _EXACT.divide(d.spot, to_top), "measured from the origin line")


def _swapped(d: Distances, right: Decimal, places: int, origin_mm: Decimal) -> Iterator[Hypothesis]:
    slip = SLIPS["digits-swapped"]
    for value in _transposed(rounded(right, places)):
        yield Hypothesis(slip, value, "in the result")
    for spot in _transposed(d.spot):
        yield Hypothesis(slip, _EXACT.divide(spot, d.front), "in the distance of the spot")
    for front in _transposed(d.front):
        if front != 0:
            yield Hypothesis(slip, _EXACT.divide(d.spot, front), "in the distance of the front")
    if origin_mm > 0:
        # A ruler laid at the edge: the digits of its readings can change places before the subtraction.
        for spot in _transposed(d.spot + origin_mm):
            yield Hypothesis(slip, _EXACT.divide(spot - origin_mm, d.front), "in the reading of the spot")
        for front in _transposed(d.front + origin_mm):
            if front > origin_mm:
                value = _EXACT.divide(d.spot, front - origin_mm)
                yield Hypothesis(slip, value, "in the reading of the front")


def _transposed(value: Decimal) -> Iterator[Decimal]:
    """The value with each pair of unlike neighbouring digits swapped, on one side of the point.

    Nobody writes 02 for 20, so a nought does not come to stand in front.
    """
    text = format(value, "f")
    for index in range(len(text) - 1):
        first, second = text[index], text[index + 1]
        in_front = second == "0" and not text[:index].strip("-")
        if first.isdigit() and second.isdigit() and first != second and not in_front:
            yield Decimal(text[:index] + second + first + text[index + 2 :])


def _neighbours(neighbours: Sequence[Neighbour], d: Distances, origin_mm: Decimal) -> Iterator[Hypothesis]:
    for neighbour in neighbours:
        front = d.front if neighbour.front_mm is None else neighbour.front_mm - origin_mm
        if front > 0:
            value = _EXACT.divide(neighbour.spot_mm - origin_mm, front)
            yield Hypothesis(SLIPS["neighbour-spot"], value, f"in lane {neighbour.lane}")
