"""The colours that a learner noted of the spots of one paper, and what they say beside the places.

They come after the places: a colour alone makes no match, and none that was noted is ever changed.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from practicals.calculations.candidates import Identification
from practicals.calculations.entry import PaperFacts
from practicals.calculations.review import Review, SpotReview
from practicals.calculations.spot_colours import colour_evidence, colour_remark, names_a_colour


def standard_colour(noted: str, stated: str) -> str:
    """The colour that counts for a standard's spot beside an unknown.

    Parameters
    ----------
    noted : str
        As noted of the standard's own spot on the same paper, in words [-]; empty if nothing was.
    stated : str
        As the practical states it for the substance [-]; empty if it states none.

    Returns
    -------
    str
        Both as alternatives, or whichever is there. Empty where they speak against each other: a standard
        that did not come out as it should says nothing by its colour.

    References
    ----------
    .. [1] A standard beside the unknown is located with it: common practice, no source.
    """
    if not names_a_colour(noted):
        return stated
    if colour_evidence(noted, stated) == "against":
        return ""
    return ", ".join(dict.fromkeys(filter(None, (noted, stated))))


def noted_words(noted: str, beside: Sequence[tuple[str, str, str]]) -> str:
    """What was noted of an unknown's colour, and of the standards at its place, as a sentence.

    Parameters
    ----------
    noted : str
        The colour of the unknown's spot as noted [-].
    beside : sequence of (str, str, str)
        Name, colour as noted and colour as stated of each standard that stands at the same place [-].

    Returns
    -------
    str
        The sentence; empty if nothing was noted of the unknown.

    References
    ----------
    .. [1] Common practice, no source.
    """
    if not noted:
        return ""
    said = [f"Its colour was noted as {noted}"]
    for name, seen, stated in dict.fromkeys(beside):
        if seen:
            said.append(f"that of {name} beside it as {seen}")
        elif stated:
            said.append(f"{name} gives {stated}")
    return "; ".join(said) + "."


def colour_words(
    spot: SpotReview, identification: Identification, *, review: Review, paper: PaperFacts
) -> str:
    """What was noted of an unknown's colour; if nothing was, what to look for.

    Parameters
    ----------
    spot : SpotReview
        The unknown's spot [mm].
    identification : Identification
        What it was compared with [-].
    review : Review
        All readings of the paper, with the colours noted of the standards [mm].
    paper : PaperFacts
        The paper, with the colours stated for its standards [-].

    Returns
    -------
    str
        A sentence; empty if there is nothing to say.

    References
    ----------
    .. [1] Common practice, no source.
    """
    standards = [(lane, one) for lane in review.standards for one in lane.spots if one.rf is not None]
    if spot.colour:
        near = {one.key for one in identification.compared if one.near and one.level == "same paper"}
        beside = [
            (lane.name, one.colour, paper.colour_of(lane.key)) for lane, one in standards if lane.key in near
        ]
        return noted_words(spot.colour, beside)
    fits = identification.compatible
    return colour_remark(
        [(lane.name, paper.colour_of(lane.key)) for lane, _ in standards if lane.key in fits],
        [paper.colour_of(lane.key) for lane, _ in standards if lane.key not in fits],
    )


def odd_colours(review: Review, paper: PaperFacts) -> Iterator[str]:
    """Standards whose colour was noted otherwise than it is stated, as sentences.

    Parameters
    ----------
    review : Review
        The readings, checked [mm].
    paper : PaperFacts
        The paper, with the colours stated for its standards [-].

    Yields
    ------
    str
        One sentence for each such spot.

    References
    ----------
    .. [1] Common practice, no source.
    """
    for lane in review.standards:
        stated = paper.colour_of(lane.key)
        for spot in lane.spots:
            if colour_evidence(spot.colour, stated) == "against":
                yield (
                    f"Lane {lane.number}, {lane.name}: its colour was noted as {spot.colour}, but it is"
                    f" stated to give {stated}. It is left out of what the colours say about the unknowns;"
                    " look whether lanes were exchanged."
                )
