"""What one person enters for one paper, as plain values.

The form, the demo and every import make a `ReadingEntry`; the actions keep it, the review checks it.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from practicals.calculations.rf import rounded, spot_centre

Unit = Literal["mm", "cm"]

#: Spots that one lane may hold; a mixture with more is not told apart on a class's paper.
MOST_SPOTS = 4
#: Decimals of a millimetre that a record keeps.
KEPT_PLACES = 3
#: Nobody judges the centre of a spot on a class's paper to no better than this either way [mm]: common
#: practice, no source.
WIDEST_JUDGED_MM = Decimal(25)


@dataclass(frozen=True, slots=True)
class SpotEntry:
    """One spot by its centre, its two edges or both [mm], and the person's own R_f as written.

    `identified_as` is the key of the standard that a spot of an unknown was taken for; `judged_to_mm` is the
    half-width within which the centre was judged to lie, plus or minus [mm]; `colour` is as noted, in words.
    """

    centre_mm: Decimal | None = None
    leading_mm: Decimal | None = None
    trailing_mm: Decimal | None = None
    own_rf: str = ""
    identified_as: str = ""
    cannot_tell: bool = False
    judged_to_mm: Decimal | None = None
    colour: str = ""

    @property
    def place_mm(self) -> Decimal | None:
        """The centre as typed, else midway between the edges, else not known [mm]."""
        if self.centre_mm is not None:
            return self.centre_mm
        if self.leading_mm is None or self.trailing_mm is None:
            return None
        return rounded(spot_centre(self.leading_mm, self.trailing_mm), KEPT_PLACES)


@dataclass(frozen=True, slots=True)
class LaneEntry:
    """One lane; `front_mm` only where it differs from the paper's [mm]."""

    number: int
    spots: tuple[SpotEntry, ...] = ()
    front_mm: Decimal | None = None
    no_result: str = ""


@dataclass(frozen=True, slots=True)
class ReadingEntry:
    """One person's readings of one paper [mm]; whatever is not yet measured is None or left out."""

    unit: Unit = "mm"
    origin_mm: Decimal | None = None
    front_mm: Decimal | None = None
    no_result: str = ""
    lanes: tuple[LaneEntry, ...] = ()

    def lane(self, number: int) -> LaneEntry:
        """The entry of one lane, an empty one if nothing was entered."""
        return next((lane for lane in self.lanes if lane.number == number), LaneEntry(number))


@dataclass(frozen=True, slots=True)
class LaneFacts:
    """What a lane holds: a standard by name and the colour that it gives, an unknown by its code."""

    number: int
    key: str
    name: str
    is_standard: bool
    colour: str = ""


@dataclass(frozen=True, slots=True)
class PaperFacts:
    """A paper's size and lanes [mm]; `reference` is the key of the standard for R_rel, if one is named."""

    width_mm: Decimal
    height_mm: Decimal
    origin_height_mm: Decimal
    ruler_division_mm: Decimal
    lanes: tuple[LaneFacts, ...]
    reference: str = ""

    def colour_of(self, key: str) -> str:
        """The colour that a standard on this paper gives, in words; empty if none is stated."""
        return next((lane.colour for lane in self.lanes if lane.key == key), "")

    def name_of(self, key: str) -> str:
        """The name of a standard on this paper, else its key as it stands."""
        return next((lane.name for lane in self.lanes if lane.key == key), key)
