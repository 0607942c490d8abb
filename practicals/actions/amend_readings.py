"""A change to locked readings: what stood before, what stands now, and why."""

from datetime import datetime

from django.core.exceptions import PermissionDenied
from django.db import transaction

from practicals.access import own_readings
from practicals.actions.save_readings import write_entry
from practicals.audit import record
from practicals.calculations.entry import ReadingEntry
from practicals.models import Amendment, ReadingSet, User
from practicals.models.canonical import canonical_text
from reagents.models import claim_version


class NotLocked(ValueError):
    """The readings are open, so that they are changed by saving."""

    def __init__(self) -> None:
        super().__init__("These readings are not locked yet: change them on the readings page and save.")


class SessionClosed(ValueError):
    """Nothing changes in a session that its teacher has closed."""

    def __init__(self) -> None:
        super().__init__(
            "Your teacher has closed this session, so its readings no longer change. Ask your teacher."
        )


class ReasonMissing(ValueError):
    """An amendment says why."""

    def __init__(self) -> None:
        super().__init__("Say why the reading changes, for example “front read from the wrong edge”.")


class NothingChanged(ValueError):
    """The amendment would leave everything as it is."""

    def __init__(self) -> None:
        super().__init__(
            "Nothing is different from what is saved. Change a reading first, then give the reason."
        )


def amend_readings(
    *, by: User, readings: ReadingSet, entry: ReadingEntry, reason: str, seen_version: int, now: datetime
) -> Amendment:
    """Change one's own locked readings. Both texts are kept with the reason."""
    if not by.has_perm("practicals.enter_readings") or not own_readings(by).filter(pk=readings.pk).exists():
        raise PermissionDenied
    if not reason.strip():
        raise ReasonMissing
    with transaction.atomic():
        # Without the joins of `whole()`: PostgreSQL locks no row on the empty side of an outer join.
        locked: ReadingSet = ReadingSet.objects.select_for_update().get(pk=readings.pk)
        if locked.locked_at is None:
            raise NotLocked
        if locked.session.closed_at:
            raise SessionClosed
        claim_version(locked, seen_version)
        before = canonical_text(ReadingSet.objects.whole().get(pk=locked.pk))
        write_entry(locked, entry, now=now)
        after = canonical_text(ReadingSet.objects.whole().get(pk=locked.pk))
        if before == after:
            raise NothingChanged
        amendment = Amendment.objects.create(
            reading_set=locked, by=by, at=now, reason=reason.strip(), before=before, after=after
        )
        record(
            by=by,
            action="amend_readings",
            subject=locked,
            sentence="Locked readings were amended, with a reason.",
            detail={"amendment": str(amendment.uuid)},
        )
    return amendment
