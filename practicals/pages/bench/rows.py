"""The fields of the form as its page shows them, lane by lane and spot by spot."""

from dataclasses import dataclass

from django import forms

from practicals.calculations.entry import SpotEntry


@dataclass(frozen=True, slots=True)
class SpotRow:
    """The fields of one spot; `noted` is what stands in those that are folded away, in short."""

    number: int
    centre: forms.BoundField
    leading: forms.BoundField
    trailing: forms.BoundField
    own_rf: forms.BoundField
    identified: forms.BoundField | None
    half_width: forms.BoundField
    colour: forms.BoundField
    more_open: bool
    noted: str
    words: str
    where: str


@dataclass(frozen=True, slots=True)
class LaneRows:
    """The fields of one lane. An unknown goes by its code; what it is, is asked of each of its spots."""

    number: int
    name: str
    is_standard: bool
    front: forms.BoundField
    no_result: forms.BoundField
    spots: tuple[SpotRow, ...]
    more_open: bool
    can_add: bool
    where: str


def noted_in_short(half_width: forms.BoundField, colour: forms.BoundField, unit: str) -> str:
    """What a folded part holds, so that nobody has to open it to see."""
    if half_width.errors or colour.errors:
        return ""
    judged = str(half_width.value() or "").strip()
    if judged and not judged.strip("0123456789.,"):
        judged = f"\N{PLUS-MINUS SIGN}\N{NO-BREAK SPACE}{judged}\N{NO-BREAK SPACE}{unit}"
    return ", ".join(filter(None, (str(colour.value() or "").strip(), judged)))


def what_is_given(spot: SpotEntry) -> str:
    """What was entered of a spot that has no place."""
    if spot.own_rf:
        return "an R_f"
    if spot.identified_as or spot.cannot_tell:
        return "an answer to what it is"
    return "a colour" if spot.colour else "a half-width"


def wider_than_its_spot(spot: SpotEntry) -> bool:
    """Whether the stated half-width reaches beyond the edges that were read."""
    if spot.judged_to_mm is None or spot.leading_mm is None or spot.trailing_mm is None:
        return False
    return 2 * spot.judged_to_mm > abs(spot.leading_mm - spot.trailing_mm)
