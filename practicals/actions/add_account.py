"""Make an account for somebody at the centre."""

import re
from collections.abc import Collection
from datetime import datetime

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import PermissionDenied
from django.db import IntegrityError, transaction

from practicals.audit import record
from practicals.models import Role, RoleGrant, User

_SIGN_IN_NAME = re.compile(r"[a-z0-9][a-z0-9._@+-]{1,59}\Z")


class CannotAddAccount(ValueError):
    """The account cannot be made; the message says why."""


def add_account(
    *,
    by: User | None,
    username: str,
    name: str,
    roles: Collection[str],
    password: str,
    sort_name: str = "",
    now: datetime,
) -> User:
    """Add one person. `by` is None only for the program itself: the first administrator, the demo.

    Sign-in names are kept in small letters, so that no two differ by case alone.
    """
    if by is not None and not by.has_perm("practicals.manage_people"):
        raise PermissionDenied
    username = username.strip().lower()
    _refuse(username, name, roles)
    person = User(username=username, name=name.strip(), sort_name=sort_name.strip() or name.strip())
    validate_password(password, person)
    person.set_password(password)
    with transaction.atomic():
        if User.objects.filter(username__iexact=username).exists():
            raise CannotAddAccount(_taken(username))
        try:
            with transaction.atomic():
                person.save()
        except IntegrityError as error:
            raise CannotAddAccount(_taken(username)) from error
        RoleGrant.objects.bulk_create(RoleGrant(user=person, role=role) for role in sorted(set(roles)))
        record(
            by=by,
            action="add_account",
            subject=person,
            sentence=f"An account was added with the roles: {', '.join(sorted(set(roles)))}.",
            detail={"roles": sorted(set(roles))},
        )
    return person


def _refuse(username: str, name: str, roles: Collection[str]) -> None:
    if not _SIGN_IN_NAME.match(username):
        raise CannotAddAccount(
            "A sign-in name has 2 to 60 letters a to z, digits, and . _ @ + - after the first. "
            f"“{username[:60]}” is none."
        )
    if not name.strip():
        raise CannotAddAccount("Give the person's name.")
    if not roles or not set(roles) <= set(Role.values):
        raise CannotAddAccount("Choose at least one role, so that the person can do something here.")


def _taken(username: str) -> str:
    return f"The sign-in name “{username}” is taken. Choose another one."
