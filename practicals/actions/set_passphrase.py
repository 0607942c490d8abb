"""A learner chooses the passphrase that opens their work later."""

from datetime import datetime

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.audit import record
from practicals.models import User


class WrongPassphrase(ValueError):
    """The passphrase that is valid now was not given."""


def set_passphrase(*, by: User, passphrase: str, present: str = "", now: datetime) -> User:
    """Set it once from the bench; to change it takes the present one, since slips get lost."""
    if not by.has_perm("practicals.set_passphrase"):
        raise PermissionDenied
    validate_password(passphrase, by)
    with transaction.atomic():
        learner = User.objects.select_for_update().get(pk=by.pk)
        if learner.has_usable_password() and not learner.check_password(present):
            raise WrongPassphrase(
                "This is not the passphrase that is valid now. If you forgot it, ask your teacher to have it "
                "cleared."
            )
        learner.set_password(passphrase)
        learner.save(update_fields=["password"])
        record(by=by, action="set_passphrase", subject=by, sentence="A learner set their passphrase.")
    return learner
