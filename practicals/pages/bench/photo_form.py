"""One photo at a time, from the camera or from what is on the device."""

from typing import Any

from django import forms
from django.core.exceptions import ValidationError

from practicals.calculations.photo import too_large

TAKE_OR_CHOOSE = "No photo arrived. Take a photo or choose one, then send it."


class PhotoForm(forms.Form):
    """Some devices open the camera only for a field of its own, and then offer no other photo."""

    taken = forms.FileField(
        label="Take a photo",
        required=False,
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": "image/*", "capture": "environment"}),
        error_messages={"invalid": TAKE_OR_CHOOSE},
    )
    chosen = forms.FileField(
        label="Or choose one that is on this device",
        required=False,
        allow_empty_file=True,
        widget=forms.FileInput(attrs={"accept": "image/*"}),
        help_text="JPEG, PNG or WebP, at most 15 MB.",
        error_messages={"invalid": TAKE_OR_CHOOSE},
    )

    def __init__(self, *args: Any, dropped: bool = False, **more: Any) -> None:
        super().__init__(*args, **more)
        self.dropped = dropped
        self.content = b""

    def clean(self) -> dict[str, Any]:
        values = super().clean() or {}
        if self.dropped:
            raise ValidationError(too_large())
        sent = [file for name in ("taken", "chosen") if (file := values.get(name))]
        if len(sent) > 1:
            raise ValidationError("Two photos arrived. Send one at a time.")
        if not sent:
            raise ValidationError(TAKE_OR_CHOOSE)
        self.content = sent[0].read()
        return values
