"""What every record that may become evidence shares: a public identity, and that it stays."""

from typing import Any, ClassVar, NoReturn
from uuid import uuid4

from django.db import models


class NeverDeleted(TypeError):
    """Somebody tried to delete a record that the house keeps."""

    def __init__(self, kind: str) -> None:
        self.kind = kind
        super().__init__(f"{kind} records are kept; withdraw or supersede one instead of deleting it.")


class KeptQuerySet(models.QuerySet[Any]):
    def delete(self) -> NoReturn:
        raise NeverDeleted(self.model.__name__)


class Kept(models.Model):
    """A record named by a UUID in addresses, never deleted by the app."""

    uuid = models.UUIDField(default=uuid4, unique=True, editable=False)

    objects: ClassVar[Any] = KeptQuerySet.as_manager()

    class Meta:
        abstract = True

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise NeverDeleted(type(self).__name__)


class Versioned(models.Model):
    """A record that people edit; `version` rises with each save that a form makes.

    A form carries the version it showed. An action that finds another one raises `Stale`.
    """

    version = models.PositiveIntegerField(default=1)

    class Meta:
        abstract = True


class Stale(ValueError):
    """The record changed after the form was shown."""

    def __init__(self, record: Versioned) -> None:
        self.record = record
        super().__init__(
            "Somebody saved this after you opened it. Your entry is kept below, and what is saved now is "
            "shown beside it: compare the two, then save again."
        )


def claim_version(record: Versioned, seen: int) -> None:
    """Refuse a stale edit and move the record to its next version.

    Call it inside the action's transaction, on a row taken with ``select_for_update``.
    """
    if record.version != seen:
        raise Stale(record)
    record.version = seen + 1
