"""Who changed what and when: appended, never changed."""

from typing import Any, ClassVar, NoReturn

from django.db import models

from reagents.models import NeverDeleted


class AppendOnly(TypeError):
    """Somebody tried to change an audit entry."""


class AuditQuerySet(models.QuerySet["AuditEntry"]):
    def update(self, **kwargs: Any) -> NoReturn:
        raise AppendOnly("Audit entries are never changed.")

    def delete(self) -> NoReturn:
        raise NeverDeleted("AuditEntry")


class AuditEntry(models.Model):
    """People stand here by token, so that erasing a person leaves the trail whole."""

    at = models.DateTimeField()
    actor = models.UUIDField(null=True, help_text="token of the person; empty: the program")
    action = models.CharField(max_length=60)
    subject_kind = models.CharField(max_length=40)
    subject = models.CharField(max_length=40)
    sentence = models.CharField(max_length=300)
    detail = models.JSONField(default=dict)

    objects: ClassVar[Any] = AuditQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-id"]
        indexes = [
            models.Index(fields=["subject_kind", "subject"], name="audit_subject"),
            models.Index(fields=["-at"], name="audit_at"),
        ]

    def __str__(self) -> str:
        return self.sentence

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            raise AppendOnly("Audit entries are never changed.")
        super().save(*args, **kwargs)

    def delete(self, *args: Any, **kwargs: Any) -> NoReturn:
        raise NeverDeleted("AuditEntry")
