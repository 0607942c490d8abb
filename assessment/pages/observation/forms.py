"""Forms about what was seen at the bench."""

from collections.abc import Sequence
from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils import timezone

from assessment.actions.accept_statement import LONGEST_WORTH
from assessment.actions.ask_witness import LONGEST_ASKED_FOR
from assessment.actions.countersign_observation import LONGEST_COMMENT
from assessment.actions.withdraw_observation import LONGEST_REASON
from assessment.actions.write_observation import LONGEST_DID, Observed
from assessment.actions.write_statement import LONGEST_ROLE, LONGEST_SAW
from assessment.models import Criterion
from practicals.models import BenchNote, User


def seen_version() -> forms.IntegerField:
    return forms.IntegerField(widget=forms.HiddenInput, required=False, min_value=0, max_value=10**6)


def criterion_choices(criteria: Sequence[Criterion]) -> list[tuple[int, str]]:
    return [(one.pk, f"{one.code}: {one.text}") for one in criteria]


class ObservationForm(forms.Form):
    """Ticks first, because they are quick, then the sentence, which counts. A draft may lack it."""

    notes = forms.TypedMultipleChoiceField(
        label="Notes from the bench that bear on it",
        coerce=int,
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="They are quoted with their times.",
    )
    items = forms.MultipleChoiceField(
        label="What you saw", required=False, widget=forms.CheckboxSelectMultiple
    )
    did = forms.CharField(
        label="What this learner did",
        max_length=LONGEST_DID,
        error_messages={
            "required": "Ticks alone cannot be signed. Write a sentence on what this learner did."
        },
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="One sentence at least, of this learner alone and in enough detail for somebody else to "
        "judge. It decides nothing.",
    )
    criteria = forms.TypedMultipleChoiceField(
        label="Criteria it bears on", coerce=int, required=False, widget=forms.CheckboxSelectMultiple
    )
    seen_version = seen_version()

    def __init__(
        self,
        data: Any = None,
        *,
        offered: Sequence[Criterion],
        notes: Sequence[BenchNote],
        initial: dict[str, Any],
    ) -> None:
        super().__init__(data, initial=initial)
        self._offered = {one.pk: one for one in offered}
        self._notes = {one.pk: one for one in notes}
        self.fields["notes"].choices = [(one.pk, _note(one)) for one in notes]  # type: ignore[attr-defined]
        self.fields["criteria"].choices = criterion_choices(offered)  # type: ignore[attr-defined]
        self._items = dict(item_choices(offered))
        self.fields["items"].choices = [  # type: ignore[attr-defined]
            (key, f"{code}: {text}") for key, (code, text) in self._items.items()
        ]
        self.fields["did"].required = data is None or data.get("do") != "save"
        for name, there in (("notes", notes), ("items", self._items)):
            if not there:
                del self.fields[name]

    def observed(self) -> Observed:
        cleaned = self.cleaned_data
        return Observed(
            did=cleaned["did"],
            criteria=[self._offered[key] for key in cleaned["criteria"]],
            items=[self._items[key] for key in cleaned.get("items", [])],
            notes=[self._notes[key] for key in cleaned.get("notes", [])],
        )


def item_choices(offered: Sequence[Criterion]) -> list[tuple[str, tuple[str, str]]]:
    """Each item under a short key, with its criterion's code."""
    texts = [
        (criterion, text)
        for criterion in offered
        for need in criterion.evidence_needs()
        for text in need.items
    ]
    return [(f"{one.pk}-{number}", (one.code, text)) for number, (one, text) in enumerate(texts)]


def _note(note: BenchNote) -> str:
    return f"{timezone.localtime(note.at):%H:%M}, {note.by.name}: {note.text}"


class CountersignForm(forms.Form):
    comment = forms.CharField(
        label="Your comment",
        required=False,
        max_length=LONGEST_COMMENT,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Whether it is as you remember it. Your signature says that you have read it.",
    )


class ReasonForm(forms.Form):
    reason = forms.CharField(
        label="Why is it withdrawn?",
        max_length=LONGEST_REASON,
        error_messages={"required": "Write why it is withdrawn."},
    )


class AskForm(forms.Form):
    witness = forms.ModelChoiceField(
        User.objects.none(),
        label="Who saw it",
        help_text="Somebody who was there and can judge what they saw, and no relative of the learner. They "
        "open this one statement and see the learner’s name in it, nothing else.",
        error_messages={"required": "Choose who saw it.", "invalid_choice": "Choose somebody from the list."},
    )
    criteria = forms.TypedMultipleChoiceField(
        label="Criteria to say something about",
        coerce=int,
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Tick at least one criterion."},
    )
    asked_for = forms.CharField(
        label="What to look back on",
        required=False,
        max_length=LONGEST_ASKED_FOR,
        widget=forms.Textarea(attrs={"rows": 3}),
        help_text="Such as “how the chamber was set up in group 2”. Do not say what you hope to read.",
    )

    def __init__(
        self, data: Any = None, *, witnesses: "QuerySet[User]", offered: Sequence[Criterion]
    ) -> None:
        super().__init__(data)
        self._offered = {one.pk: one for one in offered}
        self.fields["witness"].queryset = witnesses  # type: ignore[attr-defined]
        self.fields["criteria"].choices = criterion_choices(offered)  # type: ignore[attr-defined]

    def named(self) -> list[Criterion]:
        return [self._offered[key] for key in self.cleaned_data["criteria"]]


class StatementForm(forms.Form):
    witness_role = forms.CharField(
        label="In which role you saw it",
        max_length=LONGEST_ROLE,
        error_messages={"required": "Say in which role you saw it, such as technician."},
    )
    saw = forms.CharField(
        label="What you saw",
        max_length=LONGEST_SAW,
        error_messages={"required": "Write what you saw this learner do."},
        widget=forms.Textarea(attrs={"rows": 6}),
        help_text="What this learner did, in your own words; what you did not see, leave out.",
    )
    seen_version = seen_version()


class AcceptForm(forms.Form):
    worth = forms.CharField(
        label="What it shows",
        max_length=LONGEST_WORTH,
        help_text="Such as “bears out my own record for P1”. A statement supports; it does not stand alone.",
        error_messages={"required": "Say what the statement shows."},
    )
