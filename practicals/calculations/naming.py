"""What a learner named an unknown, judged against what its spots are compatible with.

The learner's naming stays as it is: this says how it agrees with the readings.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from practicals.calculations.identification import Identification

NamingVerdict = Literal["agrees", "among", "not compatible", "not compared", "undecided", "no name"]


@dataclass(frozen=True, slots=True)
class Naming:
    """How a learner's naming agrees with the readings, as a word and as a sentence."""

    verdict: NamingVerdict
    sentence: str

    @property
    def of_another(self) -> str:
        """The sentence for anybody, not addressed to whoever named it."""
        said = self.sentence
        for own, neutral in _NEUTRAL:
            said = said.replace(own, neutral)
        return said


_NEUTRAL = (
    ("Your naming", "The learner\N{RIGHT SINGLE QUOTATION MARK}s naming"),
    ("You said", "The learner said"),
    ("You have not", "The learner has not"),
)


def judge_naming(
    own_key: str,
    own_name: str,
    found: Sequence[Identification],
    *,
    cannot_tell: bool = False,
) -> Naming:
    """Judge what a learner named a lane against the identification of its spots.

    Parameters
    ----------
    own_key, own_name : str
        What the learner named, by key and as shown [-]; empty if nothing.
    found : Sequence[Identification]
        One for each spot of the lane [-].
    cannot_tell : bool
        The learner said that it cannot be told [-].

    Returns
    -------
    Naming
        Verdict and sentence. It says nothing of what the unknown really holds.

    References
    ----------
    .. [1] Common practice, no source.
    """
    names = tuple(dict.fromkeys(name for one in found for name in one.names))
    if cannot_tell:
        return _undecided(found, names)
    if not own_key:
        return Naming("no name", "You have not named it.")
    if not any(one.compared for one in found):
        return Naming("not compared", f"Your naming, {own_name}, could not be compared with anything.")
    holding = [one for one in found if own_key in one.compatible]
    against = " But the colour that was noted speaks against it." if _against(own_key, holding) else ""
    if any(one.verdict == "one" for one in holding):
        several = f" The lane has {len(found)} spots; this names one of them." if len(found) > 1 else ""
        more = against + several
        return Naming("agrees", f"Your naming, {own_name}, is what the readings are compatible with.{more}")
    if holding:
        return Naming(
            "among",
            f"Your naming, {own_name}, is among the compatible ones, which cannot be told apart by these"
            f" readings: {', '.join(holding[0].names)}.{against}",
        )
    own = [comparison for one in found for comparison in one.compared if comparison.key == own_key]
    if not own:
        return Naming(
            "not compared", f"Your naming, {own_name}, was not compared: no reading or value of it is known."
        )
    if any(comparison.near for comparison in own):
        return Naming(
            "not compatible",
            f"{own_name} stands at the right place, but the colour of the spot speaks against it.",
        )
    instead = f" They are compatible with {', '.join(names)}." if names else ""
    return Naming("not compatible", f"Your naming, {own_name}, is not compatible with the readings.{instead}")


def _against(own_key: str, holding: Sequence[Identification]) -> bool:
    compared = [one for found in holding for one in found.compared if one.key == own_key and one.near]
    return bool(compared) and all(one.colour == "against" for one in compared)


def _undecided(found: Sequence[Identification], names: tuple[str, ...]) -> Naming:
    if found and all(one.verdict == "one" for one in found):
        return Naming(
            "undecided",
            f"You said that it cannot be told; the readings are compatible with {', '.join(names)} only.",
        )
    return Naming("agrees", "You said that it cannot be told, and the readings do not tell either.")
