"""Forms for labels: which sheet, from which position, how many; and the description of a sheet."""

from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from django import forms
from django.http import QueryDict

from reagents.calculations.label_layout import MOST_LABELS, ImpossibleSheet, Sheet
from reagents.fields import LengthField, NumberField, VolumeField
from reagents.models import Batch, LabelSheet

LARGEST_ML = Decimal(1_000_000)
LONGEST_MM = Decimal(297)
#: What the calculations call a value, and what the form does.
FIELDS = {"count": "copies"}


class LabelForm(forms.Form):
    """What every printing of labels asks for; filled before anything is sent."""

    sheet = forms.ChoiceField(
        label="Sheet",
        error_messages={
            "required": "Choose the sheet that lies in the printer.",
            "invalid_choice": "Choose one of the sheets in the list.",
        },
    )
    start = NumberField(
        label="First free position",
        whole=True,
        smallest=Decimal(1),
        largest=Decimal(MOST_LABELS),
        help_text="Counted from the upper left, row by row, so that a half-used sheet is used up.",
    )
    copies = NumberField(
        label="How many of each", whole=True, smallest=Decimal(1), largest=Decimal(MOST_LABELS)
    )
    container = VolumeField(
        label="The container holds",
        above_zero=True,
        largest=LARGEST_ML,
        help_text="When full. The smallest label and pictograms depend on it.",
    )

    def __init__(self, sent: QueryDict, *, container: Decimal, layer: str = "", **more: Any) -> None:
        self.sheets = {str(sheet.uuid): sheet for sheet in LabelSheet.objects.in_use()}
        usual = {
            "sheet": next(iter(self.sheets), ""),
            "start": "1",
            "copies": "1",
            "container": f"{container.normalize():f}",
            "layer": layer,
        }
        self.chosen_sheet = "sheet" in sent
        super().__init__(_filled(sent, usual), **more)
        _offer(self.fields["sheet"], [(uuid, sheet.name) for uuid, sheet in self.sheets.items()])

    def clean_sheet(self) -> LabelSheet:
        return self.sheets[self.cleaned_data["sheet"]]

    def suggest(self, sheet: LabelSheet) -> None:
        """Offer a sheet where none was chosen yet."""
        self.data["sheet"] = str(sheet.uuid)  # type: ignore[index]
        self.cleaned_data["sheet"] = sheet

    def refuse(self, trouble: ImpossibleSheet) -> None:
        field = FIELDS.get(trouble.field, trouble.field)
        self.add_error(field if field in self.fields else None, str(trouble))


class BottleForm(LabelForm):
    """Labels of one batch; where it splits, which of its layers goes into the bottle."""

    layer = forms.ChoiceField(
        label="What goes into the bottle",
        help_text="This mixture parts into two layers; each has its own contents and hazards.",
        error_messages={"invalid_choice": "Choose one of the layers, or both together."},
    )

    def __init__(
        self, sent: QueryDict, *, layers: Sequence[tuple[str, str]], container: Decimal, **more: Any
    ) -> None:
        super().__init__(sent, container=container, layer=layers[0][0] if layers else "", **more)
        _offer(self.fields["layer"], layers)
        if not layers:
            del self.fields["layer"]


class RackForm(LabelForm):
    """One label for a rack of vials, or a label for each of a requisition's bottles on the same sheet."""

    RACK, EACH = "rack", "each"

    how = forms.ChoiceField(
        label="Which labels",
        choices=[(RACK, "one label for the whole rack"), (EACH, "a label for each")],
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose one label for the rack, or a label for each.",
            "invalid_choice": "Choose one label for the rack, or a label for each.",
        },
    )
    vials = forms.MultipleChoiceField(
        label="Which vials or bottles",
        widget=forms.CheckboxSelectMultiple,
        error_messages={
            "required": "Choose the vials or bottles that are labelled.",
            "invalid_choice": "Choose vials or bottles from the list.",
        },
    )

    def __init__(self, sent: QueryDict, *, batches: Sequence[Batch], container: Decimal, **more: Any) -> None:
        if not sent:  # nothing was chosen yet
            sent = sent.copy()
            sent.setlist("vials", [str(batch.uuid) for batch in batches if _in_vials(batch)])
        if "how" not in sent:
            sent = sent.copy()
            sent["how"] = self.RACK
        super().__init__(sent, container=container, **more)
        self.fields["container"].label = "The largest of them holds"
        _offer(self.fields["vials"], [(str(batch.uuid), _vial(batch)) for batch in batches])
        self.batches = batches

    @property
    def chosen(self) -> list[Batch]:
        return [batch for batch in self.batches if str(batch.uuid) in self.cleaned_data["vials"]]


