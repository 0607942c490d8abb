"""The form of a requisition: what the practical suggests, in fields that may be changed."""

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

from django import forms
from django.utils import timezone

from practicals.actions.send_requisition import (
    USUAL_OVERAGE_PERCENT,
    equipment_plan,
    solution_needs,
    usual_locating_ml,
)
from practicals.models import Session
from practicals.pages.plan.lesson_forms import day_field, sensible_day, time_field
from reagents.fields import LengthField, NumberField, VolumeField
from reagents.models import Requisition

BEFORE_LESSON = timedelta(hours=1)
LARGEST_ML = 100_000


class RequisitionForm(forms.Form):
    day = day_field(label="Needed on")
    time = time_field(label="Needed at")
    room = forms.CharField(max_length=60, error_messages={"required": "Give the room, such as Lab 2."})
    chambers = NumberField(
        label="Chambers", whole=True, smallest=1, largest=500, help_text="Groups times chambers in a group."
    )
    volume_per_chamber = VolumeField(
        label="Volume in each chamber",
        above_zero=True,
        largest=LARGEST_ML,
        places=2,
        required=False,
        help_text="If you give it, it is used; left empty, it follows from diameter and depth.",
    )
    diameter = LengthField(label="Inner diameter of a chamber", above_zero=True, largest=2000, places=1)
    depth = LengthField(label="Depth of the liquid", above_zero=True, largest=200, places=1)
    overage = NumberField(
        label="To spare", smallest=0, largest=100, places=1, help_text="10 to 20 % is usual."
    )
    locating = VolumeField(label="Locating agent", largest=LARGEST_ML, help_text="0 leaves it out.")
    note = forms.CharField(
        label="Note to the technician",
        required=False,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Without names: neither the class nor a learner.",
    )

    def __init__(self, data: Any = None, *, session: Session) -> None:
        self.needs = solution_needs(session)
        self.items = equipment_plan(session, {})
        super().__init__(data, initial=suggested(session))
        self.fields["overage"].unit = "%"  # type: ignore[attr-defined]
        if session.practical.locating_agent_id is None:
            del self.fields["locating"]
        for need in self.needs:
            shown = f"{need.analyte.name} (label: {need.code})" if need.code else need.analyte.name
            self.fields[f"solution-{need.analyte.key}"] = VolumeField(
                label=shown, largest=LARGEST_ML, initial=need.usual_ml
            )
        for place, item in enumerate(self.items):
            field = NumberField(
                label=f"Spare: {item.name}", whole=True, smallest=0, largest=1000, initial=item.spare
            )
            self.fields[f"spare-{place}"] = field

    def clean_day(self) -> Any:
        return sensible_day(self.cleaned_data["day"])

    def solution_fields(self) -> Iterator[forms.BoundField]:
        for need in self.needs:
            yield self[f"solution-{need.analyte.key}"]

    def equipment_rows(self) -> Iterator[tuple[Any, forms.BoundField]]:
        for place, item in enumerate(self.items):
            yield item, self[f"spare-{place}"]

    def phase(self) -> dict[str, Any]:
        """How the mobile phase is to be worked out."""
        typed = self.cleaned_data
        return {
            "chambers": typed["chambers"],
            "volume_per_chamber_ml": typed["volume_per_chamber"],
            "chamber_diameter_mm": typed["diameter"],
            "depth_mm": typed["depth"],
            "overage_percent": typed["overage"],
        }

    def plan(self) -> dict[str, Any]:
        """Everything that `send_requisition` takes beside person, session and time."""
        typed = self.cleaned_data
        return {
            **self.phase(),
            "needed_at": timezone.make_aware(datetime.combine(typed["day"], typed["time"])),
            "room": typed["room"],
            "note": typed["note"],
            "locating_ml": typed.get("locating"),
            "solutions_ml": {need.analyte.key: typed[f"solution-{need.analyte.key}"] for need in self.needs},
            "spare": {place: typed[f"spare-{place}"] for place in range(len(self.items))},
        }


def suggested(session: Session) -> dict[str, Any]:
    """What the practical and the first lesson suggest, or what was asked for last time."""
    practical, first = session.practical, session.lessons.first()
    found: dict[str, Any] = {
        "room": first.room if first else "",
        "chambers": max(1, session.groups.count()) * practical.chambers_per_group,
        "diameter": practical.chamber_diameter_mm,
        "depth": practical.chamber_depth_mm,
        "overage": USUAL_OVERAGE_PERCENT,
        "locating": usual_locating_ml(session),
    }
    if first:
        found |= _moment(first.starts_at - BEFORE_LESSON)
    if session.requisition is not None:
        found |= _asked(session.requisition)
    return found


def _asked(requisition: Requisition) -> dict[str, Any]:
    return {**_moment(requisition.needed_at), "room": requisition.room, "note": requisition.note}


def _moment(at: datetime) -> dict[str, Any]:
    local = timezone.localtime(at)
    return {"day": local.date(), "time": local.time().replace(second=0, microsecond=0)}
