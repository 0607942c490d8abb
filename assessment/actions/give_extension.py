"""Move one learner's first deadline, and only later."""

from datetime import datetime

from django.core.exceptions import PermissionDenied, ValidationError
from django.db import transaction

from assessment.access import decidable_works
from assessment.models import Extension, Work
from assessment.models.attempt_state import first_deadline
from practicals import audit
from practicals.models import User
from reagents.models import claim_version


def give_extension(
    *, by: User, work: Work, due_at: datetime, reason: str, seen_version: int | None = None, now: datetime
) -> Extension:
    """Agree on a later first deadline. The attempt stays the first one and is not late until then."""
    if not by.has_perm("assessment.decide") or not decidable_works(by).filter(pk=work.pk).exists():
        raise PermissionDenied
    if not reason.strip():
        raise ValidationError(
            "Write why the deadline moves. Write no diagnosis: “agreed adjustment” is enough."
        )
    with transaction.atomic():
        work = Work.objects.select_for_update(of=("self",)).select_related("assignment").get(pk=work.pk)
        if work.submissions.exists():
            raise ValidationError("The work is handed in already, so its first deadline can no longer move.")
        before = first_deadline(work)
        if due_at <= before:
            raise ValidationError("An extension is later than the deadline it replaces. Choose a later one.")
        if due_at <= now:
            raise ValidationError("That moment has passed. Choose a later one.")
        if seen_version is not None:
            claim_version(work, seen_version)
        else:
            work.version += 1
        work.due_at = due_at
        work.save(update_fields=["due_at", "version"])
        given: Extension = Extension.objects.create(
            work=work, due_before=before, due_at=due_at, reason=reason.strip(), given_by=by, given_at=now
        )
        audit.record(by=by, action="give_extension", subject=given, sentence="First deadline moved later.")
    return given