class SheetForm(forms.Form):
    """A sheet told by rows, columns and millimetres."""

    name = forms.CharField(
        label="Name",
        max_length=80,
        help_text="As people here call it, such as “16 to a sheet, 52 × 74 mm”.",
        error_messages={"required": "Give the sheet a name, such as “16 to a sheet, 52 × 74 mm”."},
    )
    rows = NumberField(label="Rows", whole=True, smallest=Decimal(1), largest=Decimal(MOST_LABELS))
    columns = NumberField(label="Columns", whole=True, smallest=Decimal(1), largest=Decimal(MOST_LABELS))
    width_mm = LengthField(label="Width of a label", places=2, largest=LONGEST_MM, above_zero=True)
    height_mm = LengthField(label="Height of a label", places=2, largest=LONGEST_MM, above_zero=True)
    left_mm = LengthField(
        label="Left margin",
        places=2,
        largest=LONGEST_MM,
        smallest=Decimal(0),
        help_text="From the sheet's left edge to the first label.",
    )
    top_mm = LengthField(
        label="Top margin",
        places=2,
        largest=LONGEST_MM,
        smallest=Decimal(0),
        help_text="From the sheet's top edge to the first label.",
    )
    pitch_across_mm = LengthField(
        label="From left edge to left edge",
        places=2,
        largest=LONGEST_MM,
        required=False,
        help_text="Of two labels side by side. Leave it empty where they touch.",
    )
    pitch_down_mm = LengthField(
        label="From top edge to top edge",
        places=2,
        largest=LONGEST_MM,
        required=False,
        help_text="Of two labels one below the other. Leave it empty where they touch.",
    )
    seen_version = forms.IntegerField(widget=forms.HiddenInput, required=False)

    def described(self) -> Sheet:
        """The plain values; where labels touch, the next one begins where one ends."""
        values = self.cleaned_data
        return Sheet(
            rows=values["rows"],
            columns=values["columns"],
            width_mm=values["width_mm"],
            height_mm=values["height_mm"],
            left_mm=values["left_mm"],
            top_mm=values["top_mm"],
            pitch_across_mm=values["pitch_across_mm"] or values["width_mm"],
            pitch_down_mm=values["pitch_down_mm"] or values["height_mm"],
        )

    def overtaken(self, kept: LabelSheet) -> list[tuple[str, str]]:
        """What is saved now where it differs from what was typed; sending again is then a decision."""
        self.data = self.data.copy()  # type: ignore[attr-defined]
        self.data["seen_version"] = str(kept.version)  # type: ignore[index]
        return [
            (str(self.fields[name].label), str(getattr(kept, name)))
            for name, typed in {"name": self.cleaned_data["name"], **vars(self.described())}.items()
            if getattr(kept, name) != typed
        ]


def _offer(field: forms.Field, choices: Sequence[tuple[str, str]]) -> None:
    if isinstance(field, forms.ChoiceField):
        field.choices = [*choices]


def _filled(sent: QueryDict, usual: dict[str, str]) -> QueryDict:
    filled = sent.copy()
    for name, value in usual.items():
        if name not in filled:
            filled[name] = value
    return filled


def _in_vials(batch: Batch) -> bool:
    """Solutions such as standards and unknowns stand in vials; what fills chambers or is sprayed does not."""
    return bool(batch.recipe.kind == batch.recipe.Kind.SOLUTION)


def _vial(batch: Batch) -> str:
    code = batch.line.label_code if batch.line else ""
    return f"{code}: {batch.recipe.title} ({batch.code})" if code else f"{batch.recipe.title} ({batch.code})"
