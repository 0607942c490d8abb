"""The form that edits a practical as text."""

import re
from typing import Any

from django import forms

from practicals.models import Practical


class PracticalForm(forms.Form):
    """A practical's file. `copy` starts another practical from it."""

    text = forms.CharField(
        label="The practical",
        strip=False,
        widget=forms.Textarea(
            attrs={"rows": 32, "spellcheck": "false", "autocomplete": "off", "class": "practical-text"}
        ),
        error_messages={"required": "The text is empty. Paste or write the practical here."},
        help_text="Written as TOML: name = value, [tables] and [[lists of tables]]. Notes start with #.",
    )

    def __init__(self, *args: Any, practical: Practical, copy: bool, **more: Any) -> None:
        super().__init__(*args, **more)
        self.initial["text"] = copied(practical.text) if copy else practical.text


def copied(text: str) -> str:
    """The text with another slug and title, so that saving it makes another practical."""
    text = re.sub(r'(?m)^(slug\s*=\s*")([^"\n]*)"', r'\1\2-copy"', text, count=1)
    return re.sub(r'(?m)^(title\s*=\s*")([^"\n]*)"', r'\1\2 (copy)"', text, count=1)
