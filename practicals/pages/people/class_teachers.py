"""Who teaches a class: chosen by an administrator, or a colleague added by whoever teaches it."""

from typing import Any
from uuid import UUID

from django import forms
from django.contrib import messages
from django.http import HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods

from practicals.access import readable_classes
from practicals.actions.set_class_teachers import CannotSetTeachers, NobodyLeft, set_class_teachers
from practicals.gate import PersonRequest
from practicals.models import TeachingClass, User
from practicals.pages.people.lists import colleagues_of, possible_teachers_of

NOT_IN_THE_LIST = "Somebody ticked is not in the list, or no longer. Look at the list again."


class PeopleField(forms.ModelMultipleChoiceField):  # type: ignore[type-arg]
    """People of a list; what is no key at all gets the same sentence as somebody who is not in it."""

    def clean(self, value: Any) -> Any:
        try:
            return super().clean(value)
        except forms.ValidationError as error:
            if error.code == "required":
                raise
            raise forms.ValidationError(NOT_IN_THE_LIST) from error


class TeachersForm(forms.Form):
    """All teachers for whoever keeps the accounts; for a teacher of the class those to be added."""

    teachers = PeopleField(
        label="Teachers",
        queryset=User.objects.none(),
        required=False,
        to_field_name="uuid",
        widget=forms.CheckboxSelectMultiple,
    )
    without_teacher = forms.BooleanField(label="Leave the class without a teacher", required=False)

    def __init__(
        self, *args: Any, teaching_class: TeachingClass, chooses_all: bool, asks: bool = False, **more: Any
    ) -> None:
        super().__init__(*args, **more)
        field: Any = self.fields["teachers"]
        field.queryset = (
            possible_teachers_of(teaching_class) if chooses_all else colleagues_of(teaching_class)
        )
        if not chooses_all:
            field.label, field.required = "Colleagues to add", True
            field.error_messages["required"] = "Tick whom you want to add."
        if not chooses_all or not asks:
            del self.fields["without_teacher"]


@require_http_methods(["GET", "POST"])
def class_teachers(request: PersonRequest, uuid: UUID) -> HttpResponse:
    found = get_object_or_404(readable_classes(request.user), uuid=uuid)
    chooses_all = request.user.has_perm("practicals.manage_people")
    now_teaching = list(found.teachers.all())
    initial = {"teachers": [person.uuid for person in now_teaching]}
    options: dict[str, Any] = {"teaching_class": found, "chooses_all": chooses_all, "initial": initial}
    form = TeachersForm(request.POST or None, **options, asks="without_teacher" in request.POST)
    if form.is_valid():
        try:
            set_class_teachers(by=request.user, teaching_class=found, **form.cleaned_data)
        except CannotSetTeachers as error:
            # The question is asked only once it arises, so that nobody ticks it in passing.
            form = TeachersForm(request.POST, **options, asks=isinstance(error, NobodyLeft))
            form.full_clean()
            form.add_error("teachers", str(error))
        else:
            messages.success(request, f"The teachers of {found.name} are saved.")
            return redirect("people:class", found.uuid)
    context = {"class": found, "form": form, "chooses_all": chooses_all, "teachers": now_teaching}
    return render(request, "practicals/people/class_teachers.html", context)
