"""What a verifier types: the draw, the verdicts, the signature."""

from datetime import datetime
from typing import Any

from django import forms
from django.utils.dateparse import parse_datetime

from assessment.actions.draw_sample import LARGEST_SEED
from assessment.actions.give_verdict import LONGEST_COMMENT
from assessment.models import CriterionVerdict, SamplingPlan, Unit
from reagents.fields import NumberField

LARGEST_SIZE = 10_000
TOO_LONG = {"max_length": f"A comment holds at most {LONGEST_COMMENT:,} characters. Shorten it."}


class DrawForm(forms.Form):
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
    size = NumberField(
        label="Portfolios to draw",
        whole=True,
        smallest=1,
        largest=LARGEST_SIZE,
        help_text=(
            "A whole number. The sample grows beyond it when an assessor or a grade would otherwise not be "
            "seen."
        ),
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
        for name in ("size", "seed"):
            self.fields[name].widget.attrs["class"] = "middle"


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


class SignForm(forms.Form):
    feedback_comment = forms.CharField(
        label="On the feedback and the records",
        required=False,
        max_length=LONGEST_COMMENT,
        widget=forms.Textarea(attrs={"rows": 5}),
        help_text="Does the feedback say what was met, what was not and why? Are the records complete?",
        error_messages=TOO_LONG,
    )
