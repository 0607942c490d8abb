"""A form that was overtaken: what was typed stays, what is saved now stands beside it."""

from collections.abc import Mapping
from typing import Any

from django import forms

from reagents.models import Stale


def overtaken(
    form: forms.Form, error: Stale, saved: Mapping[str, Any], *, version: str
) -> list[tuple[str, str]]:
    """Say it on the form, and return (label, saved value) of each field that differs from what was typed.

    The form then carries the version saved now: sending it again, after the two were compared, is a decision.
    """
    typed = dict(form.cleaned_data)
    form.add_error(None, str(error))
    form.data = form.data.copy()  # type: ignore[attr-defined]
    form.data[version] = str(error.record.version)  # type: ignore[index]
    return [
        (str(form.fields[name].label), _said(value))
        for name, value in saved.items()
        if name in typed and typed[name] != value
    ]


def _said(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return ", ".join(map(str, value)) if isinstance(value, list | tuple | set) else str(value) or "nothing"
