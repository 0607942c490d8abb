"""Forms for groups: by hand, drawn afresh, and a guest who catches up."""

from typing import Any

from django import forms

from practicals.models import Group, Session, User
from practicals.pages.plan.gather import Absentee, Place
from practicals.pages.plan.session_forms import seed_field, size_field

NO_GROUP = "0"


class ArrangeForm(forms.Form):
    """A choice of group for each learner."""

    version = forms.IntegerField(widget=forms.HiddenInput, min_value=1, max_value=2**31 - 1)

    def __init__(
        self, *args: Any, session: Session, groups: list[Group], ungrouped: list[User], **more: Any
    ) -> None:
        super().__init__(*args, **more)
        self.initial["version"] = session.version
        numbers = [(str(group.number), str(group)) for group in groups]
        if session.started_at is None:
            following = len(groups) + 1
            numbers.append((str(following), f"a new group ({following})"))
        numbers.append((NO_GROUP, "in no group"))
        self.learners: dict[str, User] = {}
        placed = [(member.learner, str(group.number)) for group in groups for member in group.members.all()]
        for learner, number in [*placed, *((learner, NO_GROUP) for learner in ungrouped)]:
            name = f"place-{learner.uuid}"
            self.learners[name] = learner
            self.fields[name] = forms.ChoiceField(label=learner.name, choices=numbers, initial=number)

    @property
    def places(self) -> dict[User, int | None]:
        return {learner: int(self.cleaned_data[name]) or None for name, learner in self.learners.items()}


class DrawForm(forms.Form):
    group_size = size_field()
    seed = seed_field()
    version = forms.IntegerField(widget=forms.HiddenInput, min_value=1, max_value=2**31 - 1)


class CatchUpForm(forms.Form):
    person = forms.ChoiceField(
        label="Absent learner",
        error_messages={"required": "Choose the learner.", "invalid_choice": "Choose one of the list."},
    )
    group = forms.ChoiceField(
        error_messages={"required": "Choose the group.", "invalid_choice": "Choose one of the list."},
    )

    def __init__(self, *args: Any, people: list[Absentee], places: list[Place], **more: Any) -> None:
        super().__init__(*args, **more)
        self.people = {person.key: person for person in people}
        self.groups = {str(place.group.number): place.group for place in places}
        self.fields["person"].choices = [  # type: ignore[attr-defined]
            ("", "choose"),
            *(
                (key, f"{person.learner}, {person.home_session.teaching_class}")
                for key, person in self.people.items()
            ),
        ]
        self.fields["group"].choices = [  # type: ignore[attr-defined]
            ("", "choose"),
            *((str(place.group.number), place.label) for place in places),
        ]
