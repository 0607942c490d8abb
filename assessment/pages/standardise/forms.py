"""What is typed when a standardisation is opened, judged and closed."""

from collections.abc import Iterable, Sequence
from typing import Any

from django import forms

from assessment.actions.close_standardisation import Reading
from assessment.actions.judge_blind import Judged
from assessment.models import BlindJudgement, Criterion, Decision, Submission
from practicals.models import User

LONGEST = 5_000
CHOOSE = {"required": "Choose “met” or “not yet met”.", "invalid_choice": "Choose “met” or “not yet met”."}
TOO_LONG = {"max_length": f"A text holds at most {LONGEST:,} characters. Shorten it."}


class PieceChoice(forms.ModelChoiceField):  # type: ignore[type-arg]
    def label_from_instance(self, obj: Any) -> str:
        work = obj.work
        return f"{work.assignment.brief.title}, {work.learner}, attempt {obj.attempt} ({work.assessor})"


class OpenForm(forms.Form):
    title = forms.CharField(
        max_length=160,
        help_text="What the assessors see, such as “Piece 1, spring”. It names no learner.",
        error_messages={"required": "Give it a title.", "max_length": "At most 160 characters. Shorten it."},
    )
    piece = PieceChoice(
        label="Piece of work",
        queryset=Submission.objects.none(),
        to_field_name="uuid",
        empty_label="Choose a piece",
        help_text="Its learner and its assessor stand here for you alone; who judges it sees neither.",
        error_messages={
            "required": "Choose the piece to be judged.",
            "invalid_choice": "That piece is not in the list. Choose one that is.",
        },
    )
    assessors = forms.ModelMultipleChoiceField(
        label="Assessors who judge it",
        queryset=User.objects.none(),
        to_field_name="uuid",
        widget=forms.CheckboxSelectMultiple,
        help_text="At least two, and nobody who decided on the piece.",
        error_messages={
            "required": "Choose at least two assessors.",
            "invalid_choice": "Choose assessors from the list.",
            "invalid_pk_value": "Choose assessors from the list.",
        },
    )

    def __init__(self, *args: Any, pieces: Any, assessors: Any, **more: Any) -> None:
        super().__init__(*args, **more)
        self.fields["piece"].queryset = pieces  # type: ignore[attr-defined]
        self.fields["assessors"].queryset = assessors  # type: ignore[attr-defined]


class _ByCriterion(forms.Form):
    """An outcome and a text for every criterion of the piece."""

    words = ""
    missing = ""

    def __init__(self, *args: Any, criteria: Sequence[Criterion], **more: Any) -> None:
        super().__init__(*args, **more)
        self.criteria = criteria
        for criterion in criteria:
            code = criterion.code
            self.fields[f"outcome_{criterion.pk}"] = forms.ChoiceField(
                label=f"{code}: {criterion.text}",
                choices=Decision.Outcome.choices,
                widget=forms.RadioSelect,
                error_messages=CHOOSE,
            )
            self.fields[f"text_{criterion.pk}"] = forms.CharField(
                label=f"{code}: {self.words}",
                max_length=LONGEST,
                widget=forms.Textarea(attrs={"rows": 3}),
                error_messages={**TOO_LONG, "required": self.missing},
            )

    def rows(self) -> list[tuple[Criterion, str, str]]:
        data = self.cleaned_data
        return [(c, data[f"outcome_{c.pk}"], data[f"text_{c.pk}"]) for c in self.criteria]


class JudgeForm(_ByCriterion):
    words = "where the evidence is, and why it is enough or not"
    missing = "Write where the evidence is, and why it is enough or not."

    def judged(self) -> list[Judged]:
        return [Judged(*row) for row in self.rows()]


class AgreedForm(_ByCriterion):
    words = "how it is read from now on"
    missing = "Write how the criterion is to be read."
    outcome = forms.CharField(
        label="What was agreed, in a few words",
        max_length=LONGEST,
        widget=forms.Textarea(attrs={"rows": 3}),
        error_messages={**TOO_LONG, "required": "Write in a few words what was agreed."},
    )

    def readings(self) -> list[Reading]:
        return [Reading(*row) for row in self.rows()]


def as_given(judgements: Iterable[BlindJudgement]) -> dict[str, str]:
    """An assessor's own judgement so far, as the form's initial values."""
    start = {}
    for one in judgements:
        start[f"outcome_{one.criterion_id}"] = one.outcome
        start[f"text_{one.criterion_id}"] = one.comment
    return start
