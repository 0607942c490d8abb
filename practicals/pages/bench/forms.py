"""The form of one paper's readings: whatever is typed becomes a `ReadingEntry`, or a sentence beside it."""

import re
from collections.abc import Iterator
from decimal import Decimal
from typing import Any

from django import forms

from practicals.calculations.entry import (
    MOST_SPOTS,
    LaneEntry,
    LaneFacts,
    PaperFacts,
    ReadingEntry,
    SpotEntry,
    Unit,
)
from practicals.models import NoResult
from practicals.models.readings import LARGEST_MM, SMALLEST_MM
from practicals.pages.bench.rows import LaneRows, SpotRow, noted_in_short, what_is_given, wider_than_its_spot
from practicals.pages.bench.spot_fields import COLOURS, ColourField, HalfWidthField, OwnRfField
from reagents.fields import LengthField

UNITS = [("mm", "millimetres (mm)"), ("cm", "centimetres (cm)")]
RESULT = [("", "there is a result"), *NoResult.choices]
#: No key of a standard can be this: keys are slugs.
CANNOT_TELL = "?"
_LANE_FIELD = re.compile(r"l(\d{1,6})_(?:s(\d{1,6})_)?\w+")


class ReadingsForm(forms.Form):
    """Origin, front and spots of one paper, in the unit of the learner's ruler."""

    unit = forms.ChoiceField(
        label="Unit on your ruler",
        choices=UNITS,
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose the unit on your ruler.",
            "invalid_choice": "A ruler here reads in mm or in cm. Choose one of the two.",
        },
    )
    no_result = forms.ChoiceField(
        label="Whole paper",
        choices=RESULT,
        required=False,
        error_messages={"invalid_choice": "Choose one of the reasons in the list."},
    )

    colours = COLOURS

    def __init__(
        self,
        data: Any = None,
        *,
        facts: PaperFacts,
        standards: tuple[tuple[str, str], ...],
        saved: ReadingEntry | None = None,
        another_in: int | None = None,
    ) -> None:
        super().__init__(data)
        self.facts = facts
        self.saved = saved or ReadingEntry()
        self.another_in = another_in
        self.ruler: Unit = self._ruler()
        self.entry: ReadingEntry | None = None
        self.initial["unit"], self.initial["no_result"] = self.ruler, self.saved.no_result
        self._place("origin", "Origin line", self.saved.origin_mm)
        self._place("front", "Solvent front", self.saved.front_mm)
        for lane in facts.lanes:
            self._add_lane(lane, standards)

    def _ruler(self) -> Unit:
        asked = self.data.get("unit") if self.is_bound else self.saved.unit
        return "cm" if asked == "cm" else "mm"

    def _place(self, name: str, label: str, value: Decimal | None) -> None:
        self.fields[name] = LengthField(
            label=label,
            unit=self.ruler,
            required=False,
            smallest=SMALLEST_MM,
            largest=LARGEST_MM,
        )
        self.initial[name] = shown_in(self.ruler, value)

    def _add_lane(self, lane: LaneFacts, standards: tuple[tuple[str, str], ...]) -> None:
        start, saved = f"l{lane.number}_", self.saved.lane(lane.number)
        self._place(f"{start}front", f"Front in lane {lane.number}, where it differs", saved.front_mm)
        self.fields[f"{start}no_result"] = forms.ChoiceField(
            label=f"Result in lane {lane.number}",
            choices=RESULT,
            required=False,
            error_messages={"invalid_choice": "Choose one of the reasons in the list."},
        )
        self.initial[f"{start}no_result"] = saved.no_result
        for number in range(1, self._rows(lane.number, saved) + 1):
            spot = saved.spots[number - 1] if number <= len(saved.spots) else SpotEntry()
            self._add_spot(f"{start}s{number}_", lane, number, spot)
            if not lane.is_standard:
                self._add_identity(f"{start}s{number}_is", lane, number, spot, standards)

    def _add_identity(
        self, name: str, lane: LaneFacts, number: int, spot: SpotEntry, standards: tuple[tuple[str, str], ...]
    ) -> None:
        self.fields[name] = forms.ChoiceField(
            label=f"What is spot {number} of {lane.name} in lane {lane.number}?",
            choices=[
                ("", "not yet said"),
                *standards,
                (CANNOT_TELL, "cannot be told apart from these readings"),
            ],
            required=False,
            error_messages={"invalid_choice": "Choose one of the standards in the list."},
        )
        self.initial[name] = CANNOT_TELL if spot.cannot_tell else spot.identified_as

    def _add_spot(self, start: str, lane: LaneFacts, number: int, spot: SpotEntry) -> None:
        where = f"of lane {lane.number}, spot {number}"
        self._place(f"{start}centre", f"Centre {where}", spot.centre_mm)
        self._place(f"{start}leading", f"Leading edge {where}, nearer the front", spot.leading_mm)
        self._place(f"{start}trailing", f"Trailing edge {where}, nearer the origin line", spot.trailing_mm)
        self.fields[f"{start}own_rf"] = OwnRfField(label=f"Your own R_f {where}", required=False)
        self.initial[f"{start}own_rf"] = spot.own_rf
        self.fields[f"{start}judged"] = HalfWidthField(label=f"Half-width {where}", unit=self.ruler)
        self.initial[f"{start}judged"] = shown_in(self.ruler, spot.judged_to_mm)
        self.fields[f"{start}colour"] = ColourField(label=f"Colour {where}")
        self.initial[f"{start}colour"] = spot.colour

    def _rows(self, lane: int, saved: LaneEntry) -> int:
        """How many spots the lane shows: what was sent or saved, one at least, one more if asked for."""
        sent = [spot for number, spot in self._sent() if number == lane and spot]
        rows = max(1, *(sent if self.is_bound else [len(saved.spots)]), 1)
        return min(rows + (self.another_in == lane), MOST_SPOTS)

    def _sent(self) -> Iterator[tuple[int, int]]:
        for name in self.data:
            if found := _LANE_FIELD.fullmatch(name):
                yield int(found[1]), int(found[2] or 0)

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        self._refuse_other_lanes()
        lanes = tuple(self._lane(lane, values) for lane in self.facts.lanes)
        if not self.errors:
            self.entry = ReadingEntry(
                unit=self.ruler,
                origin_mm=values["origin"],
                front_mm=values["front"],
                no_result=values["no_result"],
                lanes=lanes,
            )
        return values

    def _refuse_other_lanes(self) -> None:
        known = {lane.number for lane in self.facts.lanes}
        for lane in sorted({lane for lane, _ in self._sent()} - known):
            self.add_error(
                None, f"This paper has no lane {lane}; its lanes are {min(known)} to {max(known)}."
            )
        if any(spot > MOST_SPOTS for _, spot in self._sent()):
            self.add_error(None, f"A lane holds at most {MOST_SPOTS} spots here. Enter the clearest ones.")

    def _lane(self, lane: LaneFacts, values: dict[str, Any]) -> LaneEntry:
        start = f"l{lane.number}_"
        read = (self._spot(f"{start}s{number}_", values) for number in range(1, MOST_SPOTS + 1))
        return LaneEntry(
            number=lane.number,
            spots=tuple(spot for spot in read if spot != SpotEntry()),
            front_mm=values.get(f"{start}front"),
            no_result=values.get(f"{start}no_result") or "",
        )

    def _spot(self, start: str, values: dict[str, Any]) -> SpotEntry:
        identity = values.get(f"{start}is") or ""
        spot = SpotEntry(
            centre_mm=values.get(f"{start}centre"),
            leading_mm=values.get(f"{start}leading"),
            trailing_mm=values.get(f"{start}trailing"),
            own_rf=values.get(f"{start}own_rf") or "",
            identified_as="" if identity == CANNOT_TELL else identity,
            cannot_tell=identity == CANNOT_TELL,
            judged_to_mm=values.get(f"{start}judged"),
            colour=values.get(f"{start}colour") or "",
        )
        places = [f"{start}{place}" for place in ("centre", "leading", "trailing")]
        if any(place in self.errors for place in places):
            return spot
        if (spot.leading_mm is None) != (spot.trailing_mm is None):
            gap = "leading" if spot.leading_mm is None else "trailing"
            self.add_error(
                f"{start}{gap}", "Only one edge is entered. Enter both edges, or the centre alone."
            )
        elif spot.place_mm is None and spot != SpotEntry():
            self.add_error(
                f"{start}centre",
                f"There is {what_is_given(spot)}, but no place for this spot. Enter its centre or its edges.",
            )
        elif f"{start}judged" not in self.errors and wider_than_its_spot(spot):
            self.add_error(
                f"{start}judged",
                "The half-width reaches beyond the edges of the spot. Enter how far the centre may lie either"
                " way, at most half the length of the spot.",
            )
        return spot

    def lanes(self) -> list[LaneRows]:
        """The fields lane by lane, for the template."""
        return [self._rows_of(lane) for lane in self.facts.lanes]

    def _rows_of(self, lane: LaneFacts) -> LaneRows:
        start = f"l{lane.number}_"
        spots = tuple(self._spot_row(lane.number, number) for number in self._numbers(start))
        extra = [f"{start}front", f"{start}no_result"]
        return LaneRows(
            number=lane.number,
            name=lane.name,
            is_standard=lane.is_standard,
            front=self[extra[0]],
            no_result=self[extra[1]],
            spots=spots,
            more_open=self._any_filled(extra),
            can_add=len(spots) < MOST_SPOTS,
            where=f"number {lane.number}",
        )

    def _numbers(self, start: str) -> list[int]:
        return [number for number in range(1, MOST_SPOTS + 1) if f"{start}s{number}_centre" in self.fields]

    def _spot_row(self, lane: int, number: int) -> SpotRow:
        spot = f"l{lane}_s{number}_"
        edges = [f"{spot}leading", f"{spot}trailing"]
        half_width, colour = self[f"{spot}judged"], self[f"{spot}colour"]
        return SpotRow(
            number=number,
            centre=self[f"{spot}centre"],
            leading=self[edges[0]],
            trailing=self[edges[1]],
            own_rf=self[f"{spot}own_rf"],
            identified=self[f"{spot}is"] if f"{spot}is" in self.fields else None,
            half_width=half_width,
            colour=colour,
            more_open=self._any_filled(edges) or bool(half_width.errors or colour.errors),
            noted=noted_in_short(half_width, colour, self.ruler),
            words="Centre of the spot" if number == 1 else f"Centre of spot {number}",
            where=f"of lane {lane}, spot {number}",
        )

    def _any_filled(self, names: list[str]) -> bool:
        return any(self[name].value() or name in self.errors for name in names)

    def typed_entry(self) -> ReadingEntry:
        """What can be read of the form as it stands, for the drawing beside it."""
        if not self.is_bound:
            return self.saved
        values = getattr(self, "cleaned_data", {})
        lanes = tuple(
            LaneEntry(
                lane.number,
                tuple(
                    self._spot_as_read(f"l{lane.number}_s{number}_", values)
                    for number in range(1, MOST_SPOTS + 1)
                ),
                values.get(f"l{lane.number}_front"),
            )
            for lane in self.facts.lanes
        )
        return ReadingEntry(self.ruler, values.get("origin"), values.get("front"), lanes=lanes)

    def _spot_as_read(self, start: str, values: dict[str, Any]) -> SpotEntry:
        return SpotEntry(
            values.get(f"{start}centre"), values.get(f"{start}leading"), values.get(f"{start}trailing")
        )


class AmendmentForm(ReadingsForm):
    """The same readings after locking: a change says why."""

    def __init__(self, data: Any = None, **more: Any) -> None:
        super().__init__(data, **more)
        self.fields["reason"] = forms.CharField(
            label="Reason for the change",
            widget=forms.Textarea(attrs={"rows": 3}),
            max_length=1000,
            error_messages={
                "required": "Say why the reading changes, for example “front read from the wrong edge”.",
                "max_length": "Keep the reason below 1000 characters.",
            },
        )


def shown_in(unit: Unit, value_mm: Decimal | None) -> str:
    """A length as the learner's ruler shows it, without noughts that nobody typed."""
    if value_mm is None:
        return ""
    value = value_mm / 10 if unit == "cm" else value_mm
    text = f"{value:f}"
    return text.rstrip("0").rstrip(".") if "." in text else text
