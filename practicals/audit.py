"""Writes the audit trail. Every action calls `record` inside its transaction; `reagents` is heard."""

from typing import Any

from django.db import models
from django.dispatch import receiver
from django.utils import timezone

from practicals.models import AuditEntry
from reagents.signals import acted


def record(
    *, by: Any, action: str, subject: models.Model, sentence: str, detail: dict[str, Any] | None = None
) -> None:
    """Append one entry.

    `by` is the person, or None for the program. `sentence` names nobody: people stand in the trail by
    token only.
    """
    AuditEntry.objects.create(
        at=timezone.now(),
        actor=getattr(by, "token", None),
        action=action,
        subject_kind=type(subject).__name__,
        subject=str(getattr(subject, "uuid", subject.pk)),
        sentence=sentence[:300],
        detail=detail or {},
    )


@receiver(acted)
def hear(sender: Any, *, by: Any, action: str, subject: models.Model, sentence: str, **more: Any) -> None:
    record(by=by, action=action, subject=subject, sentence=sentence, detail=more.get("detail"))
