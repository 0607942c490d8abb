"""Change somebody's name, roles or password, or let them in no longer. Accounts are never deleted."""

from collections.abc import Collection
from datetime import datetime

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.audit import record
from practicals.models import Role, RoleGrant, User
from reagents.models import claim_version


class CannotChangeAccount(ValueError):
    """The change would leave the centre or the person stuck; the message says why."""


def change_account(
    *,
    by: User,
    person: User,
    name: str,
    sort_name: str,
    roles: Collection[str],
    active: bool,
    password: str = "",
    seen_version: int | None = None,
    now: datetime,
) -> User:
    """Save the account. An empty `password` leaves the one there is.

    Raises `Stale` when somebody saved after `seen_version` was shown.
    """
    if not by.has_perm("practicals.manage_people"):
        raise PermissionDenied
    if not name.strip():
        raise CannotChangeAccount("Give the person's name.")
    if not roles or not set(roles) <= set(Role.values):
        why = "Choose at least one role. To let somebody in no longer, take “May sign in” off."
        raise CannotChangeAccount(why)
    if password:
        validate_password(password, person)
    with transaction.atomic():
        # All administrators' rows are taken, so that two cannot take each other's role at once.
        administrators = set(
            User.objects.select_for_update()
            .filter(grants__role=Role.ADMINISTRATOR, is_active=True)
            .values_list("pk", flat=True)
        )
        stays = active and Role.ADMINISTRATOR in roles
        if administrators == {person.pk} and not stays:
            raise CannotChangeAccount(
                "This is the only administrator who can sign in. Make somebody else administrator first."
            )
        row = User.objects.select_for_update().get(pk=person.pk)
        if seen_version is not None:
            claim_version(row, seen_version)
        person.version = row.version
        changed = _save(person, row, name, sort_name, active, password) + _regrant(person, set(roles))
        record(
            by=by,
            action="change_account",
            subject=person,
            sentence=f"An account was changed: {', '.join(changed) or 'nothing'}.",
            detail={"roles": sorted(set(roles)), "active": active, "new_password": bool(password)},
        )
    return person


def _save(person: User, row: User, name: str, sort_name: str, active: bool, password: str) -> list[str]:
    changed = []
    if (row.name, row.sort_name) != (name.strip(), sort_name.strip() or name.strip()):
        changed.append("name")
    if row.is_active != active:
        changed.append("let in again" if active else "let in no longer")
    person.name, person.sort_name = name.strip(), sort_name.strip() or name.strip()
    person.is_active = active
    fields = ["name", "sort_name", "is_active", "version"]
    if password:
        person.set_password(password)
        fields.append("password")
        changed.append("password")
    person.save(update_fields=fields)
    return changed


def _regrant(person: User, roles: set[str]) -> list[str]:
    had = set(RoleGrant.objects.filter(user=person).values_list("role", flat=True))
    RoleGrant.objects.filter(user=person, role__in=had - roles).delete()
    RoleGrant.objects.bulk_create(RoleGrant(user=person, role=role) for role in sorted(roles - had))
    person.__dict__.pop("roles", None)
    return ["roles"] if had != roles else []
