"""What a verifier types: the draw, the verdicts, the signature."""

from datetime import datetime
from typing import Any

from django import forms
from django.utils.dateparse import parse_datetime

from assessment.actions.draw_sample import LARGEST_SEED
from assessment.actions.give_verdict import LONGEST_COMMENT
from assessment.calculations.sample_size import SizeWanted
from assessment.calculations.sampling import STRATA
from assessment.models import CriterionVerdict, Policy, SamplingPlan, Unit
from reagents.fields import NumberField

LARGEST_SIZE = 10_000
BORDERLINE = (
    "A result is borderline when one criterion is missing for the next level, or when its grade rests on a "
    "criterion that was first decided not yet met."
)
TOO_LONG = {"max_length": f"A comment holds at most {LONGEST_COMMENT:,} characters. Shorten it."}


class SizeForm(forms.Form):
    """Size, what is represented, seed: the same for a draw and for a widening."""

    size_by = forms.ChoiceField(
        label="Size by",
        choices=Policy.SampleBy.choices,
        error_messages={
            "required": "Choose how the size is settled.",
            "invalid_choice": "Choose a number, a share, the square root or a wanted chance.",
        },
    )
    size = NumberField(
        label="Number, or share or chance in %",
        whole=True,
        smallest=1,
        largest=LARGEST_SIZE,
        required=False,
        help_text=(
            "A whole number; left empty for the square root. The sample grows beyond it when something that "
            "you chose to have represented would otherwise not be seen."
        ),
    )
    wrong = NumberField(
        label="Wrong decisions supposed",
        whole=True,
        smallest=1,
        largest=LARGEST_SIZE,
        required=False,
        help_text="For a wanted chance only: of how many at least one is to be met. Empty: of 1.",
    )
    strata = forms.MultipleChoiceField(
        label="To be represented, where there are any",
        choices=list(STRATA.items()),
        initial=list(STRATA),
        widget=forms.CheckboxSelectMultiple,
        required=False,
        help_text=f"{BORDERLINE} Adjustments are not recorded here, so they cannot be chosen.",
        error_messages={"invalid_choice": "Choose from the list what is to be represented."},
    )
    seed = NumberField(
        label="Seed",
        whole=True,
        smallest=0,
        largest=LARGEST_SEED,
        required=False,
        help_text="A whole number that fixes the draw. Left empty, one is made; either way it is kept.",
    )

    def __init__(self, *args: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        for name in ("size", "wrong", "seed"):
            self.fields[name].widget.attrs["class"] = "middle"

    def clean(self) -> dict[str, Any]:
        cleaned = super().clean() or {}
        asks = cleaned.get("size_by") in ("number", "share", "detection")
        if asks and cleaned.get("size") is None and "size" not in self.errors:
            self.add_error("size", "Give the number of portfolios, or the share or chance in %.")
        return cleaned

    def wanted(self, at_least: int) -> SizeWanted:
        """The rule that was chosen; of a number the least of the policy asks nothing."""
        data = self.cleaned_data
        return SizeWanted(data["size_by"], data["size"], data["wrong"] or 1, at_least)


class DrawForm(SizeForm):
    unit = forms.ModelChoiceField(
        label="Unit",
        queryset=Unit.objects.all(),
        to_field_name="uuid",
        empty_label="Choose a unit",
        error_messages={
            "required": "Choose the unit whose portfolios are to be sampled.",
            "invalid_choice": "That unit is not in the list. Choose one that is.",
        },
    )
    stage = forms.ChoiceField(
        label="Stage",
        choices=[
            ("interim", "interim: while there is time to put things right"),
            ("final", "final: before results are claimed"),
        ],
        initial=SamplingPlan.Stage.INTERIM,
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose whether the sample is interim or final.",
            "invalid_choice": "A sample is either interim or final. Choose one.",
        },
    )

    field_order = ("unit", "stage")


class VerdictForm(forms.Form):
    """One criterion. Which decision and which verdict the page showed goes with it."""

    decision = forms.CharField(widget=forms.HiddenInput, required=False)
    seen = forms.CharField(widget=forms.HiddenInput, required=False)
    verdict = forms.ChoiceField(
        choices=CriterionVerdict.Verdict.choices,
        widget=forms.RadioSelect,
        required=False,
        error_messages={"invalid_choice": "Choose agree, disagree or cannot tell."},
    )
    comment = forms.CharField(
        widget=forms.Textarea(attrs={"rows": 3}),
        required=False,
        max_length=LONGEST_COMMENT,
        error_messages=TOO_LONG,
    )

    def __init__(self, *args: Any, code: str, **more: Any) -> None:
        super().__init__(*args, **more)
        self.fields["verdict"].label = f"Your verdict on {code}"
        self.fields["comment"].label = f"Comment on {code}"
        self.fields["comment"].help_text = "Needed unless you agree: what you saw, and where."

    def clean_seen(self) -> datetime | None:
        try:
            return parse_datetime(self.cleaned_data["seen"])
        except ValueError:
            return None
