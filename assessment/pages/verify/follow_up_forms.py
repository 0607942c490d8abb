"""What is typed after the verdicts: the signature, actions, answers, opinions, widening and sign-off."""

from collections.abc import Sequence
from typing import Any

from django import forms

from assessment.actions.give_verdict import LONGEST_COMMENT
from assessment.actions.raise_action import ActionWanted
from assessment.actions.sign_record import Qualities
from assessment.models import CriterionVerdict, Decision, VerificationRecord
from assessment.pages.verify.forms import TOO_LONG, SizeForm
from practicals.models import User

DAY = {
    "required": "Give the day by which it is to be done.",
    "invalid": "This is no date. Write it as 2026-12-08 or 8/12/2026.",
}


def text_field(label: str, *, help_text: str = "", required: str = "", rows: int = 4) -> forms.CharField:
    """A text; `required` is the sentence when it is left empty, none when it may be."""
    return forms.CharField(
        label=label,
        required=bool(required),
        max_length=LONGEST_COMMENT,
        widget=forms.Textarea(attrs={"rows": rows}),
        help_text=help_text,
        error_messages={**TOO_LONG, "required": required},
    )


def day_field() -> forms.DateField:
    return forms.DateField(
        label="To be done by",
        input_formats=["%Y-%m-%d", "%d/%m/%Y", "%d.%m.%Y"],
        widget=forms.DateInput(format="%Y-%m-%d", attrs={"type": "date"}),
        error_messages=DAY,
    )


def _quality(label: str) -> forms.ChoiceField:
    return forms.ChoiceField(
        label=label,
        choices=VerificationRecord.Quality.choices,
        widget=forms.RadioSelect,
        error_messages={
            "required": f"{label}: say how good it is.",
            "invalid_choice": f"{label}: choose one of the three.",
        },
    )


class SignForm(forms.Form):
    """The quality of what was seen, and for each disagreement what its assessor is to do by when."""

    evidence = _quality("The evidence")
    feedback = _quality("The feedback")
    records = _quality("The records")
    feedback_comment = text_field(
        "On the evidence, the feedback and the records",
        help_text="Needed unless all three are sound. Does the feedback say what was met and what was not?",
    )

    def __init__(self, *args: Any, disagreements: Sequence[CriterionVerdict] = (), **more: Any) -> None:
        super().__init__(*args, **more)
        self.disagreements = disagreements
        for verdict in disagreements:
            code, name = verdict.decision.criterion.code, str(verdict.pk)
            what = text_field(
                f"{code}: what {verdict.assessor} is to do",
                required="Write what the assessor is to do.",
                help_text="The decision stays until they take a new one.",
            )
            what.initial = verdict.comment
            self.fields[f"what_{name}"] = what
            self.fields[f"due_{name}"] = day_field()
            self.fields[f"principle_{name}"] = forms.BooleanField(
                label="This is an error of principle: it may stand in the same assessor’s other work too",
                required=False,
            )

    def qualities(self) -> Qualities:
        data = self.cleaned_data
        return Qualities(data["evidence"], data["feedback"], data["records"])

    def actions(self) -> list[ActionWanted]:
        data = self.cleaned_data
        return [
            ActionWanted(data[f"what_{one.pk}"], data[f"due_{one.pk}"], one, data[f"principle_{one.pk}"])
            for one in self.disagreements
        ]


class RaiseForm(forms.Form):
    what = text_field("What the assessor is to do", required="Write what the assessor is to do.")
    due_on = day_field()
    of_principle = forms.BooleanField(
        label="It may stand in the same assessor’s other work too", required=False
    )

    def wanted(self) -> ActionWanted:
        data = self.cleaned_data
        return ActionWanted(data["what"], data["due_on"], None, data["of_principle"])


class _VersionedForm(forms.Form):
    seen_version = forms.IntegerField(widget=forms.HiddenInput, min_value=0, max_value=10**6)


class AnswerForm(_VersionedForm):
    answer = text_field(
        "Your answer",
        required="Write what you did, or why the decision stays as it is.",
        help_text="What you did, or why the decision stays as it is.",
    )
    by_new_decision = forms.BooleanField(label="My new decision, shown above, answers it", required=False)


class CloseForm(_VersionedForm):
    note = text_field("What closes it", required="Write what you saw that closes this action.")


class OpinionForm(forms.Form):
    outcome = forms.ChoiceField(
        label="As you read it, this criterion is",
        choices=Decision.Outcome.choices,
        widget=forms.RadioSelect,
        error_messages={
            "required": "Choose “met” or “not yet met”.",
            "invalid_choice": "Choose “met” or “not yet met”.",
        },
    )
    reason = text_field("Why", required="Write how you read the criterion and where the evidence shows it.")


class WidenForm(SizeForm):
    reason = text_field("Why it is widened", required="Write why the sample is widened.", rows=3)
    assessor = forms.ModelChoiceField(
        label="Only work assessed by",
        queryset=User.objects.none(),
        to_field_name="uuid",
        required=False,
        empty_label="anybody",
        error_messages={"invalid_choice": "Choose an assessor from the list."},
    )
    field_order = ("reason", "assessor")

    def __init__(self, *args: Any, assessors: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        field = self.fields["assessor"]
        field.queryset = assessors  # type: ignore[attr-defined]


class SignOffForm(forms.Form):
    comment = text_field("Comment", help_text="What the sample showed, in a few words.")
