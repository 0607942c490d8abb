"""What a learner types on the pages of their work."""

from typing import Any

from django import forms

from assessment.actions.save_writing import LONGEST_TEXT

TOO_LONG = {"max_length": f"A text holds at most {LONGEST_TEXT:,} characters. Shorten it, then save again."}


class WritingForm(forms.Form):
    """Conclusion and evaluation; either may be empty until the work is submitted."""

    conclusion = forms.CharField(
        label="Conclusion",
        required=False,
        strip=False,
        max_length=LONGEST_TEXT,
        widget=forms.Textarea(attrs={"rows": 10}),
        help_text="What your readings show, and what the unknown is, with the figures it rests on.",
        error_messages=TOO_LONG,
    )
    evaluation = forms.CharField(
        label="Evaluation",
        required=False,
        strip=False,
        max_length=LONGEST_TEXT,
        widget=forms.Textarea(attrs={"rows": 10}),
        help_text="How far the readings can be trusted, and what would make them better.",
        error_messages=TOO_LONG,
    )
    version = forms.CharField(widget=forms.HiddenInput, required=False)

    def clean_version(self) -> int:
        """A version that is no number belongs to no text: the action finds it stale."""
        seen: str = self.cleaned_data["version"]
        return int(seen) if seen.isdecimal() and len(seen) < 10 else 0


class DeclarationForm(forms.Form):
    declared = forms.BooleanField(required=False)

    def __init__(self, *args: Any, words: str, **more: Any) -> None:
        super().__init__(*args, **more)
        self.fields["declared"].label = words
