"""Tries an action for a form: what the action refuses becomes a sentence above the form."""

from collections.abc import Callable
from typing import TypeVar

from django import forms

from practicals.actions.plan_session import CannotPlan
from practicals.calculations.grouping import GroupingError
from practicals.calculations.unknown_sets import UnknownSetError
from reagents.calculations.proportions import ImpossibleProportion
from reagents.models import Stale

Result = TypeVar("Result")


def attempt(form: forms.Form, act: Callable[[], Result]) -> Result | None:
    """The action's result; None if it refused, with its sentence among the form's errors.

    After `Stale` the form carries the version that is saved now, so that sending it again, once the
    person has compared the two, is a decision and not an accident.
    """
    try:
        return act()
    except Stale as error:
        form.add_error(None, str(error))
        form.data = form.data.copy()  # type: ignore[attr-defined]
        form.data["version"] = str(error.record.version)  # type: ignore[index]
    except (CannotPlan, GroupingError, UnknownSetError, ImpossibleProportion) as error:
        form.add_error(None, str(error))
    return None
