"""Forms of the shelf."""

from datetime import date, timedelta
from decimal import Decimal
from typing import Any

from django import forms

from reagents.actions.receive_container import MOST_BOTTLES, Delivery
from reagents.calculations.quantities import NotAQuantity, parse_quantity, parse_strength
from reagents.fields import MassField, NumberField, SubstanceField, VolumeField
from reagents.models import Container

MOST = Decimal(1_000_000)
EARLIEST, LATEST = timedelta(days=365 * 30), timedelta(days=365 * 30)
DATE_FORMATS = ["%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y", "%d %b %Y", "%d %B %Y"]


class DayField(forms.DateField):
    """A day as the browser's own field gives it, or typed where it has none; decades away is a slip."""

    def __init__(self, *, today: date | None = None, **more: Any) -> None:
        widget = forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"})
        super().__init__(input_formats=DATE_FORMATS, widget=widget, **more)
        self.error_messages["invalid"] = "This is not a day. Write it such as 8 Dec 2026 or 2026-12-08."
        self.error_messages["required"] = "Give the day, such as 8 Dec 2026."
        self.today = today

    def validate(self, value: Any) -> None:
        super().validate(value)
        if value and self.today and not self.today - EARLIEST <= value <= self.today + LATEST:
            raise forms.ValidationError("That is more than thirty years from now; check the year.")


def amount_field(unit: str, **more: Any) -> VolumeField | MassField:
    """A volume or a mass, as the container is counted."""
    kind = VolumeField if unit == "mL" else MassField
    return kind(largest=MOST, places=4, **more)


class ReceiveForm(forms.Form):
    """A delivery: what stands on the bottles."""

    substance = SubstanceField(
        label="Substance", help_text="By any of its names, such as butan-1-ol or 71-36-3."
    )
    amount = forms.CharField(
        label="Each bottle holds",
        max_length=60,
        help_text="With its unit, such as 500 mL, 2.5 L or 100 g.",
        error_messages={"required": "Nothing is entered; an amount such as 500 mL or 100 g is required."},
    )
    bottles = NumberField(label="Bottles", whole=True, smallest=1, largest=MOST_BOTTLES, initial=1)
    lot = forms.CharField(label="Lot number", required=False, max_length=60)
    strength = forms.CharField(
        label="Strength", required=False, max_length=40, help_text="As the bottle says, such as 99.7 % w/w."
    )
    form = forms.CharField(
        label="Salt or hydrate",
        required=False,
        max_length=80,
        help_text="Such as hydrochloride or monohydrate: the mass to weigh goes by it.",
    )
    purity_percent = NumberField(
        label="Purity",
        required=False,
        above_zero=True,
        largest=100,
        help_text="In per cent; empty counts as pure.",
    )
    place = forms.CharField(
        label="Place",
        max_length=80,
        help_text="Such as solvent cupboard, shelf 2.",
        error_messages={"required": "Write where it stands."},
    )
    storage = forms.ChoiceField(
        label="Storage class",
        choices=[("", "choose"), *Container.Storage.choices],
        error_messages={"required": "Choose what it must be stored with."},
    )

    def __init__(self, *args: Any, today: date, **more: Any) -> None:
        super().__init__(*args, **more)
        self.fields["received_on"] = DayField(label="Received", today=today, initial=today)
        self.fields["expires_on"] = DayField(
            label="Use by",
            today=today,
            required=False,
            help_text="As the bottle says. What spoils, such as aspartame, must carry a date.",
        )

    def clean_amount(self) -> tuple[Decimal, str]:
        text = self.cleaned_data["amount"]
        trouble = ""
        for expects, unit in (("volume", "mL"), ("mass", "g")):
            try:
                value = parse_quantity(text, expects=expects, largest=MOST)
            except NotAQuantity as error:
                trouble = trouble or str(error)
            else:
                if value <= 0:
                    raise forms.ValidationError("A bottle that arrives holds something; enter how much.")
                return value, unit
        raise forms.ValidationError(trouble)

    def clean_strength(self) -> str:
        """As the bottle says; a figure in % or mol/L must be one that a bottle can hold."""
        typed = str(self.cleaned_data["strength"])
        if typed[:1].isdigit() and ("%" in typed or "mol" in typed):
            try:
                parse_strength(typed, bare_percent="% w/w")
            except NotAQuantity as error:
                raise forms.ValidationError(str(error)) from error
        return typed

    def delivery(self) -> Delivery:
        """What was entered, for the action."""
        typed = dict(self.cleaned_data)
        amount, unit = typed.pop("amount")
        return Delivery(amount=amount, unit=unit, **typed)


class ContainerForm(forms.Form):
    """Any form about one container; it carries the version that was shown."""

    version = forms.IntegerField(widget=forms.HiddenInput)

    def __init__(self, *args: Any, container: Container, today: date, **more: Any) -> None:
        more.setdefault("initial", {"version": container.version, **self.start(container, today)})
        more.setdefault("auto_id", f"id_{self.name}_%s")
        super().__init__(*args, **more)
        self.add_fields(container, today)

    name = ""

    def start(self, container: Container, today: date) -> dict[str, Any]:
        return {}

    def add_fields(self, container: Container, today: date) -> None:
        """Fields that need the container's unit or today's date."""

    def given(self) -> dict[str, Any]:
        """What was entered, under the names that the action knows."""
        typed = dict(self.cleaned_data)
        typed["seen_version"] = typed.pop("version")
        return typed


class OpenForm(ContainerForm):
    name = "open"

    def add_fields(self, container: Container, today: date) -> None:
        self.fields["opened_on"] = DayField(label="Opened", today=today, initial=today)
        self.fields["expires_on"] = DayField(
            label="Use by, once opened",
            today=today,
            required=False,
            help_text="Only where opening shortens how long it lasts; else the date above stands.",
        )


class CountForm(ContainerForm):
    name = "count"

    def add_fields(self, container: Container, today: date) -> None:
        self.fields["remaining"] = amount_field(
            container.unit, label="It really holds", smallest=0, initial=container.remaining
        )
        self.fields["why"] = forms.CharField(label="Why it differs", required=False, max_length=150)


class TakeForm(ContainerForm):
    name = "take"

    def add_fields(self, container: Container, today: date) -> None:
        self.fields["amount"] = amount_field(container.unit, label="Taken out", above_zero=True)
        self.fields["why"] = forms.CharField(
            label="For what", max_length=150, error_messages={"required": "Write what it was taken for."}
        )
        if container.expires_on and container.expires_on < today:
            self.fields["reason_expired"] = forms.CharField(
                label="It is past its date. Why is it used all the same?",
                max_length=100,
                error_messages={"required": "Write why it is used past its date, or take another."},
            )

    def given(self) -> dict[str, Any]:
        typed = dict(self.cleaned_data)
        typed.pop("version")
        return typed


class MoveForm(ContainerForm):
    name = "move"
    place = forms.CharField(
        label="Place", max_length=80, error_messages={"required": "Write where it stands."}
    )
    storage = forms.ChoiceField(label="Storage class", choices=Container.Storage.choices)

    def start(self, container: Container, today: date) -> dict[str, Any]:
        return {"place": container.place, "storage": container.storage}

    def add_fields(self, container: Container, today: date) -> None:
        self.fields["expires_on"] = DayField(
            label="Use by", today=today, required=False, initial=container.expires_on
        )


class DiscardForm(ContainerForm):
    name = "discard"
    reason = forms.CharField(
        label="Why, and where it goes",
        max_length=150,
        help_text="Such as “past its date, to the solvent waste”. Its record stays.",
        error_messages={"required": "Write why it is discarded and where it goes."},
    )
