"""Replace a person by their token, once nothing obliges the centre to keep their name."""

import secrets
from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.audit import record
from practicals.models import BenchCode, Enrolment, RoleGrant, User


class CannotErase(ValueError):
    """The person cannot be erased now; the message says why."""


def erase_person(*, by: User, person: User, now: datetime) -> User:
    """Take away name, sign-in name, number, passphrase and roles.

    What they did and what was decided stays and names them by token, so that no frozen manifest and no
    audit entry changes. Erasing twice changes nothing. It cannot be undone.
    """
    if not by.has_perm("practicals.manage_people"):
        raise PermissionDenied
    if person.pk == by.pk:
        raise CannotErase("You cannot erase yourself. Another administrator can.")
    with transaction.atomic():
        person = User.objects.select_for_update().get(pk=person.pk)
        if person.erased_at:
            return person
        if Enrolment.objects.filter(learner=person, left_at=None).exists():
            raise CannotErase("This person is still in a class. Withdraw them from it first.")
        _forget(person, now)
        record(by=by, action="erase_person", subject=person, sentence="A person was replaced by their token.")
    return person


def _forget(person: User, now: datetime) -> None:
    alias = f"Person {str(person.token)[:8]}"
    person.name = person.sort_name = alias
    person.username = f"erased-{secrets.token_hex(8)}"
    person.reference = ""
    person.theme = ""
    person.is_active = False
    person.erased_at = now
    person.set_unusable_password()
    person.save()
    RoleGrant.objects.filter(user=person).delete()
    BenchCode.objects.filter(learner=person).delete()
