"""What the program tells a learner about doubtful readings and an own R_f that does not follow from them.

The teacher's setting for the session decides: nothing, that something is off, a hint, the explanation.
The right value is never among it. Whatever is shown counts as help and is recorded by the caller.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from hashlib import sha256
from typing import Literal

from practicals.calculations.doubts import Doubt
from practicals.calculations.measured import Measured
from practicals.calculations.review import Review, SpotReview

Setting = Literal["nothing", "something", "hint", "explanation"]

#: Where to look, without saying what is wrong. Wording ours, common practice, no source.
HINTS = {
    "origin-not-as-planned": "Where was the zero of your ruler when you read the origin line?",
    "front-not-above-origin": "Which of the two lines is nearer the top edge of the paper?",
    "short-run": "How far did the mobile phase run, and how finely can your ruler tell that?",
    "front-above-paper": "Compare the front with the height of the paper. In which unit did you read?",
    "front-at-top": "Did the front stop before the top edge?",
    "edges-swapped": "Which edge of a spot is nearer the solvent front?",
    "centre-outside-edges": "Where does the centre of a spot lie, compared with its edges?",
    "long-tail": "How sure is the centre of so long a spot?",
    "beyond-front": "Can a spot run further than the mobile phase?",
    "below-origin": "From where do you measure the origin line and the spot?",
    "rf-very-low": "How much can a spot tell that has hardly moved?",
    "rf-very-high": "How much can a spot tell that ran with the front?",
    "same-spot-twice": "Are these two different spots?",
    "spots-overlap": "Where does one of these spots end and the other begin?",
    "named-twice": "How many spots does one substance make?",
}
LEVELS: tuple[Setting, ...] = ("nothing", "something", "hint", "explanation")
_LOOK_AGAIN = "Look at this reading once more."


@dataclass(frozen=True, slots=True)
class Shown:
    """One piece of help; `about` says what it is about and how it read, so that it is recorded once."""

    about: str
    text: str
    lane: int | None = None
    spot: int | None = None


def help_for(review: Review, setting: Setting) -> tuple[Shown, ...]:
    """The help to show with a set of readings, in the order of the paper.

    Parameters
    ----------
    review : Review
        The readings, checked [mm].
    setting : {"nothing", "something", "hint", "explanation"}
        What the teacher chose for the session.

    Returns
    -------
    tuple of Shown
        Nothing for "nothing"; otherwise one for each place ("something") or each doubt.

    References
    ----------
    .. [1] Help as a ladder, from a sign to an explanation: common practice, no source.
    """
    if setting == "nothing":
        return ()
    found = [*_about_doubts(review, setting), *_about_own_values(review, setting)]
    once = {shown.about: shown for shown in found}
    return tuple(sorted(once.values(), key=lambda shown: (shown.lane or 0, shown.spot or 0)))


def higher_setting(*settings: Setting) -> Setting:
    """The setting that shows most.

    Parameters
    ----------
    *settings : {"nothing", "something", "hint", "explanation"}
        The session's, and what was released to one learner.

    Returns
    -------
    str
        The highest; "nothing" if none is given.

    References
    ----------
    .. [1] Help as a ladder, from a sign to an explanation: common practice, no source.
    """
    return max(settings, key=LEVELS.index, default="nothing")


def result_help_for(measured: Measured, setting: Setting) -> tuple[Shown, ...]:
    """The help to show with locked readings: one slip on the whole paper, and how unknowns were named.

    Parameters
    ----------
    measured : Measured
        What follows from the readings [-].
    setting : {"nothing", "something", "hint", "explanation"}
        What the learner may see.

    Returns
    -------
    tuple of Shown
        Nothing for "nothing". The words of an identification are shown with the explanation only.

    References
    ----------
    .. [1] Help as a ladder, from a sign to an explanation: common practice, no source.
    """
    if setting == "nothing":
        return ()
    return (*_about_paper(measured, setting), *_about_names(measured, setting))


def _about_paper(measured: Measured, setting: Setting) -> Iterator[Shown]:
    if measured.slips.wrong < 2 or setting == "something":
        return
    if setting == "explanation":
        yield _shown("paper", f"Your R_f of the whole paper: {measured.slip}", None, None)
    elif measured.slips.hint:
        yield _shown(
            "paper", f"The same may have happened in several lanes. {measured.slips.hint}", None, None
        )


def _about_names(measured: Measured, setting: Setting) -> Iterator[Shown]:
    for one in measured.unknowns:
        lane, number = one.spot.lane, one.spot.number
        where = _place(lane, number)
        if one.identification is None or one.naming is None:
            continue
        if setting == "explanation":
            said = [f"{_start(where)}:", one.identification.words, one.naming.sentence, one.colour]
            yield _shown("name", " ".join(filter(None, said)), lane, number)
        elif setting == "hint" and one.naming.verdict in {"not compatible", "among"}:
            hint = f"{_start(where)}: which standards on this paper stand as high as this spot?"
            yield _shown("name", hint, lane, number)
        elif one.naming.verdict == "not compatible":
            # A name among several that cannot be told apart is not wrong: no sign for it.
            yield _shown("name", f"Something is off with the name: {where}.", lane, number)


def _about_doubts(review: Review, setting: Setting) -> Iterator[Shown]:
    for doubt in review.doubts:
        if setting == "something":
            yield _shown(
                "place", f"Something is off: {_place(doubt.lane, doubt.spot)}.", doubt.lane, doubt.spot
            )
        elif setting == "hint":
            yield _shown(doubt.kind, _hint(doubt), doubt.lane, doubt.spot)
        else:
            yield _shown(doubt.kind, doubt.sentence, doubt.lane, doubt.spot)


def _about_own_values(review: Review, setting: Setting) -> Iterator[Shown]:
    for spot in review.differing:
        if setting == "something":
            yield _shown(
                "place", f"Something is off: {_place(spot.lane, spot.number)}.", spot.lane, spot.number
            )
        else:
            yield _shown("own", _own_value(spot, setting), spot.lane, spot.number)


def _own_value(spot: SpotReview, setting: Setting) -> str:
    explanation = spot.explanation
    if explanation is None:
        return _LOOK_AGAIN
    where = _start(_place(spot.lane, spot.number))
    if setting == "hint":
        return f"{where}: your R_f does not follow from your readings. {explanation.hint}"
    reasons = " ".join(match.sentence for match in explanation.matches)
    return " ".join(filter(None, [f"{where}, your R_f {spot.stated}:", explanation.summary, reasons]))


def _hint(doubt: Doubt) -> str:
    return f"{_start(_place(doubt.lane, doubt.spot))}: {HINTS.get(doubt.kind, _LOOK_AGAIN)}"


def _place(lane: int | None, spot: int | None) -> str:
    if lane is None:
        return "the origin line or the solvent front"
    return f"lane {lane}" if spot is None else f"lane {lane}, spot {spot}"


def _start(words: str) -> str:
    return words[0].upper() + words[1:]


def _shown(kind: str, text: str, lane: int | None, spot: int | None) -> Shown:
    digest = sha256(text.encode()).hexdigest()[:12]
    return Shown(f"{kind}:{lane or 0}.{spot or 0}:{digest}", text, lane, spot)
