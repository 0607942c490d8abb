"""Classes and their learners, taken in from a list."""

from typing import Any
from uuid import UUID

from django.contrib import messages
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from practicals.access import readable_classes
from practicals.actions.clear_passphrase import clear_passphrase
from practicals.actions.import_class import CannotImport, ClassListRefused, import_class
from practicals.actions.withdraw_learner import CannotWithdraw, withdraw_learner
from practicals.calculations.class_list import NotAClassList
from practicals.gate import PersonRequest
from practicals.models import Role, TeachingClass
from practicals.pages.people.class_file import UnreadableFile
from practicals.pages.people.forms import ImportForm, WithdrawForm
from practicals.pages.people.import_preview import Preview, PreviewLost, opened, sealed, take_in
from practicals.pages.people.lists import class_list, enrolments_of, possible_teachers, sessions_of

ROWS_ABOVE = "Some rows, listed above, cannot be taken, so none was. Correct the file and choose it again."


@require_safe
def classes(request: PersonRequest) -> HttpResponse:
    return render(request, "practicals/people/classes.html", {"classes": class_list(request.user)})


@require_http_methods(["GET", "POST"])
def class_(request: PersonRequest, uuid: UUID) -> HttpResponse:
    teaching_class = get_object_or_404(readable_classes(request.user), uuid=uuid)
    if request.method == "POST" and request.POST.get("what") == "clear":
        return _clear(request, teaching_class)
    form = WithdrawForm(request.POST or None, initial={"learner": request.GET.get("withdraw", "")})
    if form.is_valid():
        learner = get_object_or_404(teaching_class.learners(), uuid=form.cleaned_data["learner"])
        reason = form.cleaned_data["reason"]
        try:
            withdraw_learner(
                by=request.user,
                teaching_class=teaching_class,
                learner=learner,
                reason=reason,
                now=timezone.now(),
            )
        except CannotWithdraw as error:
            form.add_error("reason", str(error))
        else:
            messages.success(request, f"{learner.name} left the class. What they did is kept.")
            return redirect("people:class", uuid)
    return _class_page(request, teaching_class, form)


def _class_page(request: PersonRequest, teaching_class: TeachingClass, form: WithdrawForm) -> HttpResponse:
    leaving = str(form["learner"].value() or "")
    enrolments = list(enrolments_of(teaching_class))
    context = {
        "class": teaching_class,
        "form": form,
        "teachers": list(teaching_class.teachers.all()),
        "chooses_teachers": request.user.has_perm("practicals.manage_people"),
        "present": [one for one in enrolments if one.left_at is None],
        "left": [one for one in enrolments if one.left_at is not None],
        "leaving": next((one for one in enrolments if str(one.learner.uuid) == leaving), None),
        "sessions": sessions_of(teaching_class, request.user),
    }
    return render(request, "practicals/people/class.html", context)


def _clear(request: PersonRequest, teaching_class: TeachingClass) -> HttpResponse:
    form = WithdrawForm(request.POST)
    form.is_valid()
    if "learner" not in form.cleaned_data:
        raise Http404
    learner = get_object_or_404(teaching_class.learners(), uuid=form.cleaned_data["learner"])
    clear_passphrase(by=request.user, teaching_class=teaching_class, learner=learner, now=timezone.now())
    messages.success(request, f"{learner.name} can set a new passphrase after the next bench sign-in.")
    return redirect("people:class", teaching_class.uuid)


@require_http_methods(["GET", "POST"])
def import_list(request: PersonRequest) -> HttpResponse:
    if request.method == "POST" and "sealed" in request.POST:
        return _confirm(request)
    chosen = {"into": request.GET.get("into")}
    form = ImportForm(request.POST or None, request.FILES or None, initial=chosen, **_choices(request.user))
    faults: Any = ()
    if form.is_valid():
        try:
            preview = take_in(request.user, form.cleaned_data)
        except (UnreadableFile, NotAClassList) as error:
            form.add_error("file", str(error))
        except CannotImport as error:
            form.add_error(error.field or None, str(error))
        else:
            if not preview.faults:
                return _preview_page(request, preview)
            faults = preview.faults
            form.add_error("file", ROWS_ABOVE)
    return render(request, "practicals/people/import_class.html", {"form": form, "faults": faults})


def _preview_page(request: PersonRequest, preview: Preview) -> HttpResponse:
    context = {"preview": preview, "sealed": sealed(request.user, preview)}
    return render(request, "practicals/people/import_preview.html", context)


def _confirm(request: PersonRequest) -> HttpResponse:
    """Take the list that the preview showed, held once more against what is true now."""
    faults: Any = ()
    asked: dict[str, Any] = {}
    try:
        asked = opened(request.user, request.POST["sealed"])
        made = import_class(by=request.user, **asked, now=timezone.now())
    except PreviewLost as error:
        messages.error(request, str(error))
        return redirect("people:import_class")
    except ClassListRefused as error:
        faults, why = error.faults, "Something changed since the preview. Nothing was taken in."
    except CannotImport as error:
        why = str(error)
    else:
        messages.success(request, f"{made.name} is saved. Its class word is {made.class_word}.")
        return redirect("people:class", made.uuid)
    messages.error(request, why)
    into = asked["teaching_class"]
    kept = {"name": asked["name"], "class_word": asked["class_word"], "into": into.uuid if into else None}
    form = ImportForm(initial=kept, **_choices(request.user))
    return render(request, "practicals/people/import_class.html", {"form": form, "faults": faults})


def _choices(user: Any) -> dict[str, Any]:
    """Administrators say who teaches the class; a teacher's list makes a class of their own."""
    chooses = user.holds(Role.ADMINISTRATOR)
    return {"classes": readable_classes(user), "teachers": possible_teachers() if chooses else None}
