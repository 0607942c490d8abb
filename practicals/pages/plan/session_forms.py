"""Forms for planning, changing and copying a session."""

from typing import Any

from django import forms

from practicals.access import readable_classes
from practicals.actions.plan_session import LARGEST_SEED
from practicals.models import Practical, Session, TeachingClass, User
from reagents.fields import NumberField


class PracticalChoice(forms.ModelChoiceField):  # type: ignore[type-arg]
    def label_from_instance(self, obj: Practical) -> str:
        return f"{obj.title} (edition {obj.edition}, about {obj.expected_minutes} min of development)"


def seed_field() -> NumberField:
    return NumberField(
        label="Seed for drawing the groups",
        whole=True,
        smallest=0,
        largest=LARGEST_SEED,
        required=False,
        help_text="Left empty, one is drawn and recorded. The same seed and class give the same groups.",
    )


def size_field() -> NumberField:
    return NumberField(
        label="Learners in a group",
        whole=True,
        smallest=1,
        largest=40,
        initial=3,
        help_text="At most; groups differ by one at the most.",
    )


def help_field() -> forms.ChoiceField:
    return forms.ChoiceField(
        label="When a reading is off, the learner is told",
        choices=Session.Help.choices,
        initial=Session.Help.HINT,
        widget=forms.RadioSelect,
        help_text="Help that the program gives is recorded with the learner's evidence.",
    )


def unknowns_field() -> forms.ChoiceField:
    drawn = [one for one in Session.Unknowns.choices if one[0] != Session.Unknowns.BY_HAND]
    return forms.ChoiceField(
        label="Unknowns",
        choices=drawn,
        initial=Session.Unknowns.SAME,
        widget=forms.RadioSelect,
        error_messages={"required": "Choose how the unknowns are given out."},
        help_text="Drawn from the practical's unknowns, each under a code that only this session uses. "
        "You can see the key, draw again or pick by hand afterwards.",
    )


class SessionForm(forms.Form):
    practical = PracticalChoice(
        queryset=Practical.objects.none(),
        to_field_name="uuid",
        widget=forms.RadioSelect,
        empty_label=None,
        error_messages={"required": "Choose the practical.", "invalid_choice": "Choose one of the list."},
    )
    teaching_class = forms.ModelChoiceField(
        label="Class",
        queryset=TeachingClass.objects.none(),
        to_field_name="uuid",
        empty_label="choose",
        error_messages={"required": "Choose the class.", "invalid_choice": "Choose one of your classes."},
    )
    group_size = size_field()
    unknowns = unknowns_field()
    help_setting = help_field()
    also_for = forms.ModelMultipleChoiceField(
        label="Also plan for parallel classes",
        queryset=TeachingClass.objects.none(),
        to_field_name="uuid",
        required=False,
        widget=forms.CheckboxSelectMultiple,
        help_text="Each gets a session of its own with groups and unknowns drawn anew. "
        "You set its lessons there afterwards.",
    )
    title = forms.CharField(
        max_length=160, required=False, help_text="Left empty, it is the practical and the class."
    )
    seed = seed_field()

    def __init__(self, *args: Any, by: User, **more: Any) -> None:
        super().__init__(*args, **more)
        self.fields["practical"].queryset = Practical.objects.newest_editions()  # type: ignore[attr-defined]
        for name in ("teaching_class", "also_for"):
            self.fields[name].queryset = readable_classes(by)  # type: ignore[attr-defined]

    def clean(self) -> dict[str, Any]:
        cleaned: dict[str, Any] = super().clean() or {}
        chosen = cleaned.get("teaching_class")
        if chosen is not None and chosen in (cleaned.get("also_for") or []):
            self.add_error("also_for", f"{chosen} is the class of this session already. Untick it here.")
        return cleaned


class ChangeForm(forms.Form):
    title = forms.CharField(max_length=160, error_messages={"required": "Give the session a title."})
    help_setting = help_field()
    version = forms.IntegerField(widget=forms.HiddenInput, min_value=1, max_value=2**31 - 1)


class CopyForm(forms.Form):
    teaching_class = forms.ModelChoiceField(
        label="Copy to",
        queryset=TeachingClass.objects.none(),
        to_field_name="uuid",
        empty_label="choose",
        error_messages={"required": "Choose the class.", "invalid_choice": "Choose one of the list."},
    )

    def __init__(self, *args: Any, by: User, session: Session, **more: Any) -> None:
        super().__init__(*args, **more)
        others = readable_classes(by).exclude(pk=session.teaching_class_id)
        self.fields["teaching_class"].queryset = others  # type: ignore[attr-defined]
