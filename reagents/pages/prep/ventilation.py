"""The vapour in a room, estimated. Nothing is kept: the figures stand in the address."""

from decimal import Decimal
from typing import Any

from django import forms
from django.http import HttpRequest, HttpResponse
from django.shortcuts import render
from django.urls import reverse
from django.views.decorators.http import require_safe

from reagents.calculations.quantities import NotAQuantity
from reagents.calculations.room_air import ImpossibleRoom
from reagents.calculations.vapour_sources import (
    SPRAYS,
    Room,
    Source,
    drying,
    open_dishes,
    spraying,
)
from reagents.calculations.ventilation import EDITION, FORMULAS, NOTICE, Ventilation, ventilation
from reagents.fields import (
    AirChangeField,
    DurationField,
    LengthField,
    NumberField,
    RatioField,
    SpeedField,
    TemperatureField,
    VolumeField,
)

MOBILE_PHASE = ("butan-1-ol", "ethanoic acid", "water")
ML_IN_M3 = Decimal(1_000_000)
LARGEST_ROOM_M3 = Decimal(100_000)
MINUTES = Decimal(60)
DAY_MIN = 1440
STARTS = {
    "changes": "2",
    "mixing": "3",
    "temperature": "20",
    "oven": "60",
    "ratio": "12 : 3 : 5",
    "papers": "0",
    "dishes": "0",
    "air_speed": "0.1",
    "solvent": "ethanol",
}


class RoomVolumeField(VolumeField):
    """The volume of a room, whose examples are rooms; cleaned to cubic metres."""

    example = "a volume such as 200 m³"

    def read(self, text: str) -> Decimal:
        try:
            volume = super().read(text) / ML_IN_M3
        except NotAQuantity as error:
            said = str(error).replace("25 mL", "200 m³").replace("mL or L", "m³ or L")
            raise NotAQuantity(error.text, said) from error
        if volume and not 1 <= volume <= LARGEST_ROOM_M3:
            raise NotAQuantity(text, f"“{text}” is no room; 1 to 100 000 m³ is expected here.")
        return volume


class VentilationForm(forms.Form):
    """The room, and what gives off vapour in it."""

    saves_nothing = True

    volume = RoomVolumeField(
        label="Room volume",
        unit="m³",
        above_zero=True,
        largest=Decimal("1e15"),
        help_text="Length × width × height.",
    )
    changes = AirChangeField(
        label="Air changes",
        largest=100,
        help_text="Measure, or ask the site. With windows shut it may be 0.5 or less.",
    )
    mixing = NumberField(
        label="Mixing factor",
        smallest=1,
        largest=20,
        help_text="1 would be perfect mixing; 3 or more is usual (from memory).",
    )
    temperature = TemperatureField(label="Temperature of the room", smallest=-10, largest=45)
    oven = TemperatureField(
        label="Temperature of the drying oven or dryer",
        required=False,
        smallest=20,
        largest=150,
    )
    ratio = RatioField(label="Butan-1-ol : ethanoic acid : water, by volume", wanted=3)
    papers = NumberField(label="Papers that dry in the room", whole=True, smallest=0, largest=1000)
    paper_volume = VolumeField(label="Liquid that one paper holds", required=False, largest=1000)
    drying_time = DurationField(label="Drying time", required=False, above_zero=True, largest=DAY_MIN)
    dishes = NumberField(label="Chambers or dishes that stand open", whole=True, smallest=0, largest=1000)
    across = LengthField(label="Width of each", required=False, largest=2000)
    air_speed = SpeedField(
        label="Air speed over them",
        largest=20,
        help_text="About 0.1 m/s in a room; a draught or fan moves more.",
    )
    open_time = DurationField(label="Time they stand open", required=False, above_zero=True, largest=DAY_MIN)
    solvent = forms.ChoiceField(label="Solvent of the spray", choices=[(name, name) for name in SPRAYS])
    sprayed = VolumeField(label="Volume sprayed in all", required=False, largest=10_000)
    spray_time = DurationField(label="Spraying time", required=False, above_zero=True, largest=DAY_MIN)

    def clean(self) -> dict[str, Any]:
        given = super().clean() or {}
        for count, needed in (
            ("papers", ("paper_volume", "drying_time")),
            ("dishes", ("across", "open_time")),
            ("sprayed", ("spray_time",)),
        ):
            for name in needed:
                if given.get(count) and given.get(name) is None and name not in self.errors:
                    label = str(self.fields[name].label).lower()
                    self.add_error(name, f"Enter the {label} as well, or leave the count or volume at 0.")
        return given

    def estimate(self) -> Ventilation:
        given = self.cleaned_data
        room = Room(
            volume_m3=given["volume"],
            changes_per_h=given["changes"],
            mixing_factor=given["mixing"],
            temperature_c=given["temperature"],
            oven_c=given["oven"],
        )
        return ventilation(room, self._sources(room, given))

    def _sources(self, room: Room, given: dict[str, Any]) -> list[Source]:
        found: list[Source] = []
        if given["papers"]:
            found += drying(
                list(zip(MOBILE_PHASE, given["ratio"], strict=True)),
                papers=given["papers"],
                ml_each=given["paper_volume"],
                hours=given["drying_time"] / MINUTES,
            )
        if given["dishes"]:
            found += open_dishes(
                MOBILE_PHASE,
                room,
                dishes=given["dishes"],
                across_mm=given["across"],
                air_m_per_s=given["air_speed"],
                hours=given["open_time"] / MINUTES,
            )
        if given["sprayed"]:
            found += spraying(
                given["solvent"], volume_ml=given["sprayed"], hours=given["spray_time"] / MINUTES
            )
        return found


@require_safe
def estimate(request: HttpRequest) -> HttpResponse:
    """The form; with figures in the address, the estimate above it."""
    form = VentilationForm(request.GET if "volume" in request.GET else None, initial=STARTS)
    found, trouble = None, ""
    if form.is_valid():
        try:
            found = form.estimate()
        except ImpossibleRoom as error:
            trouble = str(error)
    context = {
        "form": form,
        "found": found,
        "trouble": trouble,
        "notice": NOTICE,
        "formulas": FORMULAS,
        "edition": EDITION,
        "trail": _trail(request),
    }
    return render(request, "reagents/prep/ventilation.html", context)


def _trail(request: HttpRequest) -> list[tuple[str, str]]:
    """A teacher may estimate, but the prep lists are the technician's."""
    above = [("Prep lists", reverse("prep:requisitions"))] if _prepares(request) else []
    return [*above, ("Vapour in a room", "")]


def _prepares(request: HttpRequest) -> bool:
    return bool(request.user.has_perm("reagents.see_requisitions"))
