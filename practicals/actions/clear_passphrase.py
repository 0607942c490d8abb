"""A teacher or administrator clears a learner's forgotten passphrase; the next slip lets them set one."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import readable_classes
from practicals.audit import record
from practicals.models import TeachingClass, User


def clear_passphrase(*, by: User, teaching_class: TeachingClass, learner: User, now: datetime) -> None:
    if not by.has_perm("practicals.import_class"):
        raise PermissionDenied
    if not readable_classes(by).filter(pk=teaching_class.pk).exists():
        raise PermissionDenied
    with transaction.atomic():
        person = teaching_class.learners().select_for_update().filter(pk=learner.pk).first()
        if person is None or person.roles != {"learner"}:
            # Somebody with a second role signs in to more than a learner's work: that is for accounts.
            raise PermissionDenied
        person.set_unusable_password()
        person.save(update_fields=["password"])
        record(
            by=by, action="clear_passphrase", subject=person, sentence="A learner's passphrase was cleared."
        )
