"""Forms for a session's unknowns: drawn afresh, or picked by hand in a small table."""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from django import forms

from practicals.actions.plan_session import LARGEST_SEED
from practicals.models import Session
from practicals.models.unknowns import Pool
from practicals.pages.plan.session_forms import unknowns_field
from reagents.fields import NumberField


class DrawUnknownsForm(forms.Form):
    how = unknowns_field()
    unknowns_seed = NumberField(
        label="Seed for drawing the unknowns",
        whole=True,
        smallest=0,
        largest=LARGEST_SEED,
        required=False,
        help_text="Left empty, one is drawn and recorded. The same seed draws the same sets again.",
    )
    version = forms.IntegerField(widget=forms.HiddenInput, min_value=1, max_value=2**31 - 1)


@dataclass(frozen=True, slots=True)
class HandRow:
    """A group and its choices, one for each place."""

    group: int
    fields: tuple[forms.BoundField, ...]


class PickUnknownsForm(forms.Form):
    """For each group and each lane place a choice of the pool."""

    version = forms.IntegerField(widget=forms.HiddenInput, min_value=1, max_value=2**31 - 1)

    def __init__(
        self,
        *args: Any,
        session: Session,
        pool: Pool,
        sets: Mapping[int, Sequence[str]],
        contents: Mapping[str, str],
        **more: Any,
    ) -> None:
        super().__init__(*args, **more)
        self.initial["version"] = session.version
        self.sets, self.each = sets, pool.each
        choices = [(key, contents[key]) for key in pool.unknowns]
        for group, chosen in sets.items():
            for place in range(pool.each):
                self.fields[_name(group, place)] = forms.ChoiceField(
                    label=f"Group {group}, unknown {place + 1}",
                    choices=choices,
                    initial=chosen[place] if place < len(chosen) else None,
                    error_messages={
                        "required": "Choose an unknown.",
                        "invalid_choice": "Choose one of the list.",
                    },
                )

    def rows(self) -> Iterator[HandRow]:
        for group in self.sets:
            yield HandRow(group, tuple(self[_name(group, place)] for place in range(self.each)))

    def picked(self) -> dict[int, tuple[str, ...]]:
        return {
            group: tuple(self.cleaned_data[_name(group, place)] for place in range(self.each))
            for group in self.sets
        }


def _name(group: int, place: int) -> str:
    return f"unknown-{group}-{place + 1}"
