"""A member of staff changes their own password."""

from datetime import datetime

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.audit import record
from practicals.models import User


class WrongPassword(ValueError):
    """The password that is valid now was not given."""


def change_password(*, by: User, present: str, password: str, now: datetime) -> User:
    if not by.has_perm("practicals.change_password"):
        raise PermissionDenied
    if not by.check_password(present):
        raise WrongPassword("This is not your present password. Type it again.")
    validate_password(password, by)
    with transaction.atomic():
        by.set_password(password)
        by.save(update_fields=["password"])
        record(by=by, action="change_password", subject=by, sentence="Somebody changed their own password.")
    return by
